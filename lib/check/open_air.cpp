#include "check/open_air.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::check {
namespace {

constexpr double finest_cell_mm = 0.1;  // a quarter of a common bead
constexpr double most_cells = 25e6;     // bytes; beyond 500 mm square cells grow
constexpr double chord_mm = 0.5;        // of arcs: off by less than a cell above 0.4 mm radius
constexpr double narrow_in_beads = 3.0;

}  // namespace

OpenAir::OpenAir(const plan::Machine& machine, const region::Footprint& footprint, double bead_mm)
    : footprint_(footprint), x_mm_(machine.reach_x), y_mm_(machine.reach_y), bead_mm_(bead_mm) {
    const double width = x_mm_.high - x_mm_.low, depth = y_mm_.high - y_mm_.low;
    cell_mm_ = std::max(finest_cell_mm, std::sqrt(width * depth / most_cells));
    columns_ = static_cast<std::size_t>(width / cell_mm_) + 2;
    rows_ = static_cast<std::size_t>(depth / cell_mm_) + 2;
}

void OpenAir::paint(const Layer& layer) {
    if (cells_.empty()) cells_.resize(columns_ * rows_);
    if (++stamp_ == 0) {
        std::fill(cells_.begin(), cells_.end(), std::uint8_t{0});
        stamp_ = 1;
    }
    Point from;
    for (std::uint32_t i = 0; i < layer.segments.size(); ++i) {
        const Segment& segment = layer.segments[i];
        if (i == layer.strokes[segment.stroke].first) from = layer.strokes[segment.stroke].start;
        if (segment.arc < 0) {
            paint_line(from, segment.to);
        } else {
            const int chords = static_cast<int>(segment.length_mm / chord_mm) + 1;
            Point before = from;
            for (int c = 1; c <= chords; ++c) {
                const Point at = layer.point_on(i, static_cast<double>(c) / chords);
                paint_line(before, at);
                before = at;
            }
        }
        from = segment.to;
    }
}

std::size_t OpenAir::cell(double x, double y) const {
    const auto index = [&](double at, double low, std::size_t count) {
        return static_cast<std::size_t>(
            std::clamp((at - low) / cell_mm_, 0.0, static_cast<double>(count - 1)));
    };
    return index(y, y_mm_.low, rows_) * columns_ + index(x, x_mm_.low, columns_);
}

void OpenAir::paint_line(const Point& from, const Point& to) {
    const double dx = to.x - from.x, dy = to.y - from.y;
    const int steps = static_cast<int>(std::max(std::abs(dx), std::abs(dy)) / cell_mm_) + 1;
    for (int i = 0; i <= steps; ++i) {
        const double share = static_cast<double>(i) / steps;
        cells_[cell(from.x + dx * share, from.y + dy * share)] = stamp_;
    }
}

/// Whether a bead's centre line lies less than `reach_mm` away. The middle of a cell stands for all
/// of it: what that may be wrong by counts as covered. The nearest cells are looked at first.
bool OpenAir::is_covered(double x, double y, double reach_mm) const {
    const std::size_t at = cell(x, y);
    if (cells_[at] == stamp_) return true;
    const double cells = (reach_mm + cell_mm_ * 1.42) / cell_mm_;
    const double most = cells * cells;  // squared, exclusive
    const auto reach = static_cast<long>(cells) + 1;
    const auto row = static_cast<long>(at / columns_), column = static_cast<long>(at % columns_);
    const long first_column = std::max(column - reach, 0L);
    const long last_column = std::min(column + reach, static_cast<long>(columns_) - 1);
    for (long away = 0; away <= reach; ++away) {
        for (const long r : {row - away, row + away}) {
            if (r < 0 || r >= static_cast<long>(rows_)) continue;
            const std::uint8_t* line = &cells_[static_cast<std::size_t>(r) * columns_];
            for (long c = first_column; c <= last_column; ++c) {
                if (line[c] != stamp_) continue;
                const long square = away * away + (c - column) * (c - column);
                if (static_cast<double>(square) < most) return true;
            }
        }
    }
    return false;
}

void OpenAir::sample(std::span<const Point> points) {
    samples_.clear();
    step_mm_ = cell_mm_;
    for (std::size_t leg = 1; leg < points.size(); ++leg) {
        const double length = distance_xy(points[leg - 1], points[leg]);
        const int steps = std::max(1, static_cast<int>(length / step_mm_));
        for (int i = 0; length > 0 && i < steps; ++i) {
            samples_.push_back(between(points[leg - 1], points[leg], (i + 0.5) / steps));
        }
    }
}

double OpenAir::longest_mm(std::span<const Point> points) {
    sample(points);
    double longest = 0.0;
    for (std::size_t first = 0; first < samples_.size();) {
        std::size_t last = first;
        while (last < samples_.size() &&
               !is_covered(samples_[last].x, samples_[last].y, bead_mm_ / 2)) {
            ++last;
        }
        const double stretch = static_cast<double>(last - first) * step_mm_;
        if (stretch > longest) longest = std::max(longest, inside_one_part_mm(first, last));
        first = last + 1;
    }
    return longest;
}

/// A stretch that leaves and meets beads of the same part is open only where there is room for
/// three beads beside each other.
double OpenAir::inside_one_part_mm(std::size_t first, std::size_t last) {
    const double whole = static_cast<double>(last - first) * step_mm_;
    const Point& from = samples_[first > 0 ? first - 1 : 0];
    const Point& to = samples_[std::min(last, samples_.size() - 1)];
    // A place counts as covered half a bead beside a centre line, and a cell's diagonal farther.
    const double reach_mm = bead_mm_ / 2 + 2 * cell_mm_;
    const int part = footprint_.part_near(from.x, from.y, reach_mm);
    if (part == region::outside || part != footprint_.part_near(to.x, to.y, reach_mm)) return whole;
    const double half_mm = narrow_in_beads * bead_mm_ / 2;
    std::size_t open_until = first;
    double stretch = 0.0, longest = 0.0;
    for (std::size_t i = first; i < last; ++i) {
        // A disc of three beads that fits between the beads opens all of the way that it covers.
        if (is_covered(samples_[i].x, samples_[i].y, half_mm + bead_mm_ / 2)) continue;
        const auto reach = static_cast<std::size_t>(half_mm / step_mm_);
        const std::size_t begin = std::max(i > reach ? i - reach : 0, first);
        if (begin > open_until) stretch = 0.0;
        const std::size_t end = std::min(i + reach, last);
        stretch += static_cast<double>(end - std::min(end, std::max(begin, open_until))) * step_mm_;
        open_until = std::max(open_until, end);
        longest = std::max(longest, stretch);
    }
    return longest;
}

}  // namespace durograde::check
