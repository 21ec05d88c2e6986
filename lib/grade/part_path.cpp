#include "grade/part_path.hpp"

#include <algorithm>
#include <cmath>

#include "grade/tour.hpp"

namespace durograde::grade {
namespace {

using program::Point;
using program::Span;
using program::Stroke;
using Indices = std::vector<std::uint32_t>;

constexpr double joined_mm = 1e-6;
// Loops are seldom sliced quite closed: a stroke that ends this near to its begin, and is several
// times as long, is one (two beads; common practice, no source).
constexpr double seam_mm = 1.0;
constexpr double of_a_loop = 4.0;
// Less is not worth that the input's own lines are written anew, or a seam moved.
constexpr double worth_mm = 2.0;
constexpr double rounding_mm = 1e-6;   // of equals the first stays, wherever they lie
constexpr double most_room_mm = 5.0;   // from open air; deeper inside is as well hidden
constexpr double worth_room_mm = 0.5;  // about a bead: less is not worth another order
// Stops that are toured together: twice as many take four times as long, and infill comes in a good
// order already.
constexpr std::size_t most_stops = 48;

/// Pieces that are printed in one go, [first, last) of the list.
struct Unit {
    std::size_t first = 0, last = 0;
    bool is_loop = false;
};

bool is_loop(const Span& span, const Stroke& stroke) {
    const Point end = region::segment_end(span, stroke.last_segment - 1);
    const double gap_mm = distance(stroke.start, end);
    if (gap_mm > seam_mm) return false;
    double length_mm = 0.0;
    for (std::uint32_t i = stroke.first_segment; i < stroke.last_segment; ++i) {
        length_mm += region::segment_length(span, stroke, i);
        if (length_mm > of_a_loop * seam_mm) return true;
    }
    return false;
}

std::vector<Unit> units_of(const Span& span, const std::vector<Piece>& pieces,
                           const Indices& list) {
    std::vector<Unit> units;
    for (std::size_t i = 0; i < list.size(); ++i) {
        const Piece& piece = pieces[list[i]];
        if (i > 0) {
            const Piece& before = pieces[list[i - 1]];
            if (before.stroke == piece.stroke &&
                distance(before.exit(), piece.entry()) <= joined_mm) {
                units.back().last = i + 1;
                continue;
            }
        }
        units.push_back({i, i + 1, is_loop(span, span.strokes[piece.stroke])});
    }
    return units;
}

class PartPath {
  public:
    PartPath(const Span& span, std::vector<Piece>& pieces, Indices& list, const PathRules& rules)
        : span_(span), pieces_(pieces), list_(list), rules_(rules) {}

    void shorten(Point at) {
        std::vector<Unit> units = units_of(span_, pieces_, list_);
        std::size_t i = 0;
        if (rules_.inside != nullptr && put_inmost_first(units)) {
            add(units[i++], false);
            at = pieces_[path_.back()].exit();
        }
        while (!rules_.tour && i < units.size()) add(units[i++], false);
        while (i < units.size()) {
            const std::size_t end = end_of_row(units, i);
            if (end == i) {
                add_loop(units[i], at);
                ++i;
            } else {
                add_row({units.data() + i, end - i}, at);
                i = end;
            }
            at = pieces_[path_.back()].exit();
        }
        list_ = std::move(path_);
    }

  private:
    /// True where another unit begins deeper inside than the first.
    [[nodiscard]] bool put_inmost_first(std::vector<Unit>& units) const {
        const auto room_mm = [&](const Unit& unit) {
            return rules_.inside->room_mm(pieces_[list_[unit.first]].entry(), most_room_mm);
        };
        auto best = units.begin();
        double best_mm = room_mm(*best) + worth_room_mm;
        for (auto unit = units.begin() + 1; unit != units.end() && best_mm < most_room_mm; ++unit) {
            const double here_mm = room_mm(*unit);
            if (here_mm <= best_mm) continue;
            best = unit;
            best_mm = here_mm;
        }
        if (best == units.begin()) return false;
        std::rotate(units.begin(), best, best + 1);
        return true;
    }

    [[nodiscard]] const Stroke& stroke_of(const Unit& unit) const {
        return span_.strokes[pieces_[list_[unit.first]].stroke];
    }

    /// Infill is printed alike; what differs may be meant to come in its own order.
    [[nodiscard]] bool are_alike(const Unit& a, const Unit& b) const {
        const Stroke &one = stroke_of(a), &other = stroke_of(b);
        return one.settings == other.settings && one.fan_duty == other.fan_duty &&
               one.fan_named == other.fan_named && one.label == other.label &&
               one.speed_factor == other.speed_factor && one.frame == other.frame &&
               span_.segments[one.first_segment].feed_mm_min ==
                   span_.segments[other.first_segment].feed_mm_min;
    }

