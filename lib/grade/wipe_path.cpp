#include "grade/wipe_path.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::grade {
namespace {

using program::Point;
using program::Span;
using program::Stroke;

// That an arc is wiped along by: no longer than both, so that small arcs are gone round, too.
constexpr double chord_mm = 0.5, chord_rad = 0.6;
constexpr double closed_mm = 1e-6;

int chords_of(const program::Arc& arc, double length_mm, double share) {
    return static_cast<int>(
               std::max(length_mm / chord_mm, std::abs(arc.sweep_rad) * share / chord_rad)) +
           1;
}

int chords_of(const Span& span, std::uint32_t segment, double length_mm, double share) {
    const std::int32_t arc = span.segments[segment].arc;
    if (arc < 0) return 1;
    return chords_of(span.arcs[static_cast<std::size_t>(arc)], length_mm, share);
}

/// Adds the corners of a piece, from its end backwards or from its begin on, until `left_mm` are
/// used up.
void follow(const Span& span, const Piece& piece, bool backwards, double& left_mm,
            std::vector<Point>& corners) {
    const Stroke& stroke = span.strokes[piece.stroke];
    Point at = backwards ? piece.end.point : piece.begin.point;
    const std::uint32_t count = piece.end.segment - piece.begin.segment + 1;
    for (std::uint32_t n = 0; n < count && left_mm > 0; ++n) {
        const std::uint32_t i = backwards ? piece.end.segment - n : piece.begin.segment + n;
        const double low = i == piece.begin.segment ? piece.begin.fraction : 0.0;
        const double high = i == piece.end.segment ? piece.end.fraction : 1.0;
        const double from = backwards ? high : low, to = backwards ? low : high;
        const double length = region::segment_length(span, stroke, i) * (high - low);
        const int chords = chords_of(span, i, length, high - low);
        for (int c = 1; c <= chords && left_mm > 0; ++c) {
            const Point next =
                region::segment_point(span, stroke, i, from + (to - from) * c / chords);
            left_mm -= distance_xy(at, next);
            corners.push_back(next);
            at = next;
        }
    }
}

void follow(const program::Step& bead, bool backwards, double& left_mm,
            std::vector<Point>& corners) {
    const int chords = bead.is_arc ? chords_of(bead.arc, bead.length_mm(), 1.0) : 1;
    Point at = backwards ? bead.to : bead.from;
    for (int c = 1; c <= chords && left_mm > 0; ++c) {
        const double done = static_cast<double>(c) / chords;
        const double share = backwards ? 1.0 - done : done;
        const Point next = bead.is_arc ? along(bead.arc, bead.from, bead.to, share)
                                       : between(bead.from, bead.to, share);
        left_mm -= distance_xy(at, next);
        corners.push_back(next);
        at = next;
    }
}

}  // namespace

void WipePath::clear() {
    back_.clear();
    onward_.clear();
    onward_mm_ = 0.0;
}

template <typename Follow>
void WipePath::add(const Point& begin, const Point& end, bool goes_on, double length_mm,
                   const Follow& follow) {
    before_.clear();
    // After a swap or a wipe, nothing of what came before is left to go on from.
    if (goes_on && !back_.empty()) {
        before_.swap(back_);
    } else {
        clear();
        begin_ = begin;
        onward_mm_ = length_mm;
    }
    end_ = end;
    back_.clear();
    double left_mm = length_mm;
    if (!(left_mm > 0)) return;
    follow(true, left_mm, back_);
    Point at = back_.empty() ? end_ : back_.back();
    for (auto next = before_.begin(); next != before_.end() && left_mm > 0; ++next) {
        left_mm -= distance_xy(at, *next);
        back_.push_back(*next);
        at = *next;
    }
    if (onward_mm_ > 0) follow(false, onward_mm_, onward_);
}

void WipePath::add(const Span& span, const Piece& piece, bool goes_on, double length_mm) {
    add(piece.entry(), piece.exit(), goes_on, length_mm,
        [&](bool backwards, double& left_mm, std::vector<Point>& corners) {
            follow(span, piece, backwards != piece.reversed, left_mm, corners);
        });
}

void WipePath::add(const program::Step& bead, double length_mm) {
    add(bead.from, bead.to, distance(end_, bead.from) <= closed_mm, length_mm,
        [&](bool backwards, double& left_mm, std::vector<Point>& corners) {
            follow(bead, backwards, left_mm, corners);
        });
}

const std::vector<Point>& WipePath::way() const {
    return distance(begin_, end_) <= closed_mm ? onward_ : back_;
}

bool WipePath::holds(const Point& from, const Point& to, double reach_mm) const {
    const auto is_near = [&](const Point& at) {
        Point begin = end_;
        for (const Point& corner : way()) {
            const double dx = corner.x - begin.x, dy = corner.y - begin.y;
            const double square = dx * dx + dy * dy;
            const double along = (at.x - begin.x) * dx + (at.y - begin.y) * dy;
            const double share = square > 0 ? std::clamp(along / square, 0.0, 1.0) : 0.0;
            if (distance_xy(at, between(begin, corner, share)) <= reach_mm) return true;
            begin = corner;
        }
        return false;
    };
    return is_near(from) && is_near(between(from, to, 0.5)) && is_near(to);
}

}  // namespace durograde::grade
