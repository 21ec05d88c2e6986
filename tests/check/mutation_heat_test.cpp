#include "mutation.hpp"

/// Damage to heat: set-points, waits, and what idle tools do.
namespace durograde::check_tests {

using check::Kind;
using sheets::Random;

namespace {

/// The set-point that line `i` gives, by M104, M109 or the plan's own words; the tool in `tool`.
std::optional<double> set_point(const SheetCase& c, Index i, int& tool) {
    const std::string& line = c.lines[i];
    if (kind(c, i) == Kind::heat && c.seen[i].act.sets) {
        tool = c.seen[i].act.tool;
        return c.seen[i].act.celsius;
    }
    const bool own = line.starts_with("HEAT TOOL=") || line.starts_with("AWAIT TOOL=");
    if (!own) return std::nullopt;
    tool = std::stoi(line.substr(line.find('=') + 1));
    return std::stod(line.substr(line.rfind('=') + 1));
}

bool waits(const SheetCase& c, Index i) {
    return (kind(c, i) == Kind::heat && c.seen[i].act.waits) ||
           c.lines[i].starts_with("AWAIT TOOL=");
}

std::string with_set_point(const SheetCase& c, Index i, double celsius) {
    const std::string& line = c.lines[i];
    if (word(line, 'S')) return with_word(line, 'S', celsius);
    return line.substr(0, line.rfind('=') + 1) + fmt::format("{}\n", celsius);
}

/// Set-point of `tool` before line `i`, 0 where none was given.
double set_before(const SheetCase& c, Index i, int tool) {
    for (Index at = i; at-- > 0;) {
        int other = 0;
        const std::optional<double> celsius = set_point(c, at, other);
        if (celsius && other == tool) return *celsius;
    }
    return 0.0;
}

/// A wait for the tool in use, on which the next bead rests. Tools that only keep what the input
/// did are left out: how the input got hot is its own affair.
bool is_needed_wait(const SheetCase& c, Index i) {
    int tool = 0;
    const std::optional<double> celsius = set_point(c, i, tool);
    if (!celsius || !waits(c, i) || tool != c.seen[i].tool) return false;
    if (c.plan.find_tool(tool)->temperature_c != *celsius) return false;
    const auto bead = next(
        c, i, [&](Index at) { return is_bead(c, at); },
        [&](Index at) {
            int other = 0;
            return swaps(c, at) || (set_point(c, at, other) && other == tool);
        });
    return bead.has_value() && any_bead_up_to(c, i);
}

/// A line that puts a tool to standby or off when it is put away, and how long it is not needed
/// from then.
struct Rest {
    Index line = 0;
    int tool = 0;
    double celsius = 0.0;
};
std::optional<Rest> long_rest(const SheetCase& c, Index i) {
    Rest rest{i, 0, 0.0};
    const std::optional<double> celsius = set_point(c, i, rest.tool);
    if (!celsius || !c.plan.heat || waits(c, i) || !any_bead_up_to(c, i)) return std::nullopt;
    rest.celsius = *celsius;
    const plan::Tool* tool = c.plan.find_tool(rest.tool);
    const double before_c = set_before(c, i, rest.tool);
    if (tool == nullptr) return std::nullopt;
    const double standby_c = tool->standby_c.value_or(rest.celsius);
    if (before_c < standby_c + 5 || rest.celsius > standby_c) return std::nullopt;
    const double enough_s = c.plan.heat->idle_s + heating_s(*tool, before_c) + 5;
    for (Index at = i + 1; at < c.lines.size(); ++at) {
        const bool taken = c.seen[at].tool == rest.tool && swaps(c, at);
        if (!taken && at + 1 < c.lines.size()) continue;
        // It must be in the place of a tool that is not in use from here to there.
        const auto bead = next(
            c, i, [&](Index to) { return is_bead(c, to); }, [](Index) { return false; });
        const bool idle = bead && c.seen[*bead].tool != rest.tool;
        return idle && c.seen[at].time_s - c.seen[i].time_s > enough_s ? std::optional(rest)
                                                                       : std::nullopt;
    }
    return std::nullopt;
}

/// A wait of the tool in use for a heat that it was set to while it was away, from far below.
std::optional<Index> preheat_of(const SheetCase& c, Index wait) {
    int tool = 0;
    const std::optional<double> celsius = set_point(c, wait, tool);
    if (!is_needed_wait(c, wait)) return std::nullopt;
    for (Index at = wait; at-- > 0;) {
        int other = 0;
        const std::optional<double> set = set_point(c, at, other);
        if (!set || other != tool) continue;
        const bool is_preheat = *set == *celsius && !waits(c, at) && c.seen[at].tool != tool;
        return is_preheat && set_before(c, at, tool) < *celsius - 25 ? std::optional(at)
                                                                     : std::nullopt;
    }
    return std::nullopt;
}

}  // namespace

TEST_CASE("mutation: a tool prints 10 degrees too hot or too cold") {
    catches("right heat", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) { return is_needed_wait(c, at); });
        if (!i) return false;
        int tool = 0;
        lines[*i] = with_set_point(c, *i, *set_point(c, *i, tool) + (random.chance(50) ? 10 : -10));
        return true;
    });
}

