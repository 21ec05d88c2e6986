#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "plan/guard.hpp"
#include "plan/load.hpp"
#include "plan/read_file.hpp"
#include "sample_plan.hpp"

using namespace durograde;
using namespace durograde::plan_test;

namespace {

/// A key of `parts` parts.
std::string key_of(std::size_t parts) {
    return "a" + repeated(".a", parts - 1);
}

}  // namespace

TEST_CASE("what would make the parser recurse is refused first", "[hostile]") {
    const std::string text = GENERATE(
        "x = " + repeated("[", 100000), "x = " + repeated("{a=", 80000),
        "x = " + repeated("[{a=", 60000), key_of(100000) + " = 1", "[" + key_of(100000) + "]",
        "[[" + key_of(100000) + "]]", "x = { " + key_of(100000) + " = 1 }",
        repeated("\"a\" . 'b' .", 20000) + "c = 1",
        // Quotes that touch the closing three belong to the string: what follows is outside of it.
        "x = { s = \"\"\"a\"\"\"\", " + key_of(100000) + " = 1 }",
        "x = { s = '''a''''', " + key_of(100000) + " = 1 }",
        "x = { s = \"\\\"\", " + key_of(100000) + " = 1 }",
        "x = { s = \"\"\"\\\"\"\"\", " + key_of(100000) + " = 1 }",
        "x = { s = '\\', " + key_of(100000) + " = 1 }",
        "x = { s = \"\", " + key_of(100000) + " = 1 }", "# '''\n" + key_of(100000) + " = 1");
    INFO(text.substr(0, 60));
    const Diagnostic found = fault(text, "too-deep");
    CHECK(found.place.line > 0);
    CHECK(format(found).size() < 1000);
}

TEST_CASE("text beyond ASCII is read in strings and comments", "[hostile]") {
    const std::string text = "# \xC3\xA4 \xE2\x80\xA8\n" + small_plan();
    CHECK(plan::load_text("name = \"\xC3\xA4\"\n" + text, "p.toml").name == "\xC3\xA4");
    CHECK(plan::load_text("name = '\xC3\xA4'\n" + text, "p.toml").name == "\xC3\xA4");
    CHECK(plan::load_text("name = \"\"\"\xC3\xA4 \\\n  b\xC3\xA4\"\"\"\n" + text, "p.toml").name ==
          "\xC3\xA4 b\xC3\xA4");
    CHECK(plan::load_text("name = \"\"\"\\\\\xC3\xA4\"\"\"\n" + text, "p.toml").name ==
          "\\\xC3\xA4");
    fault("\"\xC3\xA4\" = 1\n" + text, "unknown-key");
    CHECK(contains(fault("x = \xC3\xA4\n" + text, "syntax").text, "in quotes only"));
    CHECK(contains(fault("x = 1'''\xC3\xA4'''\n" + text, "syntax").text, "a quote may not"));
}

TEST_CASE("dots and brackets in strings and comments are text", "[hostile]") {
    const std::string many = repeated(".", 100) + repeated("[", 100);
    const std::string text = "# " + many + "\n" + small_plan() + "[sheet] # " + many + "\n";
    CHECK(faults_of("name = \"" + many + "\"\n" + text).empty());
    CHECK(faults_of("name = '" + many + "'\n" + text).empty());
    CHECK(faults_of("name = \"\"\"\n" + many + "\"\n\\\"\"\"\"\"\n" + text).empty());
    CHECK(faults_of("name = '''" + many + "'\n" + many + "'''\n" + text).empty());
}

TEST_CASE("sixteen parts are parsed, seventeen are not", "[hostile]") {
    fault(key_of(16) + " = 1\n" + small_plan(), "unknown-key");
    fault(key_of(17) + " = 1\n" + small_plan(), "too-deep");
    const std::string deepest = repeated("[", 16) + repeated("]", 16);
    fault("x = " + deepest + "\n" + small_plan(), "unknown-key");
    fault("x = [" + deepest + "]\n" + small_plan(), "too-deep");
}

