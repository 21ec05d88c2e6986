#include "region/cover.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "region/split.hpp"

namespace durograde::region {

using program::Point;
using program::Span;
using program::Stroke;

namespace {

constexpr double cell_mm = 0.2;
constexpr double chord_mm = 0.5;   // that an arc is painted by
constexpr double margin_mm = 3.0;  // around the beads, so that widening stays inside
constexpr double narrow_in_beads = 3.0;

}  // namespace

void Cover::fit(const Span& span) {
    double high_x = -1e30, high_y = -1e30;
    low_x_ = low_y_ = 1e30;
    const auto include = [&](double x, double y) {
        low_x_ = std::min(low_x_, x);
        low_y_ = std::min(low_y_, y);
        high_x = std::max(high_x, x);
        high_y = std::max(high_y, y);
    };
    for (const Stroke& stroke : span.strokes) include(stroke.start.x, stroke.start.y);
    for (const program::Segment& segment : span.segments) include(segment.x, segment.y);
    for (const program::Segment& segment : span.segments) {
        if (segment.arc < 0) continue;
        // No farther from its end than it is long, however wide the circle that it is part of.
        const program::Arc& arc = span.arcs[static_cast<std::size_t>(segment.arc)];
        const double reach = std::min(2 * arc.radius, arc.length_mm());
        include(segment.x - reach, segment.y - reach);
        include(segment.x + reach, segment.y + reach);
    }
    low_x_ -= margin_mm;
    low_y_ -= margin_mm;
    words_ = static_cast<std::size_t>((high_x + margin_mm - low_x_) / cell_mm) / 64 + 1;
    rows_ = static_cast<std::size_t>((high_y + margin_mm - low_y_) / cell_mm) + 1;
    bits_.assign(words_ * rows_, 0);
    printed_.assign(words_ * rows_, 0);
}

void Cover::paint(const Span& span, double bead_mm, const Footprint& footprint) {
    bead_mm_ = bead_mm;
    footprint_ = &footprint;
    if (span.strokes.empty()) {
        words_ = rows_ = 0;
        return;
    }
    fit(span);
    for (const Stroke& stroke : span.strokes) {
        Point from = stroke.start;
        for (std::uint32_t i = stroke.first_segment; i < stroke.last_segment; ++i) {
            const Point to = segment_end(span, i);
            if (span.segments[i].arc < 0) {
                paint_line(bits_, from, to);
            } else {
                const int chords = static_cast<int>(segment_length(span, stroke, i) / chord_mm) + 1;
                for (int c = 0; c < chords; ++c) {
                    paint_line(bits_, segment_point(span, stroke, i, 1.0 * c / chords),
                               segment_point(span, stroke, i, (c + 1.0) / chords));
                }
            }
            from = to;
        }
    }
    const int cells = std::max(1, static_cast<int>(std::lround(bead_mm / 2 / cell_mm)));
    widen(cells);
    find_sure(cells);
}

void Cover::paint_line(Bits& bits, const Point& from, const Point& to) const {
    const double dx = (to.x - from.x) / cell_mm, dy = (to.y - from.y) / cell_mm;
    const int steps = static_cast<int>(std::max(std::abs(dx), std::abs(dy))) + 1;
    const double x0 = (from.x - low_x_) / cell_mm, y0 = (from.y - low_y_) / cell_mm;
    std::size_t last_row = 0, last_column = 0;
    for (int i = 0; i <= steps; ++i) {
        const double share = static_cast<double>(i) / steps;
        const auto column = static_cast<std::size_t>(x0 + dx * share);
        const auto row = static_cast<std::size_t>(y0 + dy * share);
        bits[row * words_ + column / 64] |= std::uint64_t{1} << (column % 64);
        // Cells that meet at a corner alone would let a way slip through.
        if (i > 0 && row != last_row && column != last_column)
            bits[last_row * words_ + column / 64] |= std::uint64_t{1} << (column % 64);
        last_row = row;
        last_column = column;
    }
}

/// Every cell next to a covered one becomes covered, 64 columns at a time.
void Cover::widen_once() {
    other_ = bits_;
    for (std::size_t row = 0; row < rows_; ++row) {
        for (std::size_t w = 0; w < words_; ++w) {
            const std::size_t at = row * words_ + w;
            const std::uint64_t bits = bits_[at];
            std::uint64_t wide = bits | bits << 1 | bits >> 1;
            if (w > 0) wide |= bits_[at - 1] >> 63;
            if (w + 1 < words_) wide |= bits_[at + 1] << 63;
            other_[at] |= wide;
            if (row > 0) other_[at - words_] |= wide;
            if (row + 1 < rows_) other_[at + words_] |= wide;
        }
    }
    bits_.swap(other_);
}

void Cover::widen(int cells) {
    for (int i = 0; i < cells; ++i) widen_once();
}

/// What was widened is narrowed again: gaps between beads that lie side by side stay closed.
void Cover::find_sure(int cells) {
    sure_ = bits_;
    for (std::uint64_t& word : bits_) word = ~word;
    widen(cells);
    for (std::uint64_t& word : bits_) word = ~word;
    bits_.swap(sure_);
}

bool Cover::covers(const Bits& bits, double x_mm, double y_mm) const noexcept {
    const double column = (x_mm - low_x_) / cell_mm, row = (y_mm - low_y_) / cell_mm;
    if (column < 0 || row < 0) return false;
    const auto c = static_cast<std::size_t>(column), r = static_cast<std::size_t>(row);
    if (c >= words_ * 64 || r >= rows_) return false;
    return (bits[r * words_ + c / 64] >> (c % 64) & 1) != 0;
}

/// Whether a stretch from the edge of one bead to that of another stays within one part.
bool Cover::is_one_part(const Point& a, const Point& b) const {
    const double reach_mm = bead_mm_ / 2 + 1.5 * cell_mm;  // as far as a bead may seem to cover
    const int part = footprint_->part_near(a.x, a.y, reach_mm);
    return part != outside && part == footprint_->part_near(b.x, b.y, reach_mm);
}

/// Calls `take` with places along the way, and the length that each stands for.
template <typename Take>
void Cover::for_places(std::span<const Point> path, Take take) {
    for (std::size_t leg = 1; leg < path.size(); ++leg) {
        const double length = distance_xy(path[leg - 1], path[leg]);
        if (length <= 0) continue;
        const int steps = static_cast<int>(length / cell_mm) + 1;
        for (int i = 1; i <= steps; ++i) {
            take(between(path[leg - 1], path[leg], (i - 0.5) / steps), length / steps);
        }
    }
}

OpenAir Cover::open_air(std::span<const Point> path) const {
    OpenAir open;
    double stretch = 0.0;
    Point left;  // where the stretch left a bead, or the way began
    const auto close = [&](const Point& at) {
        const bool is_narrow = stretch < narrow_in_beads * bead_mm_;
        if (stretch > 0 && !(is_narrow && is_one_part(left, at))) {
            open.total_mm += stretch;
            open.longest_mm = std::max(open.longest_mm, stretch);
        }
        stretch = 0.0;
        left = at;
    };
    if (!path.empty()) left = path.front();
    for_places(path, [&](const Point& at, double length) {
        if (covers(bits_, at.x, at.y)) {
            close(at);
        } else {
            stretch += length;
        }
    });
    if (!path.empty()) close(path.back());
    return open;
}

OpenAir Cover::open_air(const Point& from, const Point& to) const {
    const std::array<Point, 2> path = {from, to};
    return open_air(path);
}

double Cover::room_mm(const Point& at, double most_mm) const {
    const int reach = static_cast<int>(most_mm / cell_mm);
    for (int ring = 0; ring <= reach; ++ring) {
        const double away_mm = ring * cell_mm;
        for (int i = -ring; i <= ring; ++i) {
            const double along_mm = i * cell_mm;
            if (!covers(bits_, at.x + along_mm, at.y - away_mm) ||
                !covers(bits_, at.x + along_mm, at.y + away_mm) ||
                !covers(bits_, at.x - away_mm, at.y + along_mm) ||
                !covers(bits_, at.x + away_mm, at.y + along_mm)) {
                return away_mm;
            }
        }
    }
    return most_mm;
}

void Cover::print(const Point& from, const Point& to) {
    paint_line(printed_, from, to);
}

bool Cover::hits(const Point& from, const Point& to) const {
    bool found = false;
    const std::array<Point, 2> path = {from, to};
    const int reach = std::max(1, static_cast<int>(std::lround(bead_mm_ / 2 / cell_mm)));
    for_places(path, [&](const Point& at, double) {
        if (found || distance_xy(at, from) <= bead_mm_ || distance_xy(at, to) <= bead_mm_) return;
        for (int row = -reach; row <= reach; ++row) {
            for (int column = -reach; column <= reach; ++column)
                found = found || covers(printed_, at.x + column * cell_mm, at.y + row * cell_mm);
        }
    });
    return found;
}

namespace {

/// A way over a bead, as the grid sees it.
struct Crossing {
    double length_mm = 0.0, to_sure_mm = 0.0, since_sure_mm = 0.0;
    double unsure_mm = 0.0;  ///< longest stretch beside beads, where the grid alone may cover
    bool is_sure = false;
    Point begin, end;

