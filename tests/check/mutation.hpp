#pragma once

#include "damage.hpp"

/// Good outputs of generated sheets, damaged in many ways: each way must be caught by the invariant
/// that is named for it, in at least 99 of 100 places.
namespace durograde::check_tests {

inline constexpr int places = 100;
inline constexpr int least_caught = 99;

/// Cases whose lines can be edited one by one: no line numbers, no G words left out.
inline const std::vector<SheetCase>& editable_cases() {
    static const std::vector<SheetCase> cases = [] {
        std::vector<SheetCase> made;
        for (std::uint64_t seed = 0; made.size() < 120; ++seed) {
            REQUIRE(seed < 1000);
            sheets::Style style = sheets::style_from_seed(seed);
            const bool rich = seed % 2 == 0;
            style.parts = rich ? 2 + static_cast<int>(seed / 2 % 3) : std::min(style.parts, 4);
            if (rich && seed % 8 < 4) style.retract = sheets::Retract::none;
            style.layers = std::min(style.layers, 3);
            style.modal = style.line_numbers = style.lower_case = style.no_blanks = style.crlf =
                false;
            if (style.brim_loops > 0) style.gap_mm += 2 * style.brim_loops * style.bead_mm;
            SheetCase c = make_case(sheets::sane(style), seed, rich);
            if (judge(c.plan, c.before, c.after).held()) made.push_back(std::move(c));
        }
        return made;
    }();
    return cases;
}

/// How the tool may go from its beads: as it says itself, or as zones say.
inline std::vector<plan::Travel> travels_of(const plan::Plan& plan, const plan::Tool& tool) {
    std::vector<plan::Travel> travels = {tool.travel};
    for (const plan::Zone& zone : plan.zones)
        if (zone.travel && std::get<plan::ToolNumber>(zone.tool).number == tool.number)
            travels.push_back(*zone.travel);
    return travels;
}

/// Damages outputs at `places` places and counts how often the finding `name` falls; without a
/// name, any.
inline void catches(const char* name, const Damage& damage) {
    int tried = 0, caught = 0;
    std::string missed;
    for (std::uint64_t seed = 0; tried < places && seed < 20'000; ++seed) {
        sheets::Random random(seed);
        const SheetCase& c = editable_cases()[random.next() % editable_cases().size()];
        Lines lines = c.lines;
        if (!damage(c, random, lines)) continue;
        std::string after;
        for (const std::string& line : lines) after += line;
        REQUIRE(after != c.after);
        ++tried;
        const check::Verdict verdict = judge(c.plan, c.before, after);
        if (name == nullptr ? !verdict.held() : !finding(verdict, name).held) {
            ++caught;
        } else {
            missed += fmt::format("place {} of case {}: {}\n", seed, c.seed, story(verdict));
        }
    }
    INFO("missed: " << missed);
    CHECK(tried == places);
    CHECK(caught >= least_caught);
}

}  // namespace durograde::check_tests
