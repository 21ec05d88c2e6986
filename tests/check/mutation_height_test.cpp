#include "mutation.hpp"

/// Damage to how high the nozzle goes between beads.
namespace durograde::check_tests {

using check::Kind;
using sheets::Random;

namespace {

std::string height_line(double z_mm, const check::Frame& frame) {
    return fmt::format("G1 Z{:.6f}\n", z_mm / frame.unit_mm());
}

/// A travel in the plane of beads, within a layer, some bead before and behind it.
bool is_way_in_layer(const SheetCase& c, Index i) {
    const check::Act& act = c.seen[i].act;
    if (kind(c, i) != Kind::travel || !is_simple(c, i) || !act.from_known || !any_bead_up_to(c, i))
        return false;
    return check::distance_xy(act.from, act.to) > 0 && bead_after(c, i);
}

/// The lower one of the beads before and behind line `i`, mm.
double floor_of(const SheetCase& c, Index i) {
    Index before = i;
    while (before > 0 && !is_bead(c, before)) --before;
    const auto behind = next(
        c, i, [&](Index at) { return is_bead(c, at); }, [](Index) { return false; });
    return std::min(c.seen[before].act.to.z, c.seen[*behind].act.from.z);
}

/// A lift in place after some bead, and the line that lowers the nozzle again before the next one.
struct Hop {
    Index lift, lower;
};

bool is_vertical(const SheetCase& c, Index i) {
    const check::Act& act = c.seen[i].act;
    return kind(c, i) == Kind::travel && act.from_known && act.from.z != act.to.z &&
           check::distance_xy(act.from, act.to) == 0;
}

double side(const check::Point& a, const check::Point& b, const check::Point& c) {
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

/// Whether a straight bead that was printed before line `i`, at the height of the last one, is
/// crossed by the travels between two lines, 2 mm or more from where each of them ends.
bool crosses_printed(const SheetCase& c, Index first, Index last) {
    const double z = c.seen[first].act.from.z;
    for (Index way = first + 1; way < last; ++way) {
        const check::Act& act = c.seen[way].act;
        if (kind(c, way) != Kind::travel || act.is_arc) continue;
        for (Index i = 0; i < first; ++i) {
            const check::Act& bead = c.seen[i].act;
            if (!is_bead(c, i) || bead.is_arc || std::abs(bead.to.z - z) > 1e-6) continue;
            const double from = side(bead.from, bead.to, act.from);
            const double to = side(bead.from, bead.to, act.to);
            const double a = side(act.from, act.to, bead.from);
            const double b = side(act.from, act.to, bead.to);
            if (!(from * to < 0 && a * b < 0)) continue;
            const check::Point at = check::between(act.from, act.to, from / (from - to));
            if (check::distance_xy(at, act.from) > 2 && check::distance_xy(at, act.to) > 2)
                return true;
        }
    }
    return false;
}

std::optional<Hop> hop_at(const SheetCase& c, Index lift) {
    const plan::Tool* tool = c.plan.find_tool(c.seen[lift].tool);
    if (tool == nullptr || !is_vertical(c, lift) || c.seen[lift].act.to.z < c.seen[lift].act.from.z)
        return std::nullopt;
    const auto travels = travels_of(c.plan, *tool);
    const bool hops = std::all_of(travels.begin(), travels.end(), [](const plan::Travel& travel) {
        return travel.hop_mm.value_or(0.0) > 0.1 && travel.retract.has_value();
    });
    if (!hops || !is_simple(c, lift) || !any_bead_up_to(c, lift)) return std::nullopt;
    // Over a line that nothing may move across, the way is the input's affair.
    for (Index i = lift; !is_bead(c, i); --i)
        if (kind(c, i) == Kind::pin) return std::nullopt;
    const auto lower = next(
        c, lift, [&](Index at) { return is_vertical(c, at); },
        [&](Index at) { return is_bead(c, at) || swaps(c, at) || kind(c, at) == Kind::pin; });
    const bool returns = lower && c.seen[*lower].act.to.z == c.seen[lift].act.from.z;
    if (!returns || !crosses_printed(c, lift, *lower)) return std::nullopt;
    // What is said for the first time parts beads as a line does that nothing may move across.
    const auto bead = next(
        c, *lower, [&](Index at) { return is_bead(c, at); },
        [&](Index at) {
            return kind(c, at) == Kind::pin || kind(c, at) == Kind::fan ||
                   kind(c, at) == Kind::setting;
        });
    if (!bead) return std::nullopt;
    return Hop{lift, *lower};
}

}  // namespace

TEST_CASE("mutation: the nozzle dips into the part on its way") {
    catches("nothing hit", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) { return is_way_in_layer(c, at); });
        if (!i) return false;
        const double z = c.seen[*i].act.to.z;
        lines[*i] +=
            height_line(floor_of(c, *i) - 0.1, c.seen[*i].frame) + height_line(z, c.seen[*i].frame);
        return true;
    });
}

TEST_CASE("mutation: after its last bead the nozzle goes down beside it") {
    catches("nothing hit", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return is_bead(c, at) && is_simple(c, at) && !bead_after(c, at);
        });
        if (!i) return false;
        // Down beside the bead's centre line, where its flank stands.
        const check::Act& act = c.seen[*i].act;
        const double mm = check::distance_xy(act.from, act.to);
        if (!(act.to.z > 0.5) || act.is_arc || !(mm > 0.5)) return false;
        constexpr double aside_mm = 0.2;
        const check::Point aside{act.to.x - aside_mm * (act.to.y - act.from.y) / mm,
                                 act.to.y + aside_mm * (act.to.x - act.from.x) / mm, act.to.z};
        lines[*i] += travel_line(aside, c.seen[*i].frame) +
                     height_line(act.to.z - 0.1, c.seen[*i].frame) +
                     height_line(act.to.z, c.seen[*i].frame);
        return true;
    });
}

TEST_CASE("mutation: a hop over what is printed is left out") {
    // Behind a change of tools it is "nothing hit" that falls, else "protected".
    catches(nullptr, [](const SheetCase& c, Random& random, Lines& lines) {
        // Where the input hops itself, its own way may stand as it is.
        if (c.style.retract != sheets::Retract::none) return false;
        const auto i = pick(c, random, [&](Index at) { return hop_at(c, at).has_value(); });
        if (!i) return false;
        erase(lines, hop_at(c, *i)->lower);
        erase(lines, *i);
        return true;
    });
}

}  // namespace durograde::check_tests
