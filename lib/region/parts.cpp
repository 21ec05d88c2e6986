#include "region/parts.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>
#include <utility>

#include "region/outline.hpp"

namespace durograde::region {
namespace {

constexpr double line_beads = 3.0;  // what is no wider is no part
constexpr std::size_t most_listed = 6;
const char* const list_them =
    "move parts apart, or list where each part's origin lies: place = [{ x = 40, y = 40, turn = 0 "
    "}]; durograde inspect lists where beads are";

std::string shown(double x_mm, double y_mm) {
    std::array<char, 64> text{};
    std::snprintf(text.data(), text.size(), "x %.3f, y %.3f", x_mm, y_mm);
    return text.data();
}

std::string shown(const Island& island) {
    return shown((island.min_x + island.max_x) / 2, (island.min_y + island.max_y) / 2);
}

/// The islands that may be parts, in the order in which they are printed.
std::vector<int> candidates(const Footprint& footprint) {
    std::vector<int> islands;
    for (std::size_t i = 0; i < footprint.islands().size(); ++i) {
        const Island& island = footprint.islands()[i];
        if (island.first_bead < 0) continue;
        const int index = static_cast<int>(i);
        const Outline outline(footprint.mask(index));
        if (!outline.is_line(line_beads * footprint.bead_width_mm())) islands.push_back(index);
    }
    const auto order = [&](int island) {
        return footprint.islands()[static_cast<std::size_t>(island)].first_bead;
    };
    std::sort(islands.begin(), islands.end(), [&](int a, int b) { return order(a) < order(b); });
    return islands;
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
                 const Island& first) {
    std::string text = std::to_string(odd.size()) + " of " + std::to_string(parts) +
                       " islands of beads are not shaped like the one printed first (" +
                       shown(first) + "): ";
    for (std::size_t i = 0; i < odd.size() && i < most_listed; ++i) {
        if (i > 0) text += "; ";
        text += shown(footprint.islands()[static_cast<std::size_t>(odd[i])]);
    }
    if (odd.size() > most_listed) text += " and others";
    return {"parts-unlike", text + ". Parts that touch are one island", list_them};
}

std::variant<std::vector<plan::PartPlace>, Misplaced> name_listed(
    const std::vector<plan::PartPlace>& places, Footprint& footprint) {
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
    }
    return places;
}

}  // namespace

std::variant<Found, Misplaced> find_parts(const Footprint& footprint) {
    Found found;
    found.islands = candidates(footprint);
    if (found.islands.empty()) {
        return Misplaced{"no-part", "no island of beads is wider than three beads",
                         "check that this is the program of the parts"};
    }
    const auto island = [&](int index) -> const Island& {
        return footprint.islands()[static_cast<std::size_t>(index)];
    };
    const Island& first = island(found.islands.front());
    const Outline shape(footprint.mask(found.islands.front()));
    std::vector<int> odd;
    for (const int index : found.islands) {
        const Outline outline(footprint.mask(index));
        const auto turn =
            index == found.islands.front() ? std::optional(0.0) : shape.turn_to(outline);
        if (turn) {
            const Hull& hull = island(index).first_layer;
            const double refined = first.first_layer.refined_turn(hull, *turn);
            found.places.push_back(placed(first.first_layer, hull, refined));
        } else {
            odd.push_back(index);
        }
    }
    if (!odd.empty()) return unlike(footprint, odd, found.islands.size(), first);
    return found;
}

std::variant<std::vector<plan::PartPlace>, Misplaced> place_parts(const plan::Sheet& sheet,
                                                                  Footprint& footprint) {
    if (!sheet.detect) return name_listed(sheet.places, footprint);
    auto found = find_parts(footprint);
    if (auto* misplaced = std::get_if<Misplaced>(&found)) return std::move(*misplaced);
    auto& parts = std::get<Found>(found);
    for (std::size_t i = 0; i < parts.islands.size(); ++i)
        footprint.name_part(parts.islands[i], static_cast<int>(i));
    return std::move(parts.places);
}

}  // namespace durograde::region
