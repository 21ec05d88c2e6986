#include "mutation.hpp"

/// Damage to how fast the output moves beside its beads, and to the progress that it states.
namespace durograde::check_tests {

using check::Kind;
using sheets::Random;

namespace {

/// The line has a feed of its own, and moves.
bool feeds(const SheetCase& c, Index i, Kind kind_of) {
    return kind(c, i) == kind_of && c.seen[i].act.length_mm > 0 && word(c.lines[i], 'F') &&
           c.seen[i].act.from_known;
}

}  // namespace

TEST_CASE("mutation: a travel is a hundred times as fast") {
    catches("in reach", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) { return feeds(c, at, Kind::travel); });
        if (i) lines[*i] = with_word(lines[*i], 'F', *word(lines[*i], 'F') * 100);
        return i.has_value();
    });
}

TEST_CASE("mutation: filament is drawn back at 1,750 mm/s") {
    catches("in reach", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return feeds(c, at, Kind::filament) && !c.seen[at].act.by_machine;
        });
        if (i) lines[*i] = with_word(lines[*i], 'F', 1750 * 60 / c.seen[*i].frame.unit_mm());
        return i.has_value();
    });
}

TEST_CASE("mutation: the nozzle rises ten times as fast as the machine can") {
    catches("in reach", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            const check::Act& act = c.seen[at].act;
            return feeds(c, at, Kind::travel) && act.from.z != act.to.z &&
                   check::distance_xy(act.from, act.to) == 0;
        });
        if (i)
            lines[*i] = with_word(lines[*i], 'F',
                                  c.plan.machine.speed.z * 600 / c.seen[*i].frame.unit_mm());
        return i.has_value();
    });
}

TEST_CASE("mutation: a wild share of the print is said to be done") {
    catches("nothing lost", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return kind(c, at) == Kind::progress && word(c.lines[at], 'P');
        });
        if (!i) return false;
        // How long waits take is the machine's: half of a short print may be heating up.
        const bool is_early = *word(lines[*i], 'P') < 50;
        lines[*i] = with_word(lines[*i], 'P', is_early ? "100" : "0");
        return true;
    });
}

TEST_CASE("mutation: the input's progress is not said anew") {
    catches("nothing lost", [](const SheetCase& c, Random& random, Lines& lines) {
        bool any = false;
        for (Index i = 0; i < lines.size(); ++i) {
            if (kind(c, i) != Kind::progress) continue;
            erase(lines, i);
            any = true;
        }
        return random.chance(100) && any;
    });
}

}  // namespace durograde::check_tests
