#pragma once

#include <catch2/catch.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "program/interpreter.hpp"

/// Lines fed to an interpreter one by one.
namespace durograde::program_test {

/// A machine for trials with tools 0 to 2 and a bed of 200 mm.
inline program::Dialect trial_dialect() {
    program::Dialect dialect;
    dialect.tools = {0, 1, 2};
    dialect.check_reach = true;
    dialect.reach_x = dialect.reach_y = {-50, 200};
    dialect.reach_z = {0, 100};
    return dialect;
}

class Reading {
  public:
    explicit Reading(program::Dialect dialect = trial_dialect())
        : interpreter_(std::move(dialect), "pads.gcode") {}

    /// The meaning of one line, or of the last of several separated by line feeds.
    program::Step operator()(std::string_view lines) {
        program::Step step;
        while (true) {
            const std::size_t feed = lines.find('\n');
            step = line(lines.substr(0, feed));
            if (feed == std::string_view::npos) return step;
            lines.remove_prefix(feed + 1);
        }
    }

    /// What `line` is refused with, or nothing. A refusal has exit status 65, place, text and
    /// remedy.
    std::optional<Diagnostic> refusal(std::string_view lines) {
        try {
            (*this)(lines);
        } catch (const Failure& failure) {
            CHECK(failure.exit() == Exit::bad_input);
            REQUIRE(failure.diagnostics().size() == 1);
            const Diagnostic& diagnostic = failure.diagnostics().front();
            CHECK(diagnostic.place.file == "pads.gcode");
            CHECK(diagnostic.place.line == number_);
            CHECK(diagnostic.place.column > 0);
            CHECK_FALSE(diagnostic.text.empty());
            CHECK_FALSE(diagnostic.mend.empty());
            return diagnostic;
        }
        return std::nullopt;
    }
    /// The code of that refusal, or "accepted".
    std::string code(std::string_view lines) {
        const auto diagnostic = refusal(lines);
        return diagnostic ? diagnostic->code : "accepted";
    }

    [[nodiscard]] const program::State& state() const { return interpreter_.state(); }

  private:
    program::Step line(std::string_view text) {
        RawLine raw;
        raw.text = text;
        raw.ending = "\n";
        raw.number = ++number_;
        grammar::Line parsed;
        grammar::parse_line(text, parsed);
        program::Step step;
        interpreter_.interpret(raw, parsed, step);
        return step;
    }

    program::Interpreter interpreter_;
    std::uint64_t number_ = 0;
};

/// Refuses the last of `lines` in a reading of its own.
inline std::string code_of(std::string_view lines, program::Dialect dialect = trial_dialect()) {
    return Reading(std::move(dialect)).code(lines);
}

}  // namespace durograde::program_test
