#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <utility>
#include <vector>

#include "check/dip.hpp"
#include "check/height_map.hpp"
#include "check/layer.hpp"
#include "check/notes.hpp"
#include "check/reader.hpp"
#include "check/retractions.hpp"

namespace durograde::check {

/// Cuts the input into layers: a stroke that begins at another height than the last bead ended at
/// begins a layer.
class LayerReader {
  public:
    /// `reader` and `machine` must outlive it. `first_layers`: lines of the beads with which layers
    /// on the bed begin, ascending. `sinks`: some move goes lower than what is printed by then.
    LayerReader(Reader& reader, const plan::Machine& machine,
                std::vector<std::uint64_t> first_layers, bool sinks)
        : reader_(reader),
          sayings_(machine.read.distance_mode_sets_e),
          first_layers_(std::move(first_layers)) {
        if (sinks) heights_.emplace(machine.reach_x, machine.reach_y);
    }

    /// Fills `layer` anew; parts and runs are left to others. False where nothing is left. Throws
    /// Failure (Exit::bad_input) where a line cannot be read.
    bool next(Layer& layer);

  private:
    bool fetch();
    [[nodiscard]] bool belongs_to_next(const Layer& layer) const;
    void take(Layer& layer);
    void take_heat();
    void take_filament(Layer& layer);
    void add_pin(Layer& layer);
    void take_bead(Layer& layer);
    void begin_stroke(Layer& layer);
    bool passes_first_layer();

    Reader& reader_;
    SayingLog sayings_;
    NoteLog notes_;
    std::optional<HeightMap> heights_;  ///< where any move can run through them
    Dip dip_;
    WayPrint way_;
    std::vector<std::uint64_t> first_layers_;
    std::size_t next_first_layer_ = 0;
    /// What a tool was set to last, and whether the input has waited for it.
    struct Heat {
        double set_c = 0.0;
        bool waited = false;
    };
    std::map<int, Heat> heats_;
    Retractions retractions_;
    Retractions::Drawn drawn_before_;  ///< before the act in hand
    bool pending_ = false, ended_ = false;
    bool in_stroke_ = false, has_bead_ = false, has_retracted_ = false;
    bool goes_on_ = false;     ///< nothing but comments since the last bead
    bool pin_passed_ = false;  ///< since the last bead
    bool swapped_ = false;     ///< since the last bead
    std::uint32_t selections_ = 0;
    /// Fed by tools selected since the last bead. At the end of the program such lines stand as
    /// they are, and what they give back to a tool of the input the output's may not lack.
    std::vector<double> given_back_mm_;
    double last_z_mm_ = 0.0, layer_z_mm_ = 0.0;
    long number_ = -1;
    std::size_t firsts_ = 0;  ///< see State
};

/// Throws what `reader` cannot read as a failure of the input.
[[noreturn]] void refuse(const Reader& reader);

}  // namespace durograde::check
