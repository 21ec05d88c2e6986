#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "plan/load.hpp"
#include "sample_plan.hpp"

using namespace durograde;
using namespace durograde::plan_test;

namespace {

std::string including(const std::string& names) {
    return "include = [" + names + "]\n";
}

/// A test that waits for ever, as for a pipe's writer, is ended by the alarm.
class Alarm {
  public:
    Alarm() { ::alarm(10); }
    Alarm(const Alarm&) = delete;
    Alarm& operator=(const Alarm&) = delete;
    ~Alarm() { ::alarm(0); }
};

void make_socket(const std::string& path) {
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    REQUIRE(path.size() < sizeof(address.sun_path));
    path.copy(address.sun_path, path.size());
    const int descriptor = ::socket(AF_UNIX, SOCK_STREAM, 0);
    const auto* generic = reinterpret_cast<const sockaddr*>(&address);
    REQUIRE(::bind(descriptor, generic, sizeof(address)) == 0);
    ::close(descriptor);
}

}  // namespace

TEST_CASE("included files are merged first, later ones over earlier ones", "[include]") {
    const Folder folder;
    folder.write("parts/heads.toml",
                 "format = 1\nname = \"heads\"\n[machine]\nfilament = 2.85\nswap_time = 5\n"
                 "speed = { x = 100, z = 5 }\n"
                 "[[tool]]\nnumber = 5\ntemperature = 200\nheater = {}\n");
    folder.write("slow.toml",
                 "[machine]\nspeed = { x = 50 }\n"
                 "[[tool]]\nnumber = 6\ntemperature = 210\nheater = {}\n");
    const std::string main =
        folder.write("pads.toml", including("\"parts/heads.toml\", \"slow.toml\"") +
                                      replaced(small_plan(), "hottest", "swap_time = 7\nhottest"));
    const plan::Plan read = plan::load(main);
    CHECK(read.name == "heads");
    CHECK(read.machine.filament_mm == 2.85);
    CHECK(read.machine.swap_time_s == 7);
    CHECK((read.machine.speed.x == 50 && read.machine.speed.z == 5));
    REQUIRE(read.tools.size() == 1);  // a list is replaced whole
    CHECK(read.tools[0].number == 6);
    CHECK(read.tools[0].place.file == (folder.path() / "slow.toml").string());
    REQUIRE(read.files.size() == 3);
    CHECK(read.files.back() == main);
}

TEST_CASE("a file names others relative to itself", "[include]") {
    const Folder folder;
    folder.write("a/one.toml", including("\"../b/two.toml\""));
    folder.write("b/two.toml", "name = \"two\"\n");
    const std::string main = folder.write("pads.toml", including("\"a/one.toml\"") + small_plan());
    CHECK(plan::load(main).name == "two");
}

TEST_CASE("a file included twice is merged once, where it comes first", "[include]") {
    const Folder folder;
    folder.write("base.toml", "name = \"base\"\n");
    folder.write("left.toml", including("\"base.toml\"") + "name = \"left\"\n");
    folder.write("right.toml", including("\"base.toml\""));
    const std::string main =
        folder.write("pads.toml", including("\"left.toml\", \"right.toml\"") + small_plan());
    const plan::Plan read = plan::load(main);
    CHECK(read.files.size() == 4);
    CHECK(read.name == "left");
}

TEST_CASE("the form of cornering is replaced, not mixed", "[include]") {
    const Folder folder;
    folder.write("base.toml", "[machine]\ncornering = { deviation = 0.01 }\n");
    const std::string main = folder.write(
        "pads.toml", including("\"base.toml\"") +
                         replaced(small_plan(), "hottest", "cornering = { jerk = {} }\nhottest"));
    CHECK(std::holds_alternative<plan::Jerk>(plan::load(main).machine.cornering));
}

TEST_CASE("a cycle is shown as a chain", "[include]") {
    const Folder folder;
    folder.write("a.toml", including("\"b.toml\""));
    folder.write("b.toml", including("\"a.toml\""));
    const std::string main = folder.write("pads.toml", including("\"a.toml\"") + small_plan());
    const Diagnostic found = find_fault(faults_of_file(main), "include-cycle");
    const std::string in = folder.path().string() + "/";
    CHECK(contains(found.text, in + "a.toml -> " + in + "b.toml -> " + in + "a.toml"));
    CHECK(found.place.file == in + "b.toml");
    CHECK(found.place.line == 1);
}

TEST_CASE("a file that includes itself is a cycle", "[include]") {
    const Folder folder;
    const std::string main =
        folder.write("pads.toml", including("\"./x/../pads.toml\"") + small_plan());
    find_fault(faults_of_file(main), "include-cycle");
}

TEST_CASE("eight files deep is allowed, nine are not", "[include]") {
    const Folder folder;
    for (int i = 1; i < 9; ++i)
        folder.write(std::to_string(i) + ".toml",
                     including("\"" + std::to_string(i + 1) + ".toml\""));
    folder.write("9.toml", "name = \"nine\"\n");
    const std::string nine = folder.write("nine.toml", including("\"1.toml\"") + small_plan());
    const std::string eight = folder.write("eight.toml", including("\"2.toml\"") + small_plan());
    CHECK(plan::load(eight).name == "nine");
    CHECK(contains(find_fault(faults_of_file(nine), "include-depth").text, "8"));
}

