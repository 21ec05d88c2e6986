#pragma once

#include <cstdint>

#include "check/act.hpp"
#include "check/layer.hpp"
#include "check/precision.hpp"

namespace durograde::check {

/// Of a unit of the last decimal: what binary leaves of the same number.
inline constexpr double same_place = 0.01;

/// Share of a segment's length that is `mm` long.
inline double share_of(double mm, const Segment& segment) {
    return mm / segment.length_mm;
}

/// How a move of the output lies on a segment of the input.
struct Fit {
    bool lies_on = false;
    double from = 0.0, to = 0.0;  ///< shares of the segment's length
    bool reversed = false;        ///< it runs from `to` to `from`
    double off_mm = 0.0;          ///< from the segment's line
};

/// Lines lie on lines and arcs on arcs, as near as their numbers tell. Against the segment's
/// direction they do where `reverses` alone.
Fit fit(const Layer& layer, std::uint32_t index, const Act& bead, const Precision& precision,
        bool reverses);

}  // namespace durograde::check
