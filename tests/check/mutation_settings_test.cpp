#include "mutation.hpp"

/// Damage to settings, to lines that nothing may move across, and to what the machine can obey.
namespace durograde::check_tests {

using check::Kind;
using sheets::Random;

namespace {

/// A line of `kind_of` on whose change (`differs` from the line before) the next bead rests.
template <typename Differs>
Damage loses(Kind kind_of, Differs differs) {
    return [=](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return at > 0 && kind(c, at) == kind_of && differs(c.seen[at - 1], c.seen[at]) &&
                   bead_before(c, at, kind_of);
        });
        if (i) erase(lines, *i);
        return i.has_value();
    };
}

/// Of the plan's spellings, or a dwell in which a tool cools: nothing of the input's.
bool is_own_line(const SheetCase& c, Index i) {
    const bool own_dwell =
        c.lines[i].starts_with("G4 P") && c.before.find(c.lines[i]) == std::string::npos;
    return own_dwell || c.lines[i].starts_with("HEAT ") || c.lines[i].starts_with("AWAIT ") ||
           c.lines[i].starts_with("M84");
}
/// A pin of the input's, between beads.
bool is_inner_pin(const SheetCase& c, Index i) {
    return kind(c, i) == Kind::pin && !is_own_line(c, i) && any_bead_up_to(c, i) &&
           bead_after(c, i);
}

bool travels_absolutely(const SheetCase& c, Index i) {
    return kind(c, i) == Kind::travel && !c.seen[i].frame.relative && word(c.lines[i], 'X');
}

}  // namespace

TEST_CASE("mutation: the fan is not set") {
    catches("settings kept",
            loses(Kind::fan, [](const Seen& a, const Seen& b) { return a.fan != b.fan; }));
}

TEST_CASE("mutation: the fan is off by 10 of 255") {
    catches("settings kept", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            const std::optional<double> s = word(c.lines[at], 'S');
            return kind(c, at) == Kind::fan && s && *s > 0 && *s < 240 &&
                   bead_before(c, at, Kind::fan);
        });
        if (!i) return false;
        lines[*i] = with_word(lines[*i], 'S', *word(lines[*i], 'S') + 10);
        return true;
    });
}

TEST_CASE("mutation: an acceleration or override is not set") {
    catches("settings kept", loses(Kind::setting, [](const Seen& a, const Seen& b) {
                return a.settings != b.settings;
            }));
}

TEST_CASE("mutation: an object label is not set") {
    catches("settings kept",
            loses(Kind::label, [](const Seen& a, const Seen& b) { return a.label != b.label; }));
}

TEST_CASE("mutation: a bead is printed 10 % faster") {
    catches("settings kept", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i =
            pick(c, random, [&](Index at) { return is_bead(c, at) && word(c.lines[at], 'F'); });
        if (!i) return false;
        lines[*i] = with_word(lines[*i], 'F', *word(lines[*i], 'F') * 1.1);
        return true;
    });
}

TEST_CASE("mutation: a line that nothing may move across is lost") {
    catches("settings kept", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) { return is_inner_pin(c, at); });
        if (i) erase(lines, *i);
        return i.has_value();
    });
}

TEST_CASE("mutation: such a line is said twice") {
    catches("settings kept", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) { return is_inner_pin(c, at); });
        if (i) lines[*i] += lines[*i];
        return i.has_value();
    });
}

TEST_CASE("mutation: a bead slips past such a line") {
    catches("settings kept", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) { return is_inner_pin(c, at); });
        if (!i) return false;
        Index bead = *i;
        while (bead > 0 && !is_bead(c, bead)) --bead;
        lines[bead] = lines[*i] + lines[bead];
        erase(lines, *i);
        return true;
    });
}

TEST_CASE("mutation: a travel leads out of reach") {
    catches("in reach", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) { return travels_absolutely(c, at); });
        if (!i) return false;
        lines[*i] = with_word(lines[*i], 'X',
                              (random.chance(50) ? -5.01 : 430.01) / c.seen[*i].frame.unit_mm());
        return true;
    });
}

TEST_CASE("mutation: a number is none") {
    catches("in reach", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(
            c, random, [&](Index at) { return c.seen[at].act.moves() && word(c.lines[at], 'X'); });
        if (!i) return false;
        constexpr std::array<const char*, 4> bad = {"nan", "--1", "1.2.3", ""};
        lines[*i] = with_word(lines[*i], 'X', std::string(bad[random.next() % bad.size()]));
        return true;
    });
}

TEST_CASE("mutation: a feed is nothing, or less") {
    catches("in reach", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(
            c, random, [&](Index at) { return c.seen[at].act.moves() && word(c.lines[at], 'F'); });
        if (!i) return false;
        lines[*i] = with_word(lines[*i], 'F', std::string(random.chance(50) ? "0" : "-600"));
        return true;
    });
}

TEST_CASE("mutation: a numbered line is lost, or its checksum wrong") {
    std::vector<SheetCase> cases;
    for (std::uint64_t seed = 0; cases.size() < 10; ++seed) {
        REQUIRE(seed < 200);
        sheets::Style style = sheets::style_from_seed(seed);
        style.parts = 1;
        style.layers = std::min(style.layers, 2);
        style.line_numbers = true;
        SheetCase c = make_case(sheets::sane(style), seed);
        if (judge(c.plan, c.before, c.after).held()) cases.push_back(std::move(c));
    }
    int caught = 0;
    for (int place = 0; place < places; ++place) {
        Random random(static_cast<std::uint64_t>(place));
        const SheetCase& c = cases[random.next() % cases.size()];
        Lines lines = c.lines;
        // The last numbered line has none after it that would miss it.
        const auto i = pick(c, random, [&](Index at) {
            return at + 1 < lines.size() && lines[at].starts_with("N") &&
                   lines[at + 1].starts_with("N");
        });
        REQUIRE(i);
        if (random.chance(50)) {
            erase(lines, *i);
        } else {
            const Index star = lines[*i].rfind('*');
            lines[*i].insert(star + 1, 1, lines[*i][star + 1] == '1' ? '2' : '1');
        }
        std::string after;
        for (const std::string& line : lines) after += line;
        caught += finding(judge(c.plan, c.before, after), "in reach").held ? 0 : 1;
    }
    CHECK(caught >= least_caught);
}

TEST_CASE("mutation: a line around a swap is lost") {
    catches("settings kept", [](const SheetCase& c, Random& random, Lines& lines) {
        const auto i = pick(c, random, [&](Index at) {
            return lines[at].starts_with("M841 S") || lines[at].starts_with("M842") ||
                   lines[at].starts_with("M843 S");
        });
        if (i && bead_after(c, *i)) erase(lines, *i);
        return i.has_value() && bead_after(c, *i);
    });
}

}  // namespace durograde::check_tests
