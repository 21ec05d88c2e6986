#include "grade/guessed_turns.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "region/zones.hpp"

namespace durograde::grade {
namespace {

constexpr int samples_across = 16, samples_upwards = 8;
// Places that lie on a boundary by chance, and rounding, make no difference.
constexpr double alike_share = 0.004;

bool is_within(const region::Hull& hull, const region::FlatPoint& at) {
    const auto corners = hull.corners();
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const region::FlatPoint &a = corners[i], &b = corners[(i + 1) % corners.size()];
        if ((b.x_mm - a.x_mm) * (at.y_mm - a.y_mm) < (b.y_mm - a.y_mm) * (at.x_mm - a.x_mm))
            return false;
    }
    return true;
}

std::vector<region::FlatPoint> samples_of(const region::Hull& hull) {
    double low_x = 1e30, low_y = 1e30, high_x = -1e30, high_y = -1e30;
    for (const region::FlatPoint& corner : hull.corners()) {
        low_x = std::min(low_x, corner.x_mm);
        low_y = std::min(low_y, corner.y_mm);
        high_x = std::max(high_x, corner.x_mm);
        high_y = std::max(high_y, corner.y_mm);
    }
    std::vector<region::FlatPoint> samples;
    for (int row = 0; row < samples_across; ++row) {
        for (int column = 0; column < samples_across; ++column) {
            const region::FlatPoint at = {
                low_x + (high_x - low_x) * (column + 0.5) / samples_across,
                low_y + (high_y - low_y) * (row + 0.5) / samples_across};
            if (is_within(hull, at)) samples.push_back(at);
        }
    }
    return samples;
}

/// The zones of a part are the same at both places. How deep a place lies does not tell: the
/// outline is the same at both.
bool zones_agree(const region::ZoneField& zones, const region::Hull& hull, const Survey& survey,
                 const plan::PartPlace& a, const plan::PartPlace& b) {
    const region::Placement at_a(a, 0, nullptr), at_b(b, 0, nullptr);
    long seen = 0, differ = 0;
    for (const region::FlatPoint& at : samples_of(hull)) {
        for (int i = 0; i < samples_upwards; ++i) {
            const double z = survey.high_z * (i + 0.5) / samples_upwards;
            const long layer =
                survey.layer_height_mm > 0 ? std::lround(z / survey.layer_height_mm) : 0;
            const geometry::Point point{at.x_mm, at.y_mm, z};
            differ +=
                zones.zone_at(at_a.spot(point, layer)) != zones.zone_at(at_b.spot(point, layer))
                    ? 1
                    : 0;
            ++seen;
        }
    }
    return static_cast<double>(differ) <= alike_share * static_cast<double>(seen);
}

std::string turns_text(const plan::PartPlace& place, const std::vector<plan::PartPlace>& others) {
    std::string text;
    for (const plan::PartPlace& other : others) {
        text += text.empty() ? "" : " or ";
        text += fmt::format("{:g}", std::remainder(other.turn_deg - place.turn_deg, 360.0));
    }
    return text;
}

void warn(const region::Found& found, std::size_t first, long parts,
          const std::vector<plan::PartPlace>& others, Figures& figures) {
    const plan::PartPlace& place = found.places[first];
    figures.warnings.push_back(
        {.code = "turn-is-a-guess",
         .severity = Severity::warning,
         .text = fmt::format(
             "how {} parts are turned is a guess (part {} at {} is the first): they lie on the "
             "same "
             "outline when turned by {} degrees more, and then other zones lie in the same places; "
             "the smallest turn is taken",
             parts, first, region::shown(place.x_mm, place.y_mm), turns_text(place, others)),
         .mend = "look at the turns that durograde inspect prints, correct them, and put the list "
                 "into the plan: place = [{ x = 40, y = 40, turn = 0 }]"});
}

}  // namespace

void warn_of_guessed_turns(const plan::Plan& plan, const Survey& survey, const region::Found& found,
                           Figures& figures) {
    const region::ZoneField zones(plan);
    std::vector<bool> told;
    for (std::size_t i = 0; i < found.places.size(); ++i) {
        // All of a kind are alike: the first that may be turned tells.
        const auto kind = static_cast<std::size_t>(found.places[i].kind);
        if (found.as_well[i].empty() || (kind < told.size() && told[kind])) continue;
        told.resize(std::max(told.size(), kind + 1));
        told[kind] = true;
        const region::Hull& hull =
            survey.footprint->islands()[static_cast<std::size_t>(found.islands[i])].first_layer;
        std::vector<plan::PartPlace> others;
        for (const plan::PartPlace& other : found.as_well[i]) {
            if (!zones_agree(zones, hull, survey, found.places[i], other)) others.push_back(other);
        }
        if (others.empty()) continue;
        const long parts = std::count_if(
            found.places.begin() + static_cast<std::ptrdiff_t>(i), found.places.end(),
            [&](const plan::PartPlace& place) { return place.kind == found.places[i].kind; });
        warn(found, i, parts, others, figures);
    }
}

}  // namespace durograde::grade
