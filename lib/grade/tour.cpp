#include "grade/tour.hpp"

#include <algorithm>
#include <numeric>

namespace durograde::grade {
namespace {

using Indices = std::vector<std::uint32_t>;

constexpr double gain_mm = 1e-6;     // less is rounding
constexpr int rounds = 20;           // 40 parts settle within a few
constexpr std::size_t most_row = 3;  // stops that are moved together, as Or has it

Indices nearest_first(const std::vector<Stop>& stops, const program::Point& start) {
    Indices order, rest(stops.size());
    std::iota(rest.begin(), rest.end(), 0U);
    program::Point at = start;
    while (!rest.empty()) {
        const auto nearest = std::min_element(rest.begin(), rest.end(), [&](auto a, auto b) {
            return distance_xy(at, stops[a].entry) < distance_xy(at, stops[b].entry);
        });
        order.push_back(*nearest);
        at = stops[*nearest].exit;
        rest.erase(nearest);
    }
    return order;
}

/// An open tour that is made shorter move by move.
class Tour {
  public:
    Tour(const std::vector<Stop>& stops, const program::Point& start, Indices order)
        : stops_(stops), start_(start), order_(std::move(order)) {}

    [[nodiscard]] double length_mm() const {
        double length = 0.0;
        for (std::size_t i = 0; i < order_.size(); ++i) length += into(i);
        return length;
    }

    /// True where a move has been found.
    bool improve() {
        bool moved = false;
        for (std::size_t count = 1; count <= most_row; ++count) {
            for (std::size_t i = 0; i + count <= order_.size(); ++i) {
                moved = move_row(i, count) || moved;
            }
        }
        for (std::size_t i = 0; i + 1 < order_.size(); ++i) moved = turn_row(i) || moved;
        return moved;
    }

    Indices take() { return std::move(order_); }

  private:
    /// The step that ends at place `to` when what stands at `from` - 1 comes before it, in mm. None
    /// leads on from the last.
    [[nodiscard]] double step(std::size_t from, std::size_t to) const {
        if (to == order_.size()) return 0.0;
        const program::Point& at = from == 0 ? start_ : stops_[order_[from - 1]].exit;
        return distance_xy(at, stops_[order_[to]].entry);
    }
    [[nodiscard]] double into(std::size_t place) const { return step(place, place); }

    /// Moves `count` stops from place `i` on to where they shorten the tour most.
    bool move_row(std::size_t i, std::size_t count) {
        const std::size_t end = i + count;
        const double saved = into(i) + into(end) - step(i, end);
        double best = saved - gain_mm;
        std::size_t best_place = i;
        for (std::size_t place = 0; place <= order_.size(); ++place) {
            if (place >= i && place <= end) continue;
            const double added = step(place, i) + step(end, place) - into(place);
            if (added >= best) continue;
            best = added;
            best_place = place;
        }
        if (best_place == i) return false;
        const auto at = [&](std::size_t place) {
            return order_.begin() + static_cast<std::ptrdiff_t>(place);
        };
        if (best_place < i)
            std::rotate(at(best_place), at(i), at(end));
        else
            std::rotate(at(i), at(end), at(best_place));
        return true;
    }

    /// Visits the stops from place `i` to some later one in the opposite order, where that shortens
    /// the tour; each stop keeps its own direction, so the steps between them change too.
    bool turn_row(std::size_t i) {
        double along = 0.0, back = 0.0;
        double best = gain_mm;
        std::size_t best_last = i;
        for (std::size_t last = i + 1; last < order_.size(); ++last) {
            along += into(last);
            back += step(last + 1, last - 1);
            const double now = into(i) + along + into(last + 1);
            const double then = step(i, last) + back + step(i + 1, last + 1);
            if (now - then <= best) continue;
            best = now - then;
            best_last = last;
        }
        if (best_last == i) return false;
        std::reverse(order_.begin() + static_cast<std::ptrdiff_t>(i),
                     order_.begin() + static_cast<std::ptrdiff_t>(best_last) + 1);
        return true;
    }

    const std::vector<Stop>& stops_;
    const program::Point& start_;
    Indices order_;
};

}  // namespace

std::vector<std::uint32_t> short_tour(const std::vector<Stop>& stops, const program::Point& start) {
    Indices as_given(stops.size());
    std::iota(as_given.begin(), as_given.end(), 0U);
    Tour given(stops, start, std::move(as_given));
    Tour nearest(stops, start, nearest_first(stops, start));
    Tour& tour = given.length_mm() < nearest.length_mm() ? given : nearest;
    for (int round = 0; round < rounds && tour.improve(); ++round) {
    }
    return tour.take();
}

}  // namespace durograde::grade
