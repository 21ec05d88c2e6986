#include "text/diagnostic.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>

namespace durograde {
namespace {

std::string shown(std::string line, std::size_t column) {
    return format({.code = "malformed-move",
                   .text = "this move cannot be read",
                   .mend = "write plain numbers",
                   .place = {"pads.gcode", 12, column},
                   .source_line = std::move(line)});
}

std::string row(const std::string& text, std::size_t number) {
    std::size_t at = 0;
    for (std::size_t i = 0; i < number; ++i) at = text.find('\n', at) + 1;
    return text.substr(at, text.find('\n', at) - at);
}

}  // namespace

TEST_CASE("a diagnostic shows place, text, line, caret and remedy", "[text]") {
    CHECK(shown("G1 X1.2.3", 8) ==
          "pads.gcode:12:8: error: this move cannot be read [malformed-move]\n"
          "    G1 X1.2.3\n"
          "           ^\n"
          "  fix: write plain numbers\n");
    CHECK(format({.code = "long-waits", .severity = Severity::warning, .text = "it waits"}) ==
          "warning: it waits [long-waits]\n");
    CHECK(format({.code = "c", .text = "t", .place = {"a.toml", 3, 0}}) ==
          "a.toml:3: error: t [c]\n");
    CHECK(format({.code = "c", .text = "t", .place = {"a.toml", 0, 0}}) ==
          "a.toml: error: t [c]\n");
}

TEST_CASE("the caret stands below its column, in long lines too", "[text]") {
    REQUIRE(rc::check("any line and column", [] {
        const auto size = *rc::gen::inRange<std::size_t>(1, 3000);
        const auto column = *rc::gen::inRange<std::size_t>(1, size + 1);
        std::string line(size, '.');
        line[column - 1] = 'X';
        const std::string text = shown(line, column);
        RC_ASSERT(row(text, 1).size() <= 4 + 100);
        const std::size_t caret = row(text, 2).find('^');
        RC_ASSERT(caret != std::string::npos);
        RC_ASSERT(row(text, 1).at(caret) == 'X');
    }));
    CHECK(row(shown("G1", 3), 2) == "      ^");  // just past the end
    CHECK(row(shown("G1", 0), 2) == "  fix: write plain numbers");
}

TEST_CASE("bytes that a terminal could act on are shown as question marks", "[text]") {
    CHECK(row(shown("G1\x1b[2J\x07\x7f X\t5\r", 1), 1) == "    G1?[2J?? X 5?");
    const std::string all = format({.code = "c",
                                    .text = "the value \x1b[31m is odd",
                                    .mend = "no \x08 here",
                                    .place = {"pads\n\x1b.gcode", 1, 1},
                                    .source_line = std::string("a\0b", 3)});
    for (const char byte : all) CHECK((static_cast<unsigned char>(byte) >= 0x20 || byte == '\n'));
    CHECK(row(all, 0) == "pads??.gcode:1:1: error: the value ?[31m is odd [c]");
    CHECK(row(all, 1) == "    a?b");
    CHECK(row(shown("M117 \xC3\xA9t\xC3\xA9", 1), 1) ==
          "    M117 \xC3\xA9t\xC3\xA9");  // letters stay
}

// U+009B begins a command as ESC [ does, where a terminal reads the C1 controls.
TEST_CASE("control characters beyond ASCII are shown as question marks too", "[text]") {
    CHECK(row(shown("M117 \xC2\x9B"
                    "31m",
                    1),
              1)
              .find('\x9B') == std::string::npos);
}

TEST_CASE("a failure's text is that of all its diagnostics", "[text]") {
    const Failure failure(Exit::bad_plan, std::vector<Diagnostic>{{.code = "a", .text = "one"},
                                                                  {.code = "b", .text = "two"}});
    CHECK(failure.exit() == Exit::bad_plan);
    CHECK(failure.diagnostics().size() == 2);
    CHECK(std::string(failure.what()) == "error: one [a]\nerror: two [b]\n");
}

TEST_CASE("exit statuses are those of sysexits.h", "[text]") {
    CHECK(static_cast<int>(Exit::usage) == 64);
    CHECK(static_cast<int>(Exit::bad_input) == 65);
    CHECK(static_cast<int>(Exit::no_input) == 66);
    CHECK(static_cast<int>(Exit::check_failed) == 70);
    CHECK(static_cast<int>(Exit::cannot_create) == 73);
    CHECK(static_cast<int>(Exit::io_error) == 74);
    CHECK(static_cast<int>(Exit::busy) == 75);
    CHECK(static_cast<int>(Exit::bad_plan) == 78);
}

TEST_CASE("the nearest known word is what was meant", "[text]") {
    const std::vector<std::string_view> known = {"temperature", "standby", "heater",
                                                 "ready",       "hop",     "fan"};
    CHECK(nearest("temprature", known) == "temperature");  // a letter left out
    CHECK(nearest("stanndby", known) == "standby");        // one too many
    CHECK(nearest("heatar", known) == "heater");           // another one
    CHECK(nearest("haeter", known) == "heater");           // two swapped
    CHECK(nearest("hpo", known) == "hop");
    CHECK(nearest("temperature", known) == "temperature");
    CHECK(nearest("colour", known).empty());
    CHECK(nearest("", known).empty());
    CHECK(nearest("x", {}).empty());
}

TEST_CASE("a long word that is like none finds none", "[text]") {
    CHECK(nearest(std::string(200, 'q'), {"temperature", "fan"}).empty());
}

TEST_CASE("one slip of the finger still finds its word", "[text]") {
    const std::vector<std::string_view> known = {"temperature", "tolerance", "shortest",
                                                 "size",        "fan",       "gap",
                                                 "outside",     "interlock", "horizon"};
    REQUIRE(rc::check("insert, delete, replace, swap", [&] {
        const auto index = *rc::gen::inRange<std::size_t>(0, known.size());
        std::string word(known[index]);
        const auto at = *rc::gen::inRange<std::size_t>(0, word.size() - 1);
        switch (*rc::gen::inRange(0, 4)) {
            case 0:
                word.insert(at, 1, 'q');
                break;
            case 1:
                word.erase(at, 1);
                break;
            case 2:
                word[at] = 'q';
                break;
            default:
                std::swap(word[at], word[at + 1]);
                break;
        }
        RC_ASSERT(nearest(word, known) == known[index]);
    }));
}

}  // namespace durograde
