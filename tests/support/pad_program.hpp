#pragma once

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

/// Small programs written by hand: pads as a few polygons a layer.
namespace durograde::support {

struct Corner {
    double x = 0.0, y = 0.0;
};
using Polygon = std::vector<Corner>;

/// `polygon` turned counter-clockwise about the origin, then moved.
inline Polygon moved(const Polygon& polygon, double x_mm, double y_mm, double turn_deg = 0.0) {
    const double turn = turn_deg * std::numbers::pi / 180;
    Polygon result;
    for (const Corner& at : polygon) {
        result.push_back({x_mm + at.x * std::cos(turn) - at.y * std::sin(turn),
                          y_mm + at.x * std::sin(turn) + at.y * std::cos(turn)});
    }
    return result;
}

inline Polygon rectangle(double half_x_mm, double half_y_mm) {
    return {{-half_x_mm, -half_y_mm},
            {half_x_mm, -half_y_mm},
            {half_x_mm, half_y_mm},
            {-half_x_mm, half_y_mm}};
}

/// A program in mm, absolute distances and relative E, of the begin that most have.
class PadProgram {
  public:
    explicit PadProgram(int decimals = 3) : decimals_(decimals) {
        text_ = "G21\nG90\nM83\nG28\nM104 S190\nM109 S190\n";
    }
    void line(const std::string& line) { text_ += line + "\n"; }
    void height(double z_mm) { text_ += fmt::format("G1 Z{:.3f} F600\n", z_mm); }
    /// Goes to the first corner and prints along the others.
    void path(const Polygon& corners) {
        text_ +=
            fmt::format("G1 X{0:.{2}f} Y{1:.{2}f} F9000\n", corners[0].x, corners[0].y, decimals_);
        for (std::size_t i = 1; i < corners.size(); ++i) bead(corners[i - 1], corners[i]);
    }
    void loop(Polygon corners) {
        corners.push_back(corners.front());
        path(corners);
    }
    /// A rectangle's loop and lines within it, as a pad's layer is.
    void pad(const Polygon& box) {
        loop(box);
        constexpr int lines = 8;
        Polygon zigzag;
        const auto at = [&](std::size_t from, std::size_t to, double share) {
            return Corner{box[from].x + (box[to].x - box[from].x) * share,
                          box[from].y + (box[to].y - box[from].y) * share};
        };
        for (int i = 1; i < lines; ++i) {
            const double share = 1.0 * i / lines;
            const Corner left = at(0, 3, share), right = at(1, 2, share);
            zigzag.push_back(i % 2 == 0 ? right : left);
            zigzag.push_back(i % 2 == 0 ? left : right);
        }
        path(zigzag);
    }
    [[nodiscard]] const std::string& text() const { return text_; }

  private:
    void bead(const Corner& from, const Corner& to) {
        const double length = std::hypot(to.x - from.x, to.y - from.y);
        text_ += fmt::format("G1 X{0:.{3}f} Y{1:.{3}f} E{2:.5f} F1800\n", to.x, to.y, length * 0.04,
                             decimals_);
    }

    std::string text_;
    int decimals_;
};

}  // namespace durograde::support