TEST_CASE("a plan has at most 256 KiB", "[hostile]") {
    const std::string plan = small_plan() + "#";
    const std::string full = plan + std::string(256 * 1024 - plan.size(), ' ');
    CHECK(faults_of(full).empty());
    CHECK(contains(fault(full + " ", "unread").text, "262144"));
    CHECK(contains(fault(key_of(200000) + " = 1", "unread").text, "262144"));

    const Folder folder;
    CHECK(faults_of_file(folder.write("full.toml", full)).empty());
    Exit exit = Exit::done;
    find_fault(faults_of_file(folder.write("over.toml", full + " "), &exit), "unread");
    CHECK(exit == Exit::bad_plan);
    folder.write("part.toml", full + " ");
    const std::string main =
        folder.write("main.toml", "include = [\"part.toml\"]\n" + small_plan());
    find_fault(faults_of_file(main), "include-unread");
}

TEST_CASE("text that is no TOML is refused at its place", "[hostile]") {
    struct Row {
        std::string text;
        std::size_t line;
    };
    const Row row = GENERATE(values<Row>({{"x = 1e999\n", 1},
                                          {"\nx =\n", 2},
                                          {"x = 1\nx = 2\n", 2},
                                          {"x = \"open\n", 1},
                                          {"x = \"\xFF\"\n", 1},
                                          {std::string("x = \"a\0b\"\n", 10), 1},
                                          {"x = .5\n", 1},
                                          {"[machine\n", 1},
                                          {"[=\n", 1},
                                          {"x = 1\xC9\xA2\n", 1},
                                          {"\xC3\xA4 = 1\n", 1},
                                          {"x = 1 \xC2\xA0\n", 1},
                                          {"x = \"\"\"a\n\\\n  \xC3\xA4\"\"\"\n", 3},
                                          {"x = \"\"\"\n\\\xC3\xA4\"\"\"\n", 2},
                                          {"\n[[\n", 2},
                                          {"[ .a]\n", 1},
                                          {"\n\nx = [1,\n", 4},
                                          {"# a\rb\n", 1}}));
    INFO(row.text);
    CHECK(fault(row.text, "syntax").place.line == row.line);
}

TEST_CASE("a byte-order mark and CRLF are read", "[hostile]") {
    const Folder folder;
    std::string text;
    for (const char byte : small_plan()) text += byte == '\n' ? "\r\n" : std::string(1, byte);
    CHECK(faults_of_file(folder.write("pads.toml", "\xEF\xBB\xBF" + text)).empty());
    CHECK(faults_of("\xEF\xBB\xBF" + text).empty());
    CHECK(fault(text + "x = 1\r\n", "unknown-key").source_line == "x = 1");
}

TEST_CASE("a plan that is wrong throughout is not listed without end", "[hostile]") {
    std::string text = "x = {";
    for (int i = 0; i < 20000; ++i) text += "k" + std::to_string(i) + "=1,";
    text += "z=1}\n";
    std::string keys = "[machine.write]\n";
    for (int i = 0; i < 15000; ++i) keys += "k" + std::to_string(i) + "=1\n";
    for (const std::string& hostile : {text, keys}) {
        const auto faults = faults_of(hostile + "[other]\n");
        CHECK(faults.size() <= 101);
    }
    CHECK(contains(find_fault(faults_of(keys), "more").text, "further"));
}

TEST_CASE("lists have limits", "[hostile]") {
    std::string places = "[sheet]\nplace = [";
    for (int i = 0; i < 4097; ++i) places += "{x=1,y=1},";
    CHECK(contains(fault(small_plan() + places + "]\n", "too-many").text, "4097"));
    CHECK(contains(fault(small_plan() + repeated("[[shape]]\n", 257), "too-many").mend, "256"));
}

