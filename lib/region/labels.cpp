#include "region/labels.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <string>

namespace durograde::region {
namespace {

constexpr double square_mm = 0.5;  // one bead of each tells where an object lies

std::uint64_t square_at(double x_mm, double y_mm) {
    const auto number = [](double mm) {
        return static_cast<std::uint32_t>(static_cast<std::int32_t>(std::floor(mm / square_mm)));
    };
    return std::uint64_t{number(x_mm)} << 32 | number(y_mm);
}

}  // namespace

Labels::Object& Labels::find(int label) {
    if (present_ < objects_.size() && objects_[present_].label == label) return objects_[present_];
    const auto found = std::find_if(objects_.begin(), objects_.end(),
                                    [&](const Object& object) { return object.label == label; });
    present_ = static_cast<std::size_t>(found - objects_.begin());
    if (found == objects_.end()) objects_.push_back({.label = label, .points = {}, .seen = {}});
    return objects_[present_];
}

void Labels::note(int label, double x_mm, double y_mm) {
    if (label < 0) return;
    Object& object = find(label);
    const std::uint64_t square = square_at(x_mm, y_mm);
    if (square == object.last && !object.points.empty()) return;
    object.last = square;
    if (object.seen.insert(square).second) object.points.push_back({x_mm, y_mm});
}

std::variant<std::vector<int>, Misplaced> Labels::islands(const Footprint& footprint) const {
    std::vector<int> islands;
    std::vector<int> owner(footprint.islands().size(), -1);
    for (const Object& object : objects_) {
        std::set<int> own;
        for (const FlatPoint& point : object.points) {
            const int island = footprint.island_of_bead(point.x_mm, point.y_mm);
            if (island >= 0) own.insert(island);
        }
        if (own.empty()) continue;
        const Island& first = footprint.islands()[static_cast<std::size_t>(*own.begin())];
        const std::string where = shown(first.min_x, first.min_y);
        if (own.size() > 1) {
            return Misplaced{"label-on-islands",
                             "object " + std::to_string(object.label) + " (from " + where +
                                 " on) lies on " + std::to_string(own.size()) + " islands of beads",
                             "label each part by a number of its own, or use place = \"detect\""};
        }
        int& label = owner[static_cast<std::size_t>(*own.begin())];
        if (label >= 0) {
            return Misplaced{"parts-touch",
                             "objects " + std::to_string(label) + " and " +
                                 std::to_string(object.label) + " (from " + where +
                                 " on) lie on the same island of beads",
                             "move the parts apart"};
        }
        label = object.label;
        islands.push_back(*own.begin());
    }
    if (islands.empty()) {
        return Misplaced{"no-label", "no bead stands under an object label (M486 S)",
                         "let the slicer label objects, or use place = \"detect\""};
    }
    return islands;
}

}  // namespace durograde::region
