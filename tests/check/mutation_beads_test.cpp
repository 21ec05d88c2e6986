#include "mutation.hpp"

/// Damage to beads: to what is extruded, where, with which tool and how much.
namespace durograde::check_tests {

using check::Kind;
using sheets::Random;

TEST_CASE("mutation: a bead is lost") {
    catches("same beads", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(
            c, random, [&](Index at) { return is_bead(c, at) && c.seen[at].act.length_mm > 0.1; });
        if (i) erase(lines, *i);
        return i.has_value();
    });
}

TEST_CASE("mutation: a bead is printed twice") {
    catches("same beads", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return is_bead(c, at) && is_simple(c, at) && !c.seen[at].act.is_arc &&
                   c.seen[at].act.length_mm > 0.1;
        });
        if (!i) return false;
        lines[*i] += travel_line(c.seen[*i].act.from, c.seen[*i].frame) + lines[*i];
        return true;
    });
}

TEST_CASE("mutation: a corner is moved by 0.05 mm") {
    catches("same beads", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return is_bead(c, at) && !c.seen[at].frame.relative && !c.seen[at].act.is_arc &&
                   word(lines[at], 'X');
        });
        if (!i) return false;
        lines[*i] =
            with_word(lines[*i], 'X', *word(lines[*i], 'X') + 0.05 / c.seen[*i].frame.unit_mm());
        return true;
    });
}

TEST_CASE("mutation: a bead is printed from its other end, which the plan does not allow") {
    catches("same beads", [](const SheetCase& c, Random& random, Lines& lines) {
        if (c.plan.order && c.plan.order->reverse) return false;
        const auto i = pick(c, random, [&](Index at) {
            return is_bead(c, at) && is_simple(c, at) && !c.seen[at].act.is_arc &&
                   c.seen[at].act.from.z == c.seen[at].act.to.z && c.seen[at].act.length_mm > 0.1;
        });
        if (!i) return false;
        const check::Act& act = c.seen[*i].act;
        const check::Frame& frame = c.seen[*i].frame;
        lines[*i] = travel_line(act.to, frame) +
                    fmt::format("G1 X{:.6f} Y{:.6f} E{:.8f}\n", act.from.x / frame.unit_mm(),
                                act.from.y / frame.unit_mm(), act.e_mm / frame.e_unit_mm()) +
                    travel_line(act.to, frame);
        return true;
    });
}

double most_coasted_mm3(const plan::Plan& plan, const plan::Tool& tool) {
    double most = 0.0;
    for (const plan::Travel& travel : travels_of(plan, tool))
        most = std::max(most, travel.coast_mm3.value_or(0.0));
    return most;
}

TEST_CASE("mutation: the last bead before a retraction is not extruded") {
    catches("same beads", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            const plan::Tool* tool = c.plan.find_tool(c.seen[at].tool);
            const double coast_mm3 = tool != nullptr ? most_coasted_mm3(c.plan, *tool) : 0.0;
            const double volume_mm3 = c.seen[at].act.e_mm * c.plan.machine.filament_area_mm2();
            return is_bead(c, at) && is_simple(c, at) && at + 1 < c.seen.size() &&
                   c.seen[at].frame.e_relative && retracts(c, at + 1) &&
                   volume_mm3 > 1.2 * coast_mm3 + 0.02;
        });
        if (!i) return false;
        const std::size_t e = lines[*i].find('E');
        lines[*i].erase(e, lines[*i].find_first_of(" \n", e) - e);
        return true;
    });
}

TEST_CASE("mutation: an arc turns the other way") {
    catches("same beads", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i =
            pick(c, random, [&](Index at) { return is_bead(c, at) && c.seen[at].act.is_arc; });
        if (!i) return false;
        lines[*i] = with_word(lines[*i], 'G', c.seen[*i].act.arc.sweep_rad > 0 ? "2" : "3");
        return true;
    });
}