TEST_CASE("every list has its limit", "[hostile]") {
    struct Row {
        std::string text, limit;
    };
    const Row row = GENERATE(values<Row>(
        {{repeated("[[zone]]\n", 257), "256"},
         {repeated("[[tool]]\n", 257), "256"},
         {"[material]\n" + repeated("[[material.point]]\n", 257), "256"},
         {"[machine]\nsettings = [" + repeated("\"M8572\", ", 257) + "]\n", "256"},
         {"[machine.write]\nbefore_swap = [" + repeated("\"M1\", ", 65) + "]\n", "64"},
         {"[machine.write]\nafter_swap = [" + repeated("\"M1\", ", 65) + "]\n", "64"}}));
    INFO(row.text.substr(0, 60));
    CHECK(contains(fault("format = 1\n" + row.text, "too-many").mend, row.limit));
}

TEST_CASE("control bytes of a plan never reach the terminal", "[hostile]") {
    const std::string text = "\"\\u001B[2J\" = 1\n" + small_plan();
    const std::string said = format(fault(text, "unknown-key"));
    CHECK(said.find('\x1B') == std::string::npos);
}

TEST_CASE("any text is loaded or refused", "[hostile]") {
    static const std::vector<std::string> pieces = {
        "\n",         "x",          "=",    "1",
        ".",          "[",          "]",    "[[zone]]\n",
        "{",          "}",          "\"",   "'",
        "\"\"\"",     "'''",        "#",    "where = \"true\"\n",
        ",",          "\\",         "\xFF", "[machine]\n",
        "[tool]\n",   "tool = 0\n", "nan",  "format = 1\n",
        " ",          "inf",        "1e9",  "reach = {}\n",
        "shape=[{}]", "\r",         "zone", "true"};
    const bool held = rc::check("total", [] {
        const auto picks = *rc::gen::container<std::vector<std::size_t>>(
            rc::gen::inRange<std::size_t>(0, pieces.size()));
        std::string text;
        for (const std::size_t pick : picks) text += pieces[pick];
        try {
            plan::load_text(text, "any.toml");
        } catch (const Failure& failure) {
            RC_ASSERT(failure.exit() == Exit::bad_plan);
            RC_ASSERT(!failure.diagnostics().empty());
        }
    });
    CHECK(held);
}

TEST_CASE("any damage to a good plan is loaded or refused", "[hostile]") {
    const bool held = rc::check("total", [] {
        std::string text = good_plan();
        const int edits = *rc::gen::inRange(1, 6);
        for (int i = 0; i < edits; ++i) {
            const auto at = *rc::gen::inRange<std::size_t>(0, text.size() - 20);
            const auto length = *rc::gen::inRange<std::size_t>(0, 12);
            text.replace(at, length,
                         *rc::gen::element<std::string>("", "\"", "-", "1e6", "[", "\n"));
        }
        try {
            plan::load_text(text, "damaged.toml");
        } catch (const Failure& failure) {
            RC_ASSERT(failure.exit() == Exit::bad_plan);
        }
    });
    CHECK(held);
}

TEST_CASE("a table has at most 1000 keys, whatever files they come from", "[hostile]") {
    const auto keys = [](const std::string& stem, int count) {
        std::string text;
        for (int i = 0; i < count; ++i) text += stem + std::to_string(i) + " = 1\n";
        return text;
    };
    fault(keys("un", 20000) + small_plan(), "too-many");
    fault(keys("un", 900) + small_plan(), "unknown-key");
    const Folder folder;
    folder.write("part.toml", keys("un", 900));
    const std::string two =
        folder.write("two.toml", "include = [\"part.toml\"]\n" + keys("vn", 900) + small_plan());
    find_fault(faults_of_file(two), "too-many");
}

TEST_CASE("flows are such as a print can end at", "[hostile]") {
    for (const std::string flow : {"1e-20", "1e-9", "0.0099"}) {
        INFO(flow);
        fault(replaced(good_plan(), "max_flow = 6.5", "max_flow = " + flow), "out-of-range");
    }
}