TEST_CASE("mutation: a cold tool is not waited for") {
    catches("right heat", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            if (at == 0 || !is_needed_wait(c, at)) return false;
            int tool = 0, other = 0;
            const double celsius = *set_point(c, at, tool);
            // Set just now, from far below.
            const std::optional<double> just = set_point(c, at - 1, other);
            return just == celsius && other == tool && set_before(c, at - 1, tool) < celsius - 25;
        });
        if (i) erase(lines, *i);
        return i.has_value();
    });
}

TEST_CASE("mutation: a preheat comes late, and the wait is a set") {
    catches("right heat", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return preheat_of(c, at).has_value() && lines[at].starts_with("M109 ");
        });
        if (!i) return false;
        erase(lines, *preheat_of(c, *i));
        lines[*i].replace(0, 4, "M104");
        return true;
    });
}

TEST_CASE("mutation: the input's own first wait is lost, where what it prints is kept") {
    catches("right heat", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            int tool = 0, other = 0;
            if (!waits(c, at) || !set_point(c, at, tool) || any_bead_up_to(c, at)) return false;
            if (c.before.find(c.lines[at]) == std::string::npos) return false;
            const auto bead = next(
                c, at, [&](Index to) { return is_bead(c, to); },
                [&](Index to) { return waits(c, to) && set_point(c, to, other) && other == tool; });
            // No set-point of ours comes between, which is waited for by itself.
            return bead && c.seen[*bead].tool == tool && c.plan.find_tool(tool) != nullptr &&
                   set_before(c, *bead, tool) == set_point(c, at, other);
        });
        if (!i) return false;
        int tool = 0;
        const double celsius = *set_point(c, *i, tool);
        lines[*i] = fmt::format("M104 T{} S{}\n", tool, celsius);
        return true;
    });
}

TEST_CASE("mutation: a tool is set above the hottest") {
    catches("right heat", [](const SheetCase& c, Random& random, Lines& lines) {
        int tool = 0;
        const auto i =
            pick(c, random, [&](Index at) { return set_point(c, at, tool).has_value(); });
        if (!i) return false;
        lines[*i] = with_set_point(c, *i, c.plan.machine.hottest_c + 10);
        return true;
    });
}

TEST_CASE("mutation: a tool is left on at the end") {
    catches("quiet when idle", [](const SheetCase& c, Random& random, Lines& lines) {
        const int tool = c.plan.tools[random.next() % c.plan.tools.size()].number;
        for (Index i = c.lines.size(); i-- > 0;) {
            int other = 0;
            const std::optional<double> celsius = set_point(c, i, other);
            if (!celsius || other != tool) continue;
            // The last command alone may be one too many.
            if (*celsius > 0 || set_before(c, i, tool) <= 0) return false;
            erase(lines, i);
            return true;
        }
        return false;
    });
}

TEST_CASE("mutation: an idle tool stays hot") {
    catches("quiet when idle", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) { return long_rest(c, at).has_value(); });
        if (i) erase(lines, *i);
        return i.has_value();
    });
}

TEST_CASE("mutation: an idle tool stands 20 degrees above its standby") {
    catches("quiet when idle", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            const std::optional<Rest> rest = long_rest(c, at);
            return rest && c.plan.find_tool(rest->tool)->standby_c;
        });
        if (!i) return false;
        const Rest rest = *long_rest(c, *i);
        lines[*i] = with_set_point(c, *i, *c.plan.find_tool(rest.tool)->standby_c + 20);
        return true;
    });
}

// How long an idle lasts is known between bounds only: the lowest standby is, too.
TEST_CASE("mutation: an idle tool stands halfway between its lowest standby and its heat") {
    catches("quiet when idle", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            const std::optional<Rest> rest = long_rest(c, at);
            return rest && rest->celsius > 0 && !c.plan.find_tool(rest->tool)->standby_c;
        });
        if (!i) return false;
        const Rest rest = *long_rest(c, *i);
        const double before_c = set_before(c, *i, rest.tool);
        lines[*i] = with_set_point(c, *i, (rest.celsius + before_c) / 2);
        return true;
    });
}

}  // namespace durograde::check_tests
