#include "region/parts.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "region/outline.hpp"
#include "region/turn.hpp"

namespace durograde::region {
namespace {

constexpr double line_beads = 3.0;  // what is no wider is no part
constexpr std::size_t most_listed = 6;
const char* const list_them =
    "allow more kinds of part by `kinds` in [sheet], move parts apart, or list where each part's "
    "origin lies: place = [{ x = 40, y = 40, turn = 0 "
    "}]; durograde inspect lists where beads are";

std::string middle_of(const Island& island) {
    return shown((island.min_x + island.max_x) / 2, (island.min_y + island.max_y) / 2);
}

/// An island that may be a part.
struct Candidate {
    Candidate(const Footprint& footprint, int number, Mask mask)
        : island(number),
          outline(std::move(mask)),
          hull(&footprint.islands()[static_cast<std::size_t>(number)].first_layer),
          rim(footprint.islands()[static_cast<std::size_t>(number)].rim) {}

    [[nodiscard]] Shape shape() const { return {outline, *hull, rim}; }

    int island;
    Outline outline;
    const Hull* hull;
    Rim rim;
};

/// Those that are wider than a few beads, in the order in which they are printed.
std::vector<Candidate> wide_islands(const Footprint& footprint) {
    std::vector<Candidate> candidates;
    for (std::size_t i = 0; i < footprint.islands().size(); ++i) {
        const Island& island = footprint.islands()[i];
        if (island.first_bead < 0) continue;
        const int index = static_cast<int>(i);
        Mask mask = footprint.mask(index);
        if (!is_line(mask, line_beads * footprint.bead_width_mm()))
            candidates.emplace_back(footprint, index, std::move(mask));
    }
    const auto order = [&](const Candidate& candidate) {
        return footprint.islands()[static_cast<std::size_t>(candidate.island)].first_bead;
    };
    std::sort(candidates.begin(), candidates.end(),
              [&](const Candidate& a, const Candidate& b) { return order(a) < order(b); });
    return candidates;
}

/// The origin of a part whose first layer is the hull `other`: that of `first`, turned. A quarter
/// turn leaves the box a box; else the origin turns about the centre.
plan::PartPlace placed(const Hull& first, const Hull& other, double turn_deg) {
    const double normal_deg = std::remainder(turn_deg, 360.0);
    if (std::fmod(turn_deg, 90.0) == 0.0) {
        const FlatPoint origin = other.box_center();
        return {origin.x_mm, origin.y_mm, normal_deg};
    }
    const double turn = turn_deg * std::numbers::pi / 180.0;
    const double dx = first.box_center().x_mm - first.center().x_mm;
    const double dy = first.box_center().y_mm - first.center().y_mm;
    return {other.center().x_mm + dx * std::cos(turn) - dy * std::sin(turn),
            other.center().y_mm + dx * std::sin(turn) + dy * std::cos(turn), normal_deg};
}

Misplaced unlike(const Footprint& footprint, const std::vector<int>& odd, std::size_t parts,
                 const Island& first, std::size_t kinds) {
    std::string text = std::to_string(odd.size()) + " of " + std::to_string(parts) +
                       " islands of beads are not shaped like " +
                       (kinds > 1 ? "one of the first " + std::to_string(kinds) + " kinds"
                                  : "the one printed first (" + middle_of(first) + ")") +
                       ": ";
    for (std::size_t i = 0; i < odd.size() && i < most_listed; ++i) {
        if (i > 0) text += "; ";
        text += middle_of(footprint.islands()[static_cast<std::size_t>(odd[i])]);
    }
    if (odd.size() > most_listed) text += " and others";
    return {"parts-unlike", text + ". Parts that touch are one island", list_them};
}

void add(const Candidate& part, const Candidate& first, const Turn& turn, int kind, Found& found) {
    const auto place = [&](double turn_deg) {
        plan::PartPlace at = placed(*first.hull, *part.hull, turn_deg);
        at.kind = kind;
        return at;
    };
    found.places.push_back(place(turn.deg));
    found.islands.push_back(part.island);
    std::vector<plan::PartPlace>& as_well = found.as_well.emplace_back();
    for (const double deg : turn.as_well_deg) as_well.push_back(place(deg));
}

/// Sorts the candidates into kinds, each turned against the first of its kind.
std::variant<Found, Misplaced> sorted(const Footprint& footprint,
                                      const std::vector<Candidate>& candidates, int most_kinds) {
    Found found;
    std::vector<const Candidate*> kinds;
    std::vector<int> odd;
    for (const Candidate& candidate : candidates) {
        std::optional<Turn> turn;
        std::size_t kind = 0;
        while (kind < kinds.size() && !turn) {
            turn = turn_between(kinds[kind]->shape(), candidate.shape());
            if (!turn) ++kind;
        }
        if (!turn && kinds.size() == static_cast<std::size_t>(most_kinds)) {
            odd.push_back(candidate.island);
            continue;
        }
        if (!turn) kinds.push_back(&candidate);
        add(candidate, *kinds[kind], turn.value_or(Turn{}), static_cast<int>(kind), found);
    }
    if (odd.empty()) return found;
    const auto first = static_cast<std::size_t>(candidates.front().island);
    return unlike(footprint, odd, candidates.size(), footprint.islands()[first], kinds.size());
}

std::variant<Found, Misplaced> name_listed(const std::vector<plan::PartPlace>& places,
                                           Footprint& footprint) {
    Found found{places, {}, std::vector<std::vector<plan::PartPlace>>(places.size())};
    std::vector<int> taken(footprint.islands().size(), outside);
    for (std::size_t i = 0; i < places.size(); ++i) {
        const int island = footprint.island_at(places[i].x_mm, places[i].y_mm);
        const std::string where =
            "part " + std::to_string(i) + " (" + shown(places[i].x_mm, places[i].y_mm) + ")";
        if (island < 0) {
            return Misplaced{"no-part", "there are no beads at the place of " + where,
                             "correct sheet.place: durograde inspect lists where beads are"};
        }
        int& owner = taken[static_cast<std::size_t>(island)];
        if (owner != outside) {
            return Misplaced{"parts-touch",
                             "part " + std::to_string(owner) + " and " + where +
                                 " stand on the same island of beads",
                             "move the parts apart, or list one place an island"};
        }
        owner = static_cast<int>(i);
        footprint.name_part(island, owner);
        found.islands.push_back(island);
    }
    return found;
}

}  // namespace

std::variant<Found, Misplaced> find_parts(const Footprint& footprint, int most_kinds) {
    const std::vector<Candidate> candidates = wide_islands(footprint);
    if (candidates.empty()) {
        return Misplaced{"no-part", "no island of beads is wider than three beads",
                         "check that this is the program of the parts"};
    }
    return sorted(footprint, candidates, most_kinds);
}

std::variant<Found, Misplaced> find_labelled(const Footprint& footprint, const Labels& labels,
                                             int most_kinds) {
    auto named = labels.islands(footprint);
    if (auto* misplaced = std::get_if<Misplaced>(&named)) return std::move(*misplaced);
    std::vector<Candidate> candidates;
    for (const int island : std::get<std::vector<int>>(named)) {
        if (footprint.islands()[static_cast<std::size_t>(island)].first_bead >= 0)
            candidates.emplace_back(footprint, island, footprint.mask(island));
    }
    return sorted(footprint, candidates, most_kinds);
}

bool any_on_part(const Footprint& footprint, const std::vector<FlatPoint>& points) {
    std::vector<int> lines;  // islands that are none
    for (const FlatPoint& point : points) {
        const int island = footprint.island_of_bead(point.x_mm, point.y_mm);
        if (island < 0 || std::find(lines.begin(), lines.end(), island) != lines.end()) continue;
        if (!is_line(footprint.mask(island), line_beads * footprint.bead_width_mm())) return true;
        lines.push_back(island);
    }
    return false;
}

Sequence sequence_of(const Footprint& footprint) {
    std::uint32_t first_run = 0, stack = 0;
    Sequence sequence;
    for (std::size_t i = 0; i < footprint.islands().size(); ++i) {
        const Island& island = footprint.islands()[i];
        if (island.first_bead < 0 ||
            is_line(footprint.mask(static_cast<int>(i)), line_beads * footprint.bead_width_mm()))
            continue;
        sequence.one_by_one = sequence.one_by_one || (first_run > 0 && island.stack != stack);
        first_run = first_run > 0 ? std::min(first_run, island.first_run) : island.first_run;
        stack = island.stack;
    }
    sequence.layers_before = first_run > 0 ? first_run - 1 : 0;
    return sequence;
}

std::variant<Found, Misplaced> place_parts(const plan::Sheet& sheet, Footprint& footprint,
                                           const Labels& labels) {
    using Source = plan::Sheet::Source;
    if (sheet.source == Source::list) return name_listed(sheet.places, footprint);
    auto found = sheet.source == Source::labels ? find_labelled(footprint, labels, sheet.kinds)
                                                : find_parts(footprint, sheet.kinds);
    if (const auto* parts = std::get_if<Found>(&found)) {
        for (std::size_t i = 0; i < parts->islands.size(); ++i)
            footprint.name_part(parts->islands[i], static_cast<int>(i));
    }
    return found;
}

}  // namespace durograde::region
