#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "grade/flow_spread.hpp"
#include "grade/open_air.hpp"
#include "grade/prediction.hpp"
#include "heat/history.hpp"
#include "plan/material_curve.hpp"
#include "region/thickness.hpp"
#include "text/diagnostic.hpp"

namespace durograde::grade {

/// Why a line of the output differs from the input's.
enum class Reason : std::uint8_t {
    flow,         ///< the filament of a bead follows its temperature's flow factor
    e_count,      ///< the absolute count of E differs because of earlier changes
    cut,          ///< a bead was cut at a zone boundary
    feed,         ///< the feed stays within the tool's largest flow
    fan,          ///< the fan stays within the tool's range
    coordinates,  ///< written anew in the frame in force
    travel,       ///< travels between beads in another order
    protection,   ///< retract, wipe, hop and restart
    swap,         ///< tool swaps and what they say anew
    heat,         ///< set-points and waits
    settings,     ///< settings and labels said where the order changed
    prime,        ///< priming
    frame,        ///< how numbers are read: G90, M83, G92 E
    progress,     ///< progress that no longer holds
    declaration,  ///< the first line of a graded program
};
inline constexpr std::size_t reason_count = 15;
inline constexpr std::array<std::string_view, reason_count> reason_names = {
    "flow", "e_count", "cut",      "feed",  "fan",   "coordinates", "travel",     "protection",
    "swap", "heat",    "settings", "prime", "frame", "progress",    "declaration"};

struct Edits {
    std::uint64_t copied = 0;
    std::array<std::uint64_t, reason_count> rewritten{}, inserted{}, removed{};
};

struct PartFigures {
    double x_mm = 0.0, y_mm = 0.0, turn_deg = 0.0;
    double mass_g = 0.0, cost = 0.0;
    int kind = 0;
    std::vector<double> zone_mm3 = {};  ///< of bead, as the input meant it, in each zone
};

struct ZoneFigures {
    std::string name;
    int tool = -1;               ///< -1: the tool each bead had
    double temperature_c = 0.0;  ///< 0 where the beads keep theirs
    double length_mm = 0.0;
    double volume_mm3 = 0.0;  ///< of bead, as the input meant it
    double mass_g = 0.0;
    double hardness_shore_a = 0.0;
    std::optional<double> asked_shore_a;  ///< by the plan
    std::optional<plan::CardValues>
        card;                  ///< where it has a temperature of its own, and a material
    double filament_mm = 0.0;  ///< as fed: with the flow of its temperature, less what is coasted
    double printing_s = 0.0;
    FlowSpread flow;
    double melt_mm3 = 0.0;  ///< of its tool; 0: not known
    /// The thinnest place, where the plan asks for it and it is no thicker than can be told.
    std::optional<region::Thinnest> thinnest;
};

struct ToolFigures {
    long visits = 0;
    double printing_s = 0.0, idle_s = 0.0, standby_s = 0.0, off_s = 0.0, wait_s = 0.0;
    double filament_mm = 0.0;
    long retractions = 0;
    double retracted_mm = 0.0;   ///< by all of them together
    long most_of_a_stretch = 0;  ///< retractions that one stretch of filament has been through
    std::vector<heat::HeatPoint> heat;  ///< of a tool of the plan, over the print
    bool heat_is_thinned = false;       ///< some of its set-points are left out
};

struct LayerFigures {
    long layer = 0;
    double z_mm = 0.0, time_s = 0.0;
    long swaps = 0;
    long pieces = 0;
};

/// A command that nothing may be moved across, where it parts layers.
struct BarrierFigures {
    std::string command;  ///< its first word
    long times = 0;       ///< a layer was parted by it
    long swaps = 0;       ///< that this costs
};

/// Everything that a report tells of one grading.
struct Figures {
    std::string plan_name, plan_file;
    std::string input_name, output_name;
    std::uint64_t input_bytes = 0, input_lines = 0, output_bytes = 0, output_lines = 0;
    bool released = false;
    bool nothing_asked = false;
    bool schedules_heat = false;  ///< the plan has [heat]
    long layers = 0;
    std::vector<PartFigures> parts;
    std::vector<ZoneFigures> zones;
    ZoneFigures outside;
    /// What stands as it is before the first bead that is graded and after the last one: all of its
    /// filament and, as its printing time, all of its time.
    ZoneFigures start_and_end;
    ZoneFigures block;  ///< the purge block; its mass is waste
    std::map<int, ToolFigures> tools;
    std::vector<LayerFigures> layer_list;
    double before_s = 0.0, after_s = 0.0;
    /// These and `start_and_end.printing_s` make up `after_s`. Printing is that of zones, outside
    /// and block; travel is what is left: ways, retractions, and where the machine stands.
    double printing_s = 0.0, travel_s = 0.0, swaps_s = 0.0, waiting_s = 0.0, priming_s = 0.0;
    double price_per_kg = 0.0;
    double prime_mm3 = 0.0, block_mm3 = 0.0, ooze_mm3 = 0.0, waste_mass_g = 0.0, waste_cost = 0.0;
    double restart_mm3 = 0.0;     ///< fed in place beyond what was retracted, other than by priming
    double swap_lines_mm3 = 0.0;  ///< fed by the plan's own lines around swaps
    double refill_mm3 = 0.0;      ///< fed by priming for what had oozed, which is counted there
    double filament_area_mm2 = 0.0;  ///< cross-section
    OpenAirAccount open_air;
    long retractions_before = 0;  ///< as sliced
    long swaps = 0;
    long temperature_changes = 0;  ///< of a tool that goes on printing, each with its wait
    long fewest_swaps = 0;         ///< that any order of the tools within the layers allows
    long fewest_swaps_parted = 0;  ///< the same, as commands part the layers
    std::vector<BarrierFigures> barriers;
    long cuts = 0;          ///< beads cut at zone boundaries
    bool protects = false;  ///< the plan has [strings]
    long protected_travels = 0;
    Edits edits;
    std::vector<Diagnostic> warnings;
    std::optional<Prediction> prediction;
    std::optional<CostFigures> cost_of_sheet;
    std::optional<GradientFigures> gradient;

    /// Of all zones, and thrown away.
    [[nodiscard]] double mass_g() const {
        double sum = outside.mass_g + start_and_end.mass_g + waste_mass_g;
        for (const ZoneFigures& zone : zones) sum += zone.mass_g;
        return sum;
    }
    /// Of the beads of all zones and outside, as fed.
    [[nodiscard]] double beads_mm3() const {
        double mm = outside.filament_mm;
        for (const ZoneFigures& zone : zones) mm += zone.filament_mm;
        return mm * filament_area_mm2;
    }
    /// By all tools, beyond what was retracted.
    [[nodiscard]] double fed_mm3() const {
        double mm = 0.0;
        for (const auto& [number, tool] : tools) mm += tool.filament_mm;
        return mm * filament_area_mm2;
    }
    [[nodiscard]] double cost() const { return mass_g() * 1e-3 * price_per_kg; }
    /// As graded, of all tools.
    [[nodiscard]] long retractions_after() const {
        long sum = 0;
        for (const auto& [number, tool] : tools) sum += tool.retractions;
        return sum;
    }
};

}  // namespace durograde::grade