TEST_CASE("mutation: a stroke lies 0.05 mm too high") {
    catches("same beads", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return kind(c, at) == Kind::travel && !c.seen[at].frame.relative &&
                   word(lines[at], 'Z') &&
                   next(
                       c, at, [&](Index to) { return is_bead(c, to); },
                       [&](Index to) { return word(lines[to], 'Z').has_value(); });
        });
        if (!i) return false;
        lines[*i] =
            with_word(lines[*i], 'Z', *word(lines[*i], 'Z') + 0.05 / c.seen[*i].frame.unit_mm());
        return true;
    });
}

TEST_CASE("mutation: the nozzle is not lowered again") {
    catches("same beads", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return kind(c, at) == Kind::travel &&
                   c.seen[at].act.to.z < c.seen[at].act.from.z - 0.01 &&
                   next(
                       c, at, [&](Index to) { return is_bead(c, to); },
                       // Another line that names the height would lower it all the same.
                       [&](Index to) { return word(lines[to], 'Z').has_value(); });
        });
        if (i) erase(lines, *i);
        return i.has_value();
    });
}

TEST_CASE("mutation: a prime is doubled") {
    catches("same beads", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            // What may have oozed out is fed again: how much that is, is known within bounds alone.
            const plan::Tool* tool = c.plan.find_tool(c.seen[at].tool);
            const bool refills = tool != nullptr && tool->prime && tool->prime->refills;
            return c.seen[at].priming && kind(c, at) == Kind::filament && !refills &&
                   c.seen[at].frame.e_relative;
        });
        if (i) lines[*i] += lines[*i];
        return i.has_value();
    });
}

TEST_CASE("mutation: another tool is taken") {
    catches("right tool", [](const SheetCase& c, Random& random, Lines& lines) {
        if (c.plan.tools.size() < 2) return false;
        const auto i = pick(c, random, [&](Index at) {
            return kind(c, at) == Kind::tool && swaps(c, at) && bead_before(c, at, Kind::tool);
        });
        if (!i) return false;
        int other = c.seen[*i].tool;
        while (other == c.seen[*i].tool)
            other = c.plan.tools[random.next() % c.plan.tools.size()].number;
        lines[*i] = fmt::format("T{}\n", other);
        return true;
    });
}

TEST_CASE("mutation: a swap is left out") {
    catches("right tool", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return kind(c, at) == Kind::tool && swaps(c, at) && bead_before(c, at, Kind::tool);
        });
        if (i) erase(lines, *i);
        return i.has_value();
    });
}

TEST_CASE("mutation: a bead's filament is off by 2 %") {
    catches("right amount", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i =
            pick(c, random, [&](Index at) { return is_bead(c, at) && c.seen[at].act.e_mm > 0.02; });
        if (!i) return false;
        const double more = 0.02 * c.seen[*i].act.e_mm / c.seen[*i].frame.e_unit_mm();
        lines[*i] = with_word(lines[*i], 'E', *word(lines[*i], 'E') + more);
        return true;
    });
}

/// A line that says how E counts, with a bead before the next that does.
std::optional<Index> e_mode(const SheetCase& c, Random& random, bool relative) {
    const auto says = [&](Index at) {
        return c.lines[at].starts_with("M82") || c.lines[at].starts_with("M83") ||
               c.lines[at].starts_with("G90") || c.lines[at].starts_with("G91");
    };
    return pick(c, random, [&](Index at) {
        const bool is_it = c.lines[at].starts_with(relative ? "M83" : "M82");
        const auto is_bead_here = [&](Index to) { return is_bead(c, to); };
        return is_it && any_bead_up_to(c, at) && next(c, at, is_bead_here, says).has_value();
    });
}

TEST_CASE("mutation: a count of E is read as increments") {
    catches("right amount", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = e_mode(c, random, false);
        if (i) lines[*i] = "M83\n";
        return i.has_value();
    });
}

TEST_CASE("mutation: increments of E are read as a count") {
    catches("same beads", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = e_mode(c, random, true);
        if (i) lines[*i] = "M82\n";
        return i.has_value();
    });
}

}  // namespace durograde::check_tests