TEST_CASE("sixty-four files are included in all, one more is not", "[include]") {
    const Folder folder;
    std::string names;
    for (int i = 0; i < 65; ++i) {
        const std::string name = "part" + std::to_string(i) + ".toml";
        folder.write(name, "");
        if (i == 64)
            CHECK(
                faults_of_file(folder.write("full.toml", including(names) + small_plan())).empty());
        names += "\"" + name + "\",";
    }
    const std::string over = folder.write("over.toml", including(names) + small_plan());
    CHECK(contains(find_fault(faults_of_file(over), "too-many").text, "64"));
}

TEST_CASE("nothing outside of the first plan's folder is read", "[include]") {
    const Folder folder;
    folder.write("secret.toml", "hidden = \"secret word\"\n");
    std::filesystem::create_directories(folder.path() / "plans");
    std::filesystem::create_symlink("../secret.toml", folder.path() / "plans/link.toml");
    std::filesystem::create_directory_symlink("..", folder.path() / "plans/up");
    std::filesystem::create_symlink("loop.toml", folder.path() / "plans/loop.toml");
    const std::string name = GENERATE(
        "../secret.toml", "link.toml", "up/secret.toml", "a/../../secret.toml", "../missing.toml",
        "../../../../../../../../etc/passwd", "/etc/passwd", "/dev/zero", "loop.toml", "");
    INFO(name);
    const std::string main =
        folder.write("plans/pads.toml", including("\"" + name + "\"") + small_plan());
    Exit exit = Exit::done;
    const auto faults = faults_of_file(main, &exit);
    CHECK(exit == Exit::bad_plan);
    const Diagnostic found = find_fault(faults, "include-outside");
    CHECK(found.place.line == 1);
    for (const Diagnostic& each : faults) {
        CHECK_FALSE(contains(format(each), "secret word"));
        CHECK_FALSE(contains(format(each), "root:"));
    }
}

TEST_CASE("a link that stays inside is followed", "[include]") {
    const Folder folder;
    folder.write("real.toml", "name = \"real\"\n");
    std::filesystem::create_symlink("real.toml", folder.path() / "link.toml");
    const std::string main =
        folder.write("pads.toml", including("\"link.toml\", \"real.toml\"") + small_plan());
    const plan::Plan read = plan::load(main);
    CHECK(read.name == "real");
    CHECK(read.files.size() == 2);
}

TEST_CASE("only regular files are read, and no pipe is waited for", "[include]") {
    const Folder folder;
    const Alarm alarm;
    REQUIRE(::mkfifo((folder.path() / "pipe.toml").c_str(), 0600) == 0);
    std::filesystem::create_directory(folder.path() / "folder.toml");
    make_socket((folder.path() / "socket.toml").string());
    const auto [name, kind] =
        GENERATE(table<std::string, std::string>({{"pipe.toml", "pipe"},
                                                  {"socket.toml", "socket"},
                                                  {"folder.toml", "directory"},
                                                  {"missing.toml", "cannot be read"}}));
    const std::string main =
        folder.write("pads.toml", including("\"" + name + "\"") + small_plan());
    Exit exit = Exit::done;
    CHECK(contains(find_fault(faults_of_file(main, &exit), "include-unread").text, kind));
    CHECK(exit == Exit::bad_plan);
    // The same as the plan itself.
    const auto faults = faults_of_file((folder.path() / name).string(), &exit);
    CHECK(contains(find_fault(faults, "unread").text, kind));
    CHECK(exit == (name == "missing.toml" ? Exit::no_input : Exit::bad_plan));
}

TEST_CASE("include is a list of names, and a fragment has no other format", "[include]") {
    CHECK(find_fault(faults_of("include = \"a.toml\"\n" + small_plan()), "wrong-type").place.line ==
          1);
    find_fault(faults_of("include = [1]\n" + small_plan()), "wrong-type");
    const Folder folder;
    folder.write("old.toml", "format = 0\n");
    const std::string main = folder.write("pads.toml", including("\"old.toml\"") + small_plan());
    CHECK(find_fault(faults_of_file(main), "wrong-format").place.file ==
          (folder.path() / "old.toml").string());
}

TEST_CASE("a fault in an included file names that file", "[include]") {
    const Folder folder;
    folder.write("bad.toml", "\n[machine]\nhotest = 3\n");
    folder.write("worse.toml", "name = = 3\n");
    const std::string bad = folder.write("pads.toml", including("\"bad.toml\"") + small_plan());
    const Diagnostic found = find_fault(faults_of_file(bad), "unknown-key");
    CHECK(found.place.file == (folder.path() / "bad.toml").string());
    CHECK(found.place.line == 3);
    CHECK(found.source_line == "hotest = 3");
    const std::string worse = folder.write("pads.toml", including("\"worse.toml\"") + small_plan());
    CHECK(find_fault(faults_of_file(worse), "syntax").place.file ==
          (folder.path() / "worse.toml").string());
}
