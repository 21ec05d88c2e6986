#include "grade/block.hpp"

#include <algorithm>

namespace durograde::grade {
namespace {

using program::Point;

constexpr int lines_apart = 4;  // in beads, of the zigzag: a quarter of the area

double length_of(std::span<const Point> row) {
    double length = 0.0;
    for (std::size_t i = 1; i < row.size(); ++i) length += distance_xy(row[i - 1], row[i]);
    return length;
}

}  // namespace

Block::Block(const plan::Block& plan, double bead_mm) : plan_(plan), bead_mm_(bead_mm) {}

bool Block::is_near(const plan::Block& block, const Point& from, const Point& to) {
    // The part of the line that lies between two opposite sides, then between the other two.
    double enters = 0.0, leaves = 1.0;
    const auto clip = [&](double at, double step, double low, double high) {
        if (step == 0.0) {
            if (at < low || at > high) leaves = -1.0;
            return;
        }
        const double a = (low - at) / step, b = (high - at) / step;
        enters = std::max(enters, std::min(a, b));
        leaves = std::min(leaves, std::max(a, b));
    };
    clip(from.x, to.x - from.x, block.x_mm - clearance_mm,
         block.x_mm + block.width_mm + clearance_mm);
    clip(from.y, to.y - from.y, block.y_mm - clearance_mm,
         block.y_mm + block.depth_mm + clearance_mm);
    return enters <= leaves;
}

void Block::begin_layer(double z_mm) {
    height_mm_ = z_mm - z_mm_;
    z_mm_ = z_mm;
    ++layer_;
    rows_.clear();
    row_ = corner_ = 0;
    const double inset = bead_mm_ / 2;
    const double x0 = plan_.x_mm + inset, x1 = plan_.x_mm + plan_.width_mm - inset;
    const double y0 = plan_.y_mm + inset, y1 = plan_.y_mm + plan_.depth_mm - inset;
    rows_.push_back(
        {{x0, y0, z_mm}, {x1, y0, z_mm}, {x1, y1, z_mm}, {x0, y1, z_mm}, {x0, y0, z_mm}});
    for (int line = 0; line < lines_apart; ++line) add_zigzag((line + 1.5) * bead_mm_);
    // Frame and first zigzag are one way.
    rows_[0].insert(rows_[0].end(), rows_[1].begin(), rows_[1].end());
    rows_.erase(rows_.begin() + 1);
    at_ = rows_[0].front();
}

/// Lines across the frame, `lines_apart` beads apart, the first of them `offset_mm` from its edge.
void Block::add_zigzag(double offset_mm) {
    const bool along_x = layer_ % 2 == 1;
    const double inset = 1.5 * bead_mm_;
    const double along = along_x ? plan_.width_mm : plan_.depth_mm;
    const double across = along_x ? plan_.depth_mm : plan_.width_mm;
    const auto point = [&](double u, double v) {
        return Point{plan_.x_mm + (along_x ? u : v), plan_.y_mm + (along_x ? v : u), z_mm_};
    };
    Polyline row;
    const double step = lines_apart * bead_mm_;
    for (int line = 0; offset_mm + step * line <= across - inset + 1e-9; ++line) {
        const double v = offset_mm + step * line;
        row.push_back(point(line % 2 == 0 ? inset : along - inset, v));
        row.push_back(point(line % 2 == 0 ? along - inset : inset, v));
    }
    if (!row.empty()) rows_.push_back(std::move(row));
}

double Block::left_mm() const {
    if (row_ > 0 || rows_.empty()) return 0.0;
    const std::span<const Point> rest = std::span(rows_[0]).subspan(corner_ + 1);
    if (rest.empty()) return 0.0;
    return distance_xy(at_, rest.front()) + length_of(rest);
}

double Block::room_mm() const {
    double room = left_mm();
    if (row_ > 0 && row_ < rows_.size()) {
        const std::span<const Point> rest = std::span(rows_[row_]).subspan(corner_ + 1);
        if (!rest.empty()) room += distance_xy(at_, rest.front()) + length_of(rest);
    }
    for (std::size_t i = row_ + 1; i < rows_.size(); ++i) room += length_of(rows_[i]);
    return room;
}

program::Point Block::next() const {
    return at_;
}

std::vector<Polyline> Block::take(double length_mm) {
    constexpr double least_mm = 1e-6;
    std::vector<Polyline> taken;
    while (length_mm > least_mm && row_ < rows_.size()) {
        Polyline stretch = {at_};
        const Polyline& row = rows_[row_];
        while (length_mm > least_mm && corner_ + 1 < row.size()) {
            const double next_mm = distance_xy(at_, row[corner_ + 1]);
            const bool reaches = next_mm <= length_mm;
            at_ = reaches ? row[corner_ + 1] : between(at_, row[corner_ + 1], length_mm / next_mm);
            if (reaches) ++corner_;
            length_mm -= std::min(next_mm, length_mm);
            stretch.push_back(at_);
        }
        taken.push_back(std::move(stretch));
        if (corner_ + 1 < row.size()) break;
        if (++row_ == rows_.size()) break;
        corner_ = 0;
        at_ = rows_[row_].front();
    }
    return taken;
}

}  // namespace durograde::grade
