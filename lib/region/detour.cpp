#include "region/detour.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <queue>

namespace durograde::region {
namespace {

using program::Point;

constexpr double step_mm = 0.2, diagonal_mm = 0.28284271247461901;
constexpr double sight_mm = 0.1;     // between the places that are looked at along a straight line
constexpr int most_places = 6000;    // looked at in one search, about 0.2 ms
constexpr double longest_mm = 60.0;  // of a way that is searched for

/// Places around the straight line that a way of the given length can reach.
class Search {
  public:
    Search(const Cover& cover, const Point& from, const Point& to, double most_mm)
        : cover_(cover), from_(from), to_(to), most_mm_(most_mm) {
        // The ellipse of all ways no longer than that.
        const double straight_mm = distance_xy(from, to);
        const double beyond_mm = std::sqrt(most_mm * most_mm - straight_mm * straight_mm) / 2;
        left_ = -steps(from.x - std::min(from.x, to.x) + beyond_mm);
        low_ = -steps(from.y - std::min(from.y, to.y) + beyond_mm);
        columns_ = steps(std::max(from.x, to.x) - from.x + beyond_mm) - left_ + 1;
        rows_ = steps(std::max(from.y, to.y) - from.y + beyond_mm) - low_ + 1;
        const auto places = static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_);
        length_.assign(places, std::numeric_limits<float>::max());
        before_.assign(places, -1);
    }

    std::vector<Point> run() {
        const int start = number(0, 0);
        length_[static_cast<std::size_t>(start)] = 0.0F;
        open_.push({static_cast<float>(distance_xy(from_, to_)), start});
        for (int looked = 0; !open_.empty() && looked < most_places; ++looked) {
            const int place = open_.top().place;
            open_.pop();
            if (distance_xy(point(place), to_) <= step_mm) return way_to(place);
            look_around(place);
        }
        return {};
    }

  private:
    struct Open {
        float at_least_mm;  ///< of a way that leads by here
        int place;
        bool operator<(const Open& other) const { return at_least_mm > other.at_least_mm; }
    };
    static int steps(double mm) { return static_cast<int>(std::ceil(mm / step_mm)); }
    [[nodiscard]] int number(int column, int row) const {
        return (row - low_) * columns_ + column - left_;
    }
    [[nodiscard]] Point point(int place) const {
        const int column = place % columns_ + left_, row = place / columns_ + low_;
        return {from_.x + column * step_mm, from_.y + row * step_mm, from_.z};
    }

    void look_around(int place) {
        const int column = place % columns_, row = place / columns_;
        const float here_mm = length_[static_cast<std::size_t>(place)];
        for (int dy = -1; dy <= 1; ++dy) {
            for (int dx = -1; dx <= 1; ++dx) {
                if (column + dx < 0 || column + dx >= columns_ || row + dy < 0 ||
                    row + dy >= rows_ || (dx == 0 && dy == 0)) {
                    continue;
                }
                const int next = place + dy * columns_ + dx;
                const Point at = point(next);
                const float mm =
                    here_mm + static_cast<float>(dx != 0 && dy != 0 ? diagonal_mm : step_mm);
                const float at_least_mm = mm + static_cast<float>(distance_xy(at, to_));
                float& known_mm = length_[static_cast<std::size_t>(next)];
                if (mm >= known_mm || at_least_mm > static_cast<float>(most_mm_) ||
                    !cover_.surely_covers(at)) {
                    continue;
                }
                known_mm = mm;
                before_[static_cast<std::size_t>(next)] = place;
                open_.push({at_least_mm, next});
            }
        }
    }

    [[nodiscard]] bool sees(const Point& a, const Point& b) const {
        const int places = static_cast<int>(distance_xy(a, b) / sight_mm) + 1;
        for (int i = 1; i < places; ++i) {
            if (!cover_.surely_covers(between(a, b, static_cast<double>(i) / places))) return false;
        }
        return true;
    }

    /// From corner to corner, each the last that is seen from the one before.
    [[nodiscard]] std::vector<Point> way_to(int place) const {
        std::vector<Point> places = {to_};
        for (; place >= 0; place = before_[static_cast<std::size_t>(place)])
            places.push_back(point(place));
        std::reverse(places.begin(), places.end());
        std::vector<Point> corners = {places.front()};
        for (std::size_t at = 0; at + 1 < places.size();) {
            std::size_t next = at + 1;
            while (next + 1 < places.size() && sees(places[at], places[next + 1])) ++next;
            corners.push_back(places[next]);
            at = next;
        }
        return corners;
    }

    const Cover& cover_;
    const Point &from_, &to_;
    double most_mm_;
    int left_ = 0, low_ = 0, columns_ = 0, rows_ = 0;  ///< in steps from `from_`
    std::vector<float> length_;                        ///< of the shortest way known to a place, mm
    std::vector<int> before_;                          ///< on it, or -1
    std::priority_queue<Open> open_;
};

}  // namespace

std::vector<Point> way_over_beads(const Cover& cover, const Point& from, const Point& to,
                                  double most_mm) {
    const bool in_reach = distance_xy(from, to) <= most_mm && most_mm <= longest_mm;
    if (!in_reach || !cover.surely_covers(from) || !cover.surely_covers(to)) return {};
    return Search(cover, from, to, most_mm).run();
}

}  // namespace durograde::region
