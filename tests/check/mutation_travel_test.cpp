#include "mutation.hpp"

/// Damage to what lies between beads: retracts, restarts, wipes.
namespace durograde::check_tests {

using check::Kind;
using sheets::Random;

namespace {

/// The restart that ends the retract at `i`, on a way that crosses open air from part to part, with
/// a tool that the plan retracts, in a plan that protects such ways.
std::optional<Index> end_of_protection(const SheetCase& c, Index i) {
    if (!retracts(c, i) || !c.plan.strings || c.plan.strings->gap_mm > 3) return std::nullopt;
    const plan::Tool* tool = c.plan.find_tool(c.seen[i].tool);
    if (tool == nullptr || !tool->travel.retract) return std::nullopt;
    const std::optional<Way> way = way_between_parts(c, i);
    if (!way) return std::nullopt;
    for (Index at = i + 1; at < way->to; ++at) {
        if (restarts(c, at)) return at;
    }
    return std::nullopt;
}

bool is_in_beads_plane(const SheetCase& c, Index i) {
    return c.seen[i].act.from.z == c.seen[i].act.to.z;
}

/// All that the tool draws back, it draws back by this line: nothing on the wipe that follows.
bool retracts_at_once(const SheetCase& c, Index i) {
    const plan::Tool* tool = c.plan.find_tool(c.seen[i].tool);
    return retracts(c, i) &&
           !(tool != nullptr && tool->travel.wipe && tool->travel.wipe->retract_share > 0);
}

/// Behind what is drawn back here the tool is put away for one that goes on.
bool retracts_to_put_away(const SheetCase& c, Index i) {
    const plan::Tool* tool = c.plan.find_tool(c.seen[i].tool);
    if (!retracts_at_once(c, i) || tool == nullptr || !tool->travel.retract ||
        !any_bead_up_to(c, i)) {
        return false;
    }
    const auto swap = next(
        c, i, [&](Index to) { return swaps(c, to); },
        [&](Index to) { return is_bead(c, to) || kind(c, to) == Kind::filament; });
    return swap.has_value() && bead_after(c, *swap);
}

/// Whether a line that nothing may move across stands between the last bead and here: what was
/// drawn back before it is the input's affair.
bool follows_pin(const SheetCase& c, Index i) {
    while (i > 0 && !is_bead(c, --i))
        if (kind(c, i) == Kind::pin) return true;
    return false;
}

/// Whether half of what is drawn back here is less than any zone asks of the tool.
bool is_half_too_little(const SheetCase& c, Index i) {
    const std::vector<plan::Travel> travels = travels_of(c.plan, *c.plan.find_tool(c.seen[i].tool));
    return std::all_of(travels.begin(), travels.end(), [&](const plan::Travel& travel) {
        return -c.seen[i].act.e_mm / 2 < 0.9 * travel.retract->length_mm;
    });
}

/// The lines of a wipe of the tool's own, right behind the retract at `i`.
std::vector<Index> wipe_behind(const SheetCase& c, Index i) {
    std::vector<Index> wipe;
    const plan::Tool* tool = c.plan.find_tool(c.seen[i].tool);
    if (!retracts(c, i) || tool == nullptr || !tool->travel.wipe || c.seen[i].frame.relative)
        return wipe;
    double left_mm = 0.0;
    for (const plan::Travel& travel : travels_of(c.plan, *tool))
        left_mm = std::max(left_mm, travel.wipe->length_mm);
    left_mm += 0.01;  // the way on may be as fast
    for (Index at = i + 1; at < c.lines.size(); ++at) {
        const check::Act& act = c.seen[at].act;
        left_mm -= act.length_mm;
        const bool wipes = left_mm >= 0 && kind(c, at) == Kind::travel &&
                           is_in_beads_plane(c, at) && act.length_mm > 0 &&
                           std::abs(act.feed_mm_min - tool->travel.wipe->speed_mm_s * 60) < 1;
        if (!wipes) break;
        wipe.push_back(at);
    }
    return wipe;
}

void catches_lost_wipes(const std::function<bool(const SheetCase&, Index)>& fits) {
    catches("protected", [&](const SheetCase& c, Random& random, Lines& lines) {
        const auto i =
            pick(c, random, [&](Index at) { return !wipe_behind(c, at).empty() && fits(c, at); });
        if (!i) return false;
        for (const Index line : wipe_behind(c, *i)) erase(lines, line);
        return true;
    });
}

}  // namespace

TEST_CASE("mutation: a restart is lost") {
    catches("balanced", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return restarts(c, at) && bead_before(c, at, Kind::filament) && any_bead_up_to(c, at);
        });
        if (i) erase(lines, *i);
        return i.has_value();
    });
}

TEST_CASE("mutation: a retract is made twice") {
    catches("balanced", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return retracts(c, at) && !c.seen[at].act.by_machine && c.seen[at].frame.e_relative &&
                   next(
                       c, at,
                       [&](Index to) {
                           return is_bead(c, to) && c.seen[to].tool == c.seen[at].tool;
                       },
                       [&](Index to) { return c.seen[to].priming; });
        });
        if (i) lines[*i] += lines[*i];
        return i.has_value();
    });
}

TEST_CASE("mutation: a prime is not declared") {
    catches("balanced", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return c.lines[at].starts_with("; durograde: prime begins");
        });
        if (!i) return false;
        erase(lines, *i);
        for (Index at = *i;; ++at) {
            if (!c.lines[at].starts_with("; durograde: prime ends")) continue;
            erase(lines, at);
            return true;
        }
    });
}

TEST_CASE("mutation: a travel through open air is not retracted") {
    catches("protected", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return retracts_at_once(c, at) && end_of_protection(c, at).has_value();
        });
        if (!i) return false;
        erase(lines, *i);
        erase(lines, *end_of_protection(c, *i));
        return true;
    });
}

TEST_CASE("mutation: a tool is put away without a retract") {
    catches("protected", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) { return retracts_to_put_away(c, at); });
        if (i) erase(lines, *i);
        return i.has_value();
    });
}

TEST_CASE("mutation: a tool is put away with half of its retract") {
    catches("protected", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return retracts_to_put_away(c, at) && !c.seen[at].act.by_machine &&
                   c.seen[at].frame.e_relative && is_half_too_little(c, at) &&
                   !follows_pin(c, at) &&
                   !next(
                       c, at, [&](Index to) { return kind(c, to) == Kind::pin; },
                       [&](Index to) { return is_bead(c, to); });
        });
        if (!i) return false;
        lines[*i] =
            fmt::format("G1 E{:.6f}\n", c.seen[*i].act.e_mm / c.seen[*i].frame.e_unit_mm() / 2);
        return true;
    });
}

TEST_CASE("mutation: a travel through open air is not wiped") {
    catches_lost_wipes([](const SheetCase& c, Index i) {
        // Where the input retracts on its own way, that may stand without a wipe.
        return c.style.retract == sheets::Retract::none && c.plan.strings &&
               c.plan.strings->gap_mm <= 3 && way_between_parts(c, i).has_value();
    });
}

TEST_CASE("mutation: a tool is put away without its wipe") {
    catches_lost_wipes([](const SheetCase& c, Index i) {
        const auto swap = next(
            c, i, [&](Index to) { return swaps(c, to); },
            [&](Index to) { return is_bead(c, to) || kind(c, to) == Kind::pin; });
        if (!swap) return false;
        const auto bead = next(
            c, *swap, [&](Index to) { return is_bead(c, to); },
            [&](Index to) { return kind(c, to) == Kind::pin; });
        return bead.has_value();
    });
}

}  // namespace durograde::check_tests
