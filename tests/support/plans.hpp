#pragma once

#include <cstdint>
#include <string>

#include "plan/plan.hpp"
#include "style.hpp"

namespace durograde::support {

/// What a made-up plan holds.
struct PlanShape {
    int tools = 3;
    double firm_mm = 2.0123, blend_mm = 4.0117;  ///< zones around the part's axis
    bool by_height = false;                      ///< a zone by height as well
    bool turned_box = false;                     ///< a box shape, so that turns matter
    bool material = true, order = true, strings = true, heat = true;
    bool primes = false, hops = true, fans = false, limits_flow = false;
    int outside = -1;                           ///< a tool number, or -1 for "keep"
    double shift_x_mm = 0.0, shift_y_mm = 0.0;  ///< of the places
    std::string extra;                          ///< further TOML at the end
};

/// A random mix, the same for the same seed everywhere.
PlanShape plan_shape_from_seed(std::uint64_t seed);

/// TOML of a plan for a generated sheet, its places listed.
std::string plan_text(const sheets::Style& style, const PlanShape& shape);
plan::Plan plan_for(const sheets::Style& style, const PlanShape& shape);

/// A plan small enough to be read: a bed of 200 mm, tool 0 at 190 °C and tool 1 at 230 °C, each
/// with these further lines, and `rest` behind them.
std::string two_tools_text(const std::string& first, const std::string& second,
                           const std::string& rest);
/// A material for it that oozes so much in the first minute at 190 °C and at 260 °C.
std::string oozing_text(double cold_mm3, double hot_mm3);
/// Zones for it: tool 0 left of x = 0 of each part, tool 1 right of it.
extern const char* const halves_text;

}  // namespace durograde::support
