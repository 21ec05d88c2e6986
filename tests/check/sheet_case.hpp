#pragma once

#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "check/reader.hpp"
#include "grading.hpp"
#include "pair.hpp"
#include "random_plan.hpp"
#include "sheet.hpp"

/// A generated sheet with a made-up plan, graded, and its lines with their meaning beside them.
namespace durograde::check_tests {

/// One line of a program and what stands after it.
struct Seen {
    check::Act act;
    int tool = 0;
    double fan = 0.0, z_mm = 0.0;
    std::uint64_t settings = 0;
    int label = -1;
    check::Frame frame;
    bool priming = false;
    double time_s = 0.0;  ///< of motion at the programmed feeds
};

struct SheetCase {
    std::uint64_t seed = 0;
    sheets::Style style;
    std::string plan_text;
    plan::Plan plan;
    std::string before, after;
    std::vector<std::string> lines;  ///< of `after`, each with its end
    std::vector<Seen> seen;          ///< one a line
};

inline std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find('\n', at), text.size() - 1) + 1;
        lines.push_back(text.substr(at, end - at));
        at = end;
    }
    return lines;
}

inline std::vector<Seen> meaning_of(const plan::Plan& plan, const std::string& text) {
    const TextFile file(text);
    check::Reader reader(plan, file.fd(), "text");
    std::vector<Seen> seen;
    double time_s = 0.0;
    bool priming = false;
    while (reader.next()) {
        const check::State& state = reader.state();
        const check::Act& act = reader.act();
        if (act.moves() && act.feed_mm_min > 0) time_s += act.length_mm / act.feed_mm_min * 60;
        if (reader.raw().text.starts_with("; durograde: prime begins")) priming = true;
        if (reader.raw().text.starts_with("; durograde: prime ends")) priming = false;
        seen.push_back({act, state.tool, state.fan_duty, state.at.z, state.settings.mark(),
                        state.label, state.frame, priming, time_s});
    }
    return seen;
}

/// Grades the sheet of `style` by a random plan. Throws what grading throws.
inline SheetCase make_case(const sheets::Style& style, std::uint64_t seed, bool rich = false) {
    SheetCase c;
    c.seed = seed;
    c.style = style;
    c.plan_text = random_plan_text(style, seed, rich);
    c.plan = plan::load_text(c.plan_text, "made-up.toml");
    c.before = sheets::make_sheet(style);
    c.after = support::graded(c.plan, c.before);
    c.lines = lines_of(c.after);
    c.seen = meaning_of(c.plan, c.after);
    return c;
}

}  // namespace durograde::check_tests
