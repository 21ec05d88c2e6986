#pragma once

#include <functional>

#include "line.hpp"
#include "sheet_case.hpp"

/// Tools for damaging a good output in a known way, at a place chosen at random.
namespace durograde::check_tests {

using Lines = std::vector<std::string>;
using Index = std::size_t;

/// Damages `lines` somewhere; false where the output has no fit place.
using Damage = std::function<bool(const SheetCase&, sheets::Random&, Lines&)>;

/// A line number for which `fits` is true, each with the same chance.
template <typename Fits>
std::optional<Index> pick(const SheetCase& c, sheets::Random& random, Fits fits) {
    std::vector<Index> found;
    for (Index i = 0; i < c.lines.size(); ++i) {
        if (fits(i)) found.push_back(i);
    }
    if (found.empty()) return std::nullopt;
    return found[random.next() % found.size()];
}

inline check::Kind kind(const SheetCase& c, Index i) {
    return c.seen[i].act.kind;
}
inline bool is_bead(const SheetCase& c, Index i) {
    return kind(c, i) == check::Kind::bead;
}

/// Coordinates are absolute and E counts increments: lines can be put in and taken out.
inline bool is_simple(const SheetCase& c, Index i) {
    return !c.seen[i].frame.relative && c.seen[i].frame.e_relative;
}

/// The first line after `i` for which `fits` is true, if that comes before any for which `stops`
/// is.
template <typename Fits, typename Stops>
std::optional<Index> next(const SheetCase& c, Index i, Fits fits, Stops stops) {
    for (Index at = i + 1; at < c.lines.size(); ++at) {
        if (fits(at)) return at;
        if (stops(at)) return std::nullopt;
    }
    return std::nullopt;
}

/// A bead comes after `i`, before any line of `kind_of`.
inline bool bead_before(const SheetCase& c, Index i, check::Kind kind_of) {
    return next(
               c, i, [&](Index at) { return is_bead(c, at); },
               [&](Index at) { return kind(c, at) == kind_of; })
        .has_value();
}

inline bool bead_after(const SheetCase& c, Index i) {
    return bead_before(c, i, check::Kind::fault);
}
inline bool any_bead_up_to(const SheetCase& c, Index i) {
    for (Index at = 0; at < i; ++at) {
        if (is_bead(c, at)) return true;
    }
    return false;
}

/// The number of the word `letter`, where the line has one.
inline std::optional<double> word(const std::string& line, char letter) {
    grammar::Line parsed;
    grammar::parse_line(line, parsed);
    const grammar::Word* found = parsed.find(letter);
    if (found == nullptr || found->value != grammar::Value::number) return std::nullopt;
    return found->number();
}

/// The line with another number for the word `letter`.
inline std::string with_word(const std::string& line, char letter, const std::string& value) {
    grammar::Line parsed;
    grammar::parse_line(line, parsed);
    const grammar::Word* found = parsed.find(letter);
    return line.substr(0, found->begin) + value + line.substr(found->end);
}
inline std::string with_word(const std::string& line, char letter, double value) {
    return with_word(line, letter, fmt::format("{:.7f}", value));
}

/// A travel along X and Y to `to`, in the program's units.
inline std::string travel_line(const check::Point& to, const check::Frame& frame) {
    return fmt::format("G1 X{:.6f} Y{:.6f}\n", to.x / frame.unit_mm(), to.y / frame.unit_mm());
}

inline void erase(Lines& lines, Index i) {
    lines[i].clear();
}

inline bool retracts(const SheetCase& c, Index i) {
    return kind(c, i) == check::Kind::filament && c.seen[i].act.e_mm < 0;
}
inline bool restarts(const SheetCase& c, Index i) {
    return kind(c, i) == check::Kind::filament && c.seen[i].act.e_mm > 0 && !c.seen[i].priming;
}

/// A swap of tools by this line.
inline bool swaps(const SheetCase& c, Index i) {
    return i > 0 && c.seen[i].tool != c.seen[i - 1].tool;
}

/// Number of the plan's part nearest to a point.
inline std::size_t nearest_part(const SheetCase& c, const check::Point& point) {
    std::size_t nearest = 0;
    double least = 1e30;
    for (std::size_t i = 0; i < c.plan.sheet.places.size(); ++i) {
        const plan::PartPlace& place = c.plan.sheet.places[i];
        const double away = std::hypot(place.x_mm - point.x, place.y_mm - point.y);
        if (away < least) {
            least = away;
            nearest = i;
        }
    }
    return nearest;
}

/// The bead before `i`, and the one after: between them lies open air for sure, from part to part.
struct Way {
    Index from = 0, to = 0;
};
inline std::optional<Way> way_between_parts(const SheetCase& c, Index i) {
    Way way;
    for (way.from = i; way.from > 0 && !is_bead(c, way.from);) --way.from;
    if (way.from == 0) return std::nullopt;
    const auto to = next(
        c, i, [&](Index at) { return is_bead(c, at); }, [](Index) { return false; });
    if (!to) return std::nullopt;
    way.to = *to;
    const check::Point& begin = c.seen[way.from].act.to;
    const check::Point& end = c.seen[way.to].act.from;
    for (Index at = way.from; at < way.to; ++at) {
        if (swaps(c, at) || kind(c, at) == check::Kind::pin) return std::nullopt;
    }
    if (nearest_part(c, begin) == nearest_part(c, end)) return std::nullopt;
    return way;
}

/// Seconds at full power from standby to the set-point of a tool.
inline double heating_s(const plan::Tool& tool, double set_c) {
    const plan::Heater& heater = tool.heater;
    const double final_c = heater.ambient_c + heater.rise_k_s / heater.loss_per_s;
    if (final_c <= set_c) return 1e9;
    return std::log((final_c - heater.ambient_c) / (final_c - set_c)) / heater.loss_per_s;
}

}  // namespace durograde::check_tests
