#pragma once

#include <cstddef>
#include <optional>
#include <vector>

namespace durograde::grade {

/// From the least to the most that something is taken for.
struct Band {
    double low = 0.0, high = 0.0;
};

/// What a zone is expected to come out as.
struct ZonePrediction {
    double volume_mm3 = 0.0, mass_g = 0.0;
    double density_g_cm3 = 0.0;  ///< of its beads; 0: not known
    double envelope_mm3 = 0.0;   ///< its share of what the parts enclose; 0: not looked at
    double fill = 0.0;           ///< share of the envelope that beads fill, at most 1
    double shore_a = 0.0, shore_a_spread = 0.0;  ///< of its beads; 0: not known
    double modulus_mpa = 0.0;                    ///< of its beads
    Band filled_mpa;                             ///< of its envelope
};

/// What a part is expected to come out as.
struct PartPrediction {
    int part = 0, kind = 0;
    double volume_mm3 = 0.0, mass_g = 0.0, density_g_cm3 = 0.0;
    double envelope_mm3 = 0.0, fill = 0.0;
    double shore_a = 0.0, shore_a_spread = 0.0;  ///< mean of its beads, by volume
    /// Between plates at its bottom and top; nothing where the modulus of some zone is not known.
    std::optional<Band> along_z_n_mm;
    std::optional<Band> along_n_mm;  ///< along the direction that the plan names
};

struct Prediction {
    std::vector<ZonePrediction> zones;  ///< as many as the plan has
    std::vector<PartPrediction> parts;  ///< the first of each kind
    double cell_mm = 0.0;
};

/// A hardness that the plan asks for by place, and what it is given in steps.
struct GradientFigures {
    double volume_mm3 = 0.0;  ///< of beads that follow it
    Band asked_shore_a;       ///< from the softest to the hardest that they ask for
    double rms_shore_a = 0.0, worst_shore_a = 0.0;  ///< what they are off by, by volume; at most
    std::size_t first_zone = 0, steps = 0;          ///< the zones that it is made of
};

/// What a sheet costs, in the plan's currency.
struct CostFigures {
    double filament = 0.0, machine = 0.0, labour = 0.0;
    double machine_hours = 0.0, machine_per_hour = 0.0;
    double sheet = 0.0;          ///< all three
    double failure_share = 0.0;  ///< of sheets that are thrown away
    double failures = 0.0;       ///< that a good sheet bears for those that failed
    double good_sheet = 0.0;     ///< both
    double good_part = 0.0;
    long parts = 0;                                      ///< on a sheet
    std::optional<double> parts_per_day, hours_per_day;  ///< of machine, for as many good parts
};

}  // namespace durograde::grade
