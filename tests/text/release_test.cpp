#include "text/release.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>

#include "sample_plan.hpp"
#include "text/diagnostic.hpp"

namespace durograde {
namespace {

namespace fs = std::filesystem;
using plan_test::Folder;

std::string content(const fs::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

std::size_t count_of(const fs::path& folder) {
    const fs::directory_iterator files(folder);
    return static_cast<std::size_t>(std::distance(begin(files), end(files)));
}

void release_text(const std::string& path, std::string_view text) {
    Release release(path);
    release.sink().write(text);
    release.release();
}

Exit exit_of(const std::function<void()>& act) {
    try {
        act();
    } catch (const Failure& failure) {
        CHECK_FALSE(failure.diagnostics().front().mend.empty());
        CHECK_FALSE(failure.diagnostics().front().place.file.empty());
        return failure.exit();
    }
    return Exit::done;
}

mode_t mode_of(const std::string& path) {
    struct stat status {};
    REQUIRE(::stat(path.c_str(), &status) == 0);
    return status.st_mode & 07777;
}

}  // namespace

TEST_CASE("a file is there once it is released, and not before", "[text]") {
    const Folder folder;
    const std::string path = folder.path() / "graded.gcode";
    Release release(path);
    release.sink().write("G1\n");
    CHECK(count_of(folder.path()) == 0);
    release.sink().write("G2\n");
    release.release();
    CHECK(content(path) == "G1\nG2\n");
    CHECK(count_of(folder.path()) == 1);
}

TEST_CASE("without release the old file is untouched and nothing is left", "[text]") {
    const Folder folder;
    const std::string path = folder.write("graded.gcode", "old\n");
    const auto stamp = fs::last_write_time(path);
    {
        Release release(path);
        release.sink().write(std::string(1'000'000, 'x'));
        CHECK(content(path) == "old\n");
    }
    CHECK(content(path) == "old\n");
    CHECK(fs::last_write_time(path) == stamp);
    CHECK(count_of(folder.path()) == 1);
}

TEST_CASE("a release puts the new file in the old one's place at once", "[text]") {
    const Folder folder;
    const std::string path = folder.write("graded.gcode", "old, and longer than the new one\n");
    const std::string other = folder.path() / "kept.gcode";
    fs::create_hard_link(path, other);
    release_text(path, "new\n");
    CHECK(content(path) == "new\n");
    // Whoever still reads the old file goes on reading it.
    CHECK(content(other) == "old, and longer than the new one\n");
    CHECK(count_of(folder.path()) == 2);
}

TEST_CASE("a symbolic link stays and its target is replaced", "[text]") {
    const Folder folder;
    const std::string target = folder.write("sheets/graded.gcode", "old\n");
    const fs::path link = folder.path() / "latest.gcode", chain = folder.path() / "chain.gcode";
    fs::create_symlink("sheets/graded.gcode", link);
    fs::create_symlink(link, chain);
    release_text(chain, "new\n");
    CHECK(fs::is_symlink(link));
    CHECK(fs::is_symlink(chain));
    CHECK(content(target) == "new\n");
    CHECK(count_of(folder.path()) == 3);
    CHECK(count_of(folder.path() / "sheets") == 1);
}

TEST_CASE("a link to a file that is not there yet makes it", "[text]") {
    const Folder folder;
    const fs::path link = folder.path() / "latest.gcode";
    fs::create_symlink("graded.gcode", link);
    release_text(link, "new\n");
    CHECK(fs::is_symlink(link));
    CHECK(content(folder.path() / "graded.gcode") == "new\n");
    const fs::path loop = folder.path() / "loop.gcode";
    fs::create_symlink("loop.gcode", loop);
    CHECK(exit_of([&] { release_text(loop, "new\n"); }) == Exit::cannot_create);
    CHECK(count_of(folder.path()) == 3);
}

TEST_CASE("the mode is that of the old file, else that of any new one", "[text]") {
    const Folder folder;
    const std::string path = folder.write("graded.gcode", "old\n");
    ::chmod(path.c_str(), 04640);
    release_text(path, "new\n");
    CHECK(mode_of(path) == 0640);  // never the set-user bit
    const mode_t before = ::umask(027);
    const std::string fresh = folder.path() / "fresh.gcode";
    release_text(fresh, "new\n");
    CHECK(::umask(before) == 027);  // and the mask is left as it was
    CHECK(mode_of(fresh) == 0640);
}

TEST_CASE("what a killed run left is removed, what a living one holds is not", "[text]") {
    const Folder folder;
    const std::string left = folder.write(".durograde-spool-1", "half a sheet");
    const std::string held = folder.write(".durograde-spool-2", "half a sheet");
    const std::string other = folder.write(".durograde-notes", "of the gardener");
    const File holder(::open(held.c_str(), O_RDONLY | O_CLOEXEC));
    REQUIRE(::flock(holder.fd(), LOCK_EX) == 0);
    release_text(folder.path() / "graded.gcode", "new\n");
    CHECK_FALSE(fs::exists(left));
    CHECK(fs::exists(held));
    CHECK(fs::exists(other));
}

TEST_CASE("the longest name that fits is released", "[text]") {
    const Folder folder;
    const std::string path = folder.path() / std::string(255, 'n');
    release_text(path, "new\n");
    CHECK(content(path) == "new\n");
    CHECK(count_of(folder.path()) == 1);
}

TEST_CASE("what cannot be created is told before any work", "[text]") {
    const Folder folder;
    CHECK(exit_of([&] { Release release(folder.path()); }) == Exit::cannot_create);
    CHECK(exit_of([&] { Release release(folder.path() / "none" / "x.gcode"); }) ==
          Exit::cannot_create);
    const std::string file = folder.write("file", "");
    CHECK(exit_of([&] { Release release(file + "/x.gcode"); }) == Exit::cannot_create);
    CHECK(exit_of([&] { Release release(folder.path() / std::string(300, 'x')); }) == Exit::done);
    CHECK(exit_of([&] { release_text(folder.path() / std::string(300, 'x'), "new\n"); }) ==
          Exit::cannot_create);
    CHECK(count_of(folder.path()) == 1);
}

TEST_CASE("a device gets the bytes when they are complete", "[text]") {
    release_text("/dev/null", "G1\n");
    Release full("/dev/full");
    full.sink().write("G1\n");
    CHECK(exit_of([&] { full.release(); }) == Exit::io_error);
    const Folder folder;
    const std::string fifo = folder.path() / "pipe";
    REQUIRE(::mkfifo(fifo.c_str(), 0600) == 0);
    const File reader(::open(fifo.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC));
    release_text(fifo, "G1\n");
    CHECK(fs::is_fifo(fifo));
}

TEST_CASE("the complete bytes can be read back before the release", "[text]") {
    const Folder folder;
    Release release(folder.path() / "graded.gcode");
    release.sink().write("G1\nG2\n");
    class Text final : public Sink {
      public:
        void write(std::string_view bytes) override { text += bytes; }
        std::string text;
    };
    Text back;
    copy_all(release.rewound(), back, "spool");
    CHECK(back.text == "G1\nG2\n");
    release.release();
    CHECK(content(folder.path() / "graded.gcode") == "G1\nG2\n");
}

TEST_CASE("odd names are names", "[text]") {
    const Folder folder;
    for (const char* name : {"-", "a b;c", "line\nfeed", "\xff\xfe", "~"}) {
        const std::string path = folder.path() / name;
        release_text(path, "new\n");
        CHECK(content(path) == "new\n");
    }
    CHECK(count_of(folder.path()) == 5);
}

}  // namespace durograde
