#pragma once

#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "check/paces.hpp"
#include "check/precision.hpp"
#include "plan/plan.hpp"
#include "region/bead_log.hpp"
#include "region/depth.hpp"
#include "region/footprint.hpp"
#include "region/labels.hpp"

namespace durograde::check {

/// What must be known of the whole input before its first layer can be judged.
struct FirstLook {
    explicit FirstLook(region::Footprint on_bed) : footprint(std::move(on_bed)) {}

    region::Footprint footprint;  ///< with the plan's parts named
    region::Labels labels;
    std::vector<plan::PartPlace> places;
    double bead_mm = 0.0;                     ///< mean width
    std::vector<std::uint64_t> first_layers;  ///< see LayerReader
    Decimals decimals;
    double arcs_off_by_mm = 0.0;  ///< see Reader
    Paces paces;                  ///< of all moves that are no beads
    bool states_progress = false;
    bool sinks = false;                      ///< some move goes lower than what is printed by then
    std::unique_ptr<region::BeadLog> beads;  ///< where the plan asks for depth or hardness
};

/// Reads all of the input. Throws Failure (Exit::bad_input) where a line cannot be read, or where a
/// place of the plan has no part, or shares one.
FirstLook look_at(const plan::Plan& plan, int fd, const std::string& name);

/// How deep places lie in their parts; none where the plan does not ask. `look` must outlive it.
/// Throws Failure (Exit::bad_input) where that cannot be told.
std::unique_ptr<region::Depth> measure_depth(const plan::Plan& plan, const FirstLook& look,
                                             const std::string& name);

}  // namespace durograde::check