    /// One past the last of the open strokes, printed alike, that follow each other from `first`
    /// on.
    [[nodiscard]] std::size_t end_of_row(const std::vector<Unit>& units, std::size_t first) const {
        std::size_t end = first;
        while (end < units.size() && end - first < most_stops && !units[end].is_loop &&
               are_alike(units[first], units[end])) {
            ++end;
        }
        return end;
    }

    [[nodiscard]] bool can_turn(const Unit& unit) const {
        const Stroke& stroke = stroke_of(unit);
        return rules_.reverse && stroke.retracted_mm <= 0 && !stroke.firmware_retracted;
    }

    void add(const Unit& unit, bool turned) {
        const auto first = list_.begin() + static_cast<std::ptrdiff_t>(unit.first);
        const auto last = list_.begin() + static_cast<std::ptrdiff_t>(unit.last);
        if (!turned) {
            path_.insert(path_.end(), first, last);
            return;
        }
        for (auto piece = last; piece != first;) {
            pieces_[*--piece].reversed = true;
            path_.push_back(*piece);
        }
    }

    void add_row(std::span<const Unit> units, const Point& at) {
        std::vector<Stop> stops;
        for (const Unit& unit : units) {
            stops.push_back({pieces_[list_[unit.first]].entry(),
                             pieces_[list_[unit.last - 1]].exit(), can_turn(unit)});
        }
        const double given_mm = tour_length_mm(stops, at);
        std::vector<Stop> toured = stops;
        const Indices order = short_tour(toured, at);
        std::vector<Stop> in_order;
        for (const std::uint32_t stop : order) in_order.push_back(toured[stop]);
        if (given_mm - tour_length_mm(in_order, at) < worth_mm + rounding_mm) {
            for (const Unit& unit : units) add(unit, false);
        } else {
            for (const std::uint32_t stop : order) add(units[stop], toured[stop].turned);
        }
    }

    /// A loop, whole or cut at zones.
    void add_loop(const Unit& unit, const Point& at) {
        const std::uint32_t index = list_[unit.first];
        const Piece& piece = pieces_[index];
        const double there_mm = distance_xy(at, piece.entry());
        if (!can_turn(unit)) return add(unit, false);
        const bool closes = distance(piece.entry(), piece.exit()) <= joined_mm;
        if (unit.last == unit.first + 1 && piece.is_whole() && closes)
            return begin_loop_near(index, at, there_mm);
        const double from_end_mm = distance_xy(at, pieces_[list_[unit.last - 1]].exit());
        add(unit, there_mm - from_end_mm >= worth_mm + rounding_mm);
    }

    void begin_loop_near(std::uint32_t index, const Point& at, double there_mm) {
        const Stroke& stroke = span_.strokes[pieces_[index].stroke];
        double nearest_mm = there_mm - worth_mm;
        std::uint32_t corner = stroke.first_segment;
        for (std::uint32_t i = stroke.first_segment; i + 1 < stroke.last_segment; ++i) {
            const double away_mm = distance_xy(at, region::segment_end(span_, i));
            if (away_mm > nearest_mm - rounding_mm) continue;
            nearest_mm = away_mm;
            corner = i + 1;
        }
        if (corner != stroke.first_segment) {
            Piece rest = pieces_[index];
            const Point place = region::segment_end(span_, corner - 1);
            double length_mm = 0.0;
            for (std::uint32_t i = stroke.first_segment; i < corner; ++i)
                length_mm += region::segment_length(span_, stroke, i);
            Piece& first = pieces_[index];
            first.begin = {corner, 0.0, place};
            first.begins_stroke = false;
            first.length_mm -= length_mm;
            rest.end = {corner - 1, 1.0, place};
            rest.ends_stroke = false;
            rest.length_mm = length_mm;
            path_.push_back(index);
            path_.push_back(static_cast<std::uint32_t>(pieces_.size()));
            pieces_.push_back(rest);
            return;
        }
        path_.push_back(index);
    }

    const Span& span_;
    std::vector<Piece>& pieces_;
    Indices& list_;
    const PathRules& rules_;
    Indices path_;
};

}  // namespace

void shorten_path(const Span& span, std::vector<Piece>& pieces, Indices& list, const Point& from,
                  const PathRules& rules) {
    PartPath(span, pieces, list, rules).shorten(from);
}

}  // namespace durograde::grade
