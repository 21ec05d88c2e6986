#include "grade/tour.hpp"

#include <algorithm>
#include <limits>
#include <numeric>
#include <utility>

namespace durograde::grade {
namespace {

using Indices = std::vector<std::uint32_t>;
using program::Point;

constexpr double gain_mm = 1e-6;  // less is rounding: of equals the first stays, wherever they lie
constexpr int rounds = 20;        // 40 parts settle within a few
constexpr std::size_t most_row = 3;  // stops that are moved together, as Or has it

void turn(Stop& stop) {
    if (!stop.can_turn) return;
    std::swap(stop.entry, stop.exit);
    stop.turned = !stop.turned;
}

const Point& entry_of(const Stop& stop, bool turned) {
    return turned && stop.can_turn ? stop.exit : stop.entry;
}

const Point& exit_of(const Stop& stop, bool turned) {
    return turned && stop.can_turn ? stop.entry : stop.exit;
}

/// An open tour that is made shorter move by move. Its stops lie in the order of visiting.
class Tour {
  public:
    Tour(std::span<const Stop> stops, const Point& start)
        : start_(start), stops_(stops.begin(), stops.end()), order_(stops.size()) {
        std::iota(order_.begin(), order_.end(), 0U);
    }

    /// Goes to the nearest stop each time.
    void go_nearest() {
        const auto swap_stops = [&](std::size_t a, std::size_t b) {
            std::swap(stops_[a], stops_[b]);
            std::swap(order_[a], order_[b]);
        };
        for (std::size_t place = 0; place < stops_.size(); ++place) {
            double nearest_mm = std::numeric_limits<double>::max();
            std::size_t nearest = place;
            bool turned = false;
            for (std::size_t i = place; i < stops_.size(); ++i) {
                for (const bool other : {false, true}) {
                    const double away_mm =
                        distance_xy(exit_before(place), entry_of(stops_[i], other));
                    if (away_mm > nearest_mm - gain_mm) continue;
                    nearest_mm = away_mm;
                    nearest = i;
                    turned = other;
                }
            }
            if (turned) turn(stops_[nearest]);
            swap_stops(place, nearest);
        }
    }

    [[nodiscard]] double length_mm() const { return tour_length_mm(stops_, start_); }

    /// True where a move has been found.
    bool improve() {
        bool moved = false;
        for (std::size_t count = 1; count <= most_row; ++count) {
            for (std::size_t i = 0; i + count <= stops_.size(); ++i) {
                moved = move_row(i, count) || moved;
            }
        }
        for (std::size_t i = 0; i < stops_.size(); ++i) moved = turn_row(i) || moved;
        return moved;
    }

    /// The order of visiting; the stops that it turns are turned in `stops`.
    Indices take(std::span<Stop> stops) {
        for (std::size_t place = 0; place < order_.size(); ++place)
            stops[order_[place]] = stops_[place];
        return std::move(order_);
    }

  private:
    [[nodiscard]] const Point& exit_before(std::size_t place) const {
        return place == 0 ? start_ : stops_[place - 1].exit;
    }
    /// From `at` to the stop at `place`, mm. None leads on from the last.
    [[nodiscard]] double to(const Point& at, std::size_t place) const {
        return place == stops_.size() ? 0.0 : distance_xy(at, stops_[place].entry);
    }
    [[nodiscard]] double into(std::size_t place) const { return to(exit_before(place), place); }

    template <typename Do>
    void for_both(std::size_t from, std::size_t until, Do change) {
        const auto at = [](auto& list, std::size_t place) {
            return list.begin() + static_cast<std::ptrdiff_t>(place);
        };
        change(at(stops_, from), at(stops_, until));
        change(at(order_, from), at(order_, until));
    }

    void turn_round(std::size_t from, std::size_t until) {
        for (std::size_t i = from; i < until; ++i) turn(stops_[i]);
        for_both(from, until, [](auto begin, auto end) { std::reverse(begin, end); });
    }

    /// Moves `count` stops from place `i` on to where they shorten the tour most, turned round
    /// where all of them can be and that is better.
    bool move_row(std::size_t i, std::size_t count) {
        const std::size_t end = i + count;
        const Point entry = stops_[i].entry, exit = stops_[end - 1].exit;
        const bool can_turn = std::all_of(&stops_[i], &stops_[i] + count,
                                          [](const Stop& stop) { return stop.can_turn; });
        double best = into(i) + into(end) - to(exit_before(i), end);
        std::size_t best_place = i;
        bool turned = false;
        for (std::size_t place = 0; place <= stops_.size(); ++place) {
            if (place >= i && place <= end) continue;
            const Point& before = exit_before(place);
            const double gone = into(place);
            const double added = distance_xy(before, entry) + to(exit, place) - gone;
            const double added_turned = distance_xy(before, exit) + to(entry, place) - gone;
            const bool turns = can_turn && added_turned < added - gain_mm;
            if ((turns ? added_turned : added) > best - gain_mm) continue;
            best = turns ? added_turned : added;
            best_place = place;
            turned = turns;
        }
        if (best_place == i) return false;
        if (turned) turn_round(i, end);
        const auto row = static_cast<std::ptrdiff_t>(count);
        if (best_place < i) {
            for_both(best_place, end, [&](auto a, auto b) { std::rotate(a, b - row, b); });
        } else {
            for_both(i, best_place, [&](auto a, auto b) { std::rotate(a, a + row, b); });
        }
        return true;
    }

    /// Visits the stops from place `i` to that or some later one in the opposite order, where that
    /// shortens the tour. Those that can be are turned; the others keep their direction, so the
    /// steps between them change too.
    bool turn_row(std::size_t i) {
        const Point& before = exit_before(i);
        double along = 0.0, back = 0.0;
        double best = 0.0;
        std::size_t best_last = stops_.size();
        for (std::size_t last = i; last < stops_.size(); ++last) {
            if (last > i) {
                along += into(last);
                back += distance_xy(exit_of(stops_[last], true), entry_of(stops_[last - 1], true));
            }
            const double now = into(i) + along + into(last + 1);
            const double then = distance_xy(before, entry_of(stops_[last], true)) + back +
                                to(exit_of(stops_[i], true), last + 1);
            if (now - then <= best + gain_mm) continue;
            best = now - then;
            best_last = last;
        }
        if (best_last == stops_.size()) return false;
        turn_round(i, best_last + 1);
        return true;
    }

    const Point& start_;
    std::vector<Stop> stops_;
    Indices order_;  ///< which stop stands at each place
};

}  // namespace

double tour_length_mm(std::span<const Stop> stops, const Point& start) {
    double length = 0.0;
    const Point* at = &start;
    for (const Stop& stop : stops) {
        length += distance_xy(*at, stop.entry);
        at = &stop.exit;
    }
    return length;
}

std::vector<std::uint32_t> short_tour(std::span<Stop> stops, const Point& start) {
    Tour given(stops, start), nearest(stops, start);
    nearest.go_nearest();
    Tour& tour = given.length_mm() < nearest.length_mm() + gain_mm ? given : nearest;
    for (int round = 0; round < rounds && tour.improve(); ++round) {
    }
    return tour.take(stops);
}

}  // namespace durograde::grade
