/// @file
#include "infill.hpp"

#include <array>
#include <cmath>

namespace durograde::sheets {
namespace {

/// Shorter lines are left out: the walls fill such corners.
constexpr double shortest_mm = 0.8;

/// A wave of amplitude 1 and period 1 made of parabolas: close to a sine, and plain arithmetic.
double wave(double phase) {
    const double in_period = phase - std::floor(phase);
    if (in_period < 0.5) return 16 * in_period * (0.5 - in_period);
    return -16 * (in_period - 0.5) * (1 - in_period);
}

/// The part of one line left and right of the hole; without a hole all of it is `spans[0]`.
struct Cut {
    std::array<Span, 2> spans;
    std::array<bool, 2> there{false, false};
};

class Filler {
  public:
    Filler(const InfillForm& form, const std::function<void(const Path&)>& draw)
        : form_(form),
          draw_(draw),
          along_(unit_vector(form.angle_deg)),
          aside_{-along_.y_mm, along_.x_mm} {}

    /// Joins the lines on one side of the hole: side 0 takes the undivided lines too.
    void fill(std::size_t side) {
        const double half_x_mm = form_.region.half_x_mm;
        const double half_y_mm = form_.region.half_y_mm;
        const double reach_mm = std::sqrt(half_x_mm * half_x_mm + half_y_mm * half_y_mm);
        const int lines = static_cast<int>(reach_mm / form_.spacing_mm);
        for (int line = -lines; line <= lines; ++line) {
            const double shift_mm = line * form_.spacing_mm;
            const Cut cut = cut_line(shift_mm);
            if (cut.there[side]) add_line(shift_mm, cut.spans[side]);
        }
        finish();
    }

  private:
    Point at(double shift_mm, double along_mm) const {
        return {aside_.x_mm * shift_mm + along_.x_mm * along_mm,
                aside_.y_mm * shift_mm + along_.y_mm * along_mm};
    }

    Cut cut_line(double shift_mm) const {
        Cut cut;
        const std::optional<Span> whole = clip(form_.region, at(shift_mm, 0), along_);
        if (!whole) return cut;
        std::optional<Span> hole;
        if (form_.hole.exists()) hole = clip(form_.hole, at(shift_mm, 0), along_);
        if (hole) {
            cut.spans = {Span{whole->from_mm, hole->from_mm}, Span{hole->to_mm, whole->to_mm}};
        } else {
            cut.spans = {*whole, Span{}};
        }
        for (std::size_t side = 0; side < 2; ++side) {
            cut.there[side] = cut.spans[side].to_mm - cut.spans[side].from_mm > shortest_mm;
        }
        return cut;
    }

    /// Goes along the line against the direction of the last, from the end that is at hand.
    void add_line(double shift_mm, Span span) {
        const bool back = !path_.empty() && forth_;
        const double from_mm = back ? span.to_mm : span.from_mm;
        if (!path_.empty() && !near(bent(shift_mm, from_mm))) {
            finish();
            add_line(shift_mm, span);
            return;
        }
        path_.push_back({bent(shift_mm, from_mm), 0, {}});
        if (form_.wavy) add_bends(shift_mm, span, back);
        path_.push_back({bent(shift_mm, back ? span.from_mm : span.to_mm), 0, {}});
        forth_ = !back;
    }

    /// The knots between the ends of a wavy line, at equal steps.
    void add_bends(double shift_mm, Span span, bool back) {
        const double length_mm = span.to_mm - span.from_mm;
        const int steps = static_cast<int>(std::lround(length_mm / form_.segment_mm));
        for (int step = 1; step < steps; ++step) {
            const double gone_mm = length_mm * step / steps;
            const double along_mm = back ? span.to_mm - gone_mm : span.from_mm + gone_mm;
            path_.push_back({bent(shift_mm, along_mm), 0, {}});
        }
    }

    Point bent(double shift_mm, double along_mm) const {
        if (!form_.wavy) return at(shift_mm, along_mm);
        return at(shift_mm + form_.wave_mm * wave(along_mm / form_.wavelength_mm), along_mm);
    }

    /// Near enough to go on without a travel.
    bool near(Point point) const {
        const double x_mm = point.x_mm - path_.back().at.x_mm;
        const double y_mm = point.y_mm - path_.back().at.y_mm;
        return std::sqrt(x_mm * x_mm + y_mm * y_mm) < 2.2 * form_.spacing_mm;
    }

    void finish() {
        if (path_.size() > 1) draw_(path_);
        path_.clear();
        forth_ = false;
    }

    const InfillForm& form_;
    const std::function<void(const Path&)>& draw_;
    Point along_;
    Point aside_;
    Path path_;
    bool forth_ = false;  ///< the last line was drawn along `along_`
};

}  // namespace

void trace_infill(const InfillForm& form, const std::function<void(const Path&)>& draw) {
    if (!form.region.exists()) return;
    Filler filler(form, draw);
    filler.fill(0);
    if (form.hole.exists()) filler.fill(1);
}

}  // namespace durograde::sheets
