#include "mutation.hpp"

/// Damage to what was to be kept or said again: comments, messages, what a change of tools or an
/// unknown command may have changed; and ways through what is printed.
namespace durograde::check_tests {

using check::Kind;
using sheets::Random;

namespace {

/// The swap before `i`, with no bead between; there must have been beads before it.
std::optional<Index> swap_before(const SheetCase& c, Index i) {
    for (Index at = i; at > 0 && !is_bead(c, at); --at) {
        if (swaps(c, at)) return any_bead_up_to(c, at) ? std::optional(at) : std::nullopt;
    }
    return std::nullopt;
}

bool follows_swap(const SheetCase& c, Index i) {
    return swap_before(c, i).has_value() && bead_after(c, i);
}

/// Takes out one of the lines after a swap for which `fits` is true.
template <typename Fits>
Damage loses_after_swap(Fits fits) {
    return [=](const SheetCase& c, Random& random, Lines& lines) {
        const auto i =
            pick(c, random, [&](Index at) { return fits(c, at) && follows_swap(c, at); });
        if (i) erase(lines, *i);
        return i.has_value();
    };
}

bool is_note(const SheetCase& c, Index i) {
    return kind(c, i) == Kind::nothing && c.lines[i].size() > 2 &&
           c.lines[i].find("durograde") == std::string::npos;
}

std::string word_taken_out(const std::string& line, char letter) {
    const std::size_t at = line.find(std::string(" ") + letter);
    const std::size_t end = line.find_first_of(" \n", at + 1);
    return line.substr(0, at) + line.substr(end);
}

}  // namespace

TEST_CASE("mutation: a comment is lost") {
    catches("nothing lost", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) { return is_note(c, at); });
        if (i) erase(lines, *i);
        return i.has_value();
    });
}

TEST_CASE("mutation: a comment stands before another bead") {
    catches("nothing lost", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return is_note(c, at) && any_bead_up_to(c, at) && bead_after(c, at);
        });
        if (!i) return false;
        // Behind the next stroke, which ends where no bead follows at once.
        Index to = *i;
        while (to < lines.size() && !is_bead(c, to)) ++to;
        while (to < lines.size() && is_bead(c, to)) ++to;
        if (to + 1 >= lines.size() || kind(c, to) == Kind::nothing) return false;
        lines[to] = lines[*i] + lines[to];
        erase(lines, *i);
        return true;
    });
}

TEST_CASE("mutation: the E mode is not said again after a swap") {
    // Read in another mode, the numbers that follow give it away as well. G90 and G91 say it too.
    catches(nullptr, loses_after_swap([](const SheetCase& c, Index i) {
                const auto says = [&](Index at) {
                    return c.lines[at].starts_with("M83") || c.lines[at].starts_with("G91");
                };
                const auto prints = [&](Index at) { return is_bead(c, at); };
                return c.lines[i].starts_with("M83") && !says(i - 1) &&
                       next(c, i, prints, says).has_value();
            }));
}

TEST_CASE("mutation: the count of E is not said again after a swap") {
    catches(nullptr, loses_after_swap([](const SheetCase& c, Index i) {
                const auto counts = [&](Index at) { return c.lines[at].starts_with("G92 E"); };
                return counts(i) && !c.seen[i].frame.e_relative && bead_before(c, i, Kind::frame);
            }));
}

TEST_CASE("mutation: a setting is not said again after a swap") {
    catches("settings kept", [](const SheetCase& c, Random& random, Lines& lines) {
        // Said again as it was: nothing else would tell.
        const auto i = pick(c, random, [&](Index at) {
            return kind(c, at) == Kind::setting && !c.lines[at].starts_with("M140") && at > 0 &&
                   c.seen[at - 1].settings == c.seen[at].settings && follows_swap(c, at);
        });
        if (i) erase(lines, *i);
        return i.has_value();
    });
}

TEST_CASE("mutation: X or Y is left out of the first way after a swap") {
    catches(nullptr, [](const SheetCase& c, Random& random, Lines& lines) {
        const char letter = random.chance(50) ? 'X' : 'Y';
        const auto i = pick(c, random, [&](Index at) {
            const auto swap = kind(c, at) == Kind::travel && !c.seen[at].frame.relative
                                  ? swap_before(c, at)
                                  : std::nullopt;
            if (!swap || !word(c.lines[at], 'X') || !word(c.lines[at], 'Y')) return false;
            for (Index before = *swap; before < at; ++before) {
                if (kind(c, before) == Kind::travel && word(c.lines[before], letter)) return false;
            }
            // No later way to the same bead says it either.
            const auto bead = next(
                c, at, [&](Index later) { return is_bead(c, later); },
                [&](Index later) {
                    return kind(c, later) == Kind::travel && word(c.lines[later], letter);
                });
            return bead.has_value();
        });
        if (!i) return false;
        lines[*i] = word_taken_out(lines[*i], letter);
        return true;
    });
}

TEST_CASE("mutation: a way dips into what is printed") {
    catches("nothing hit", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return is_bead(c, at) && at + 1 < c.lines.size() && !is_bead(c, at + 1) &&
                   !c.seen[at].frame.relative && c.seen[at].z_mm > 0.35 && bead_after(c, at);
        });
        if (!i) return false;
        const double unit = c.seen[*i].frame.unit_mm();
        const double z = c.seen[*i].z_mm;
        lines[*i] += fmt::format("G1 Z{:.4f}\nG1 Z{:.4f}\n", (z - 0.2) / unit, z / unit);
        return true;
    });
}

TEST_CASE("mutation: tools are changed without the lift") {
    catches("nothing hit", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            if (at == 0 || c.seen[at].frame.relative || kind(c, at) != Kind::travel) return false;
            const bool lifts = word(c.lines[at], 'Z') && !word(c.lines[at], 'X') &&
                               c.seen[at].z_mm > c.seen[at - 1].z_mm + 0.06;
            if (!lifts || !any_bead_up_to(c, at)) return false;
            return next(
                       c, at, [&](Index later) { return swaps(c, later); },
                       [&](Index later) {
                           return is_bead(c, later) || kind(c, later) == Kind::travel;
                       })
                .has_value();
        });
        if (i) erase(lines, *i);
        return i.has_value();
    });
}

}  // namespace durograde::check_tests