    void add(const Point& at, double mm, bool sure) {
        if (length_mm == 0.0) begin = at;
        end = at;
        length_mm += mm;
        since_sure_mm = sure ? 0.0 : since_sure_mm + mm;
        unsure_mm = std::max(unsure_mm, since_sure_mm);
        if (!is_sure) to_sure_mm += mm;
        is_sure = is_sure || sure;
    }
    /// How much of either end may lie over no bead: no more than leads to what surely covers, and
    /// no more than `share`, for the grid covers at most three times what a bead does.
    [[nodiscard]] double doubt_mm(double end_mm, double share) const {
        return is_sure ? std::min(end_mm, share * length_mm) : share * length_mm;
    }
};

}  // namespace

double Cover::longest_mm(std::span<const Point> path) const {
    // However steep, the grid covers up to a cell more than a bead at either end.
    constexpr double least_doubt_mm = 2 * cell_mm;
    constexpr double of_a_crossing = 1.0 / 3, of_half_a_crossing = 2.0 / 3;
    double longest = 0.0, stretch = 0.0, doubt = 0.0;
    double share = of_half_a_crossing;  // the way may begin on a bead
    Crossing over;
    Point left;
    const auto close = [&](const Point& at) {
        const double both_mm = doubt + over.doubt_mm(over.to_sure_mm, share);
        const double most_mm = stretch + std::max(both_mm, least_doubt_mm);
        const bool is_narrow = most_mm + slack_mm < narrow_in_beads * bead_mm_;
        if (stretch > 0 && !(is_narrow && is_one_part(left, at)))
            longest = std::max(longest, most_mm);
    };
    if (!path.empty()) left = path.front();
    for_places(path, [&](const Point& at, double mm) {
        if (covers(bits_, at.x, at.y)) return over.add(at, mm, covers(sure_, at.x, at.y));
        // Where no centre line lies across the way, it passes the edge of a bead, if that.
        if (!over.is_sure) stretch += std::exchange(over, {}).length_mm;
        if (over.length_mm > 0) {
            close(over.begin);
            longest = std::max(longest, over.unsure_mm);
            doubt = over.doubt_mm(over.since_sure_mm, share);
            left = over.end;
            stretch = 0.0;
            over = {};
        }
        share = of_a_crossing;
        stretch += mm;
    });
    share = of_half_a_crossing;
    if (!path.empty()) close(over.length_mm > 0 ? over.begin : path.back());
    return std::max(longest, over.unsure_mm);
}

}  // namespace durograde::region
