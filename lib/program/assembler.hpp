#pragma once

#include <limits>

#include "program/interpreter.hpp"
#include "program/span.hpp"

namespace durograde::program {

/// Where the parts of a program that stand as they are end and begin, as offsets into the input.
struct Bounds {
    std::uint64_t prologue_end = 0;  ///< all before it stands
    std::uint64_t epilogue_begin = std::numeric_limits<std::uint64_t>::max();  ///< all from it on
    /// Where layers stand on the bed, though they may lie above the layer before, as the parts'
    /// first above a purge line: just past the first bead of each, ascending.
    std::vector<std::uint64_t> first_layers = {};
};

/// Counts layers from the motion alone: a bead at another height begins a layer, a fall of height
/// begins another part's first one.
class LayerCounter {
  public:
    /// Takes the height at which a stroke begins; true where it begins a layer. With `on_bed` that
    /// is a first one, whatever lies below.
    bool begins(double z_mm, bool on_bed = false);
    [[nodiscard]] long layer() const noexcept { return layer_; }
    [[nodiscard]] long runs() const noexcept { return runs_; }

  private:
    long layer_ = -1, runs_ = 0;
    double z_mm_ = 0.0;
};

/// Lifts lines to spans. In: a line source at its start. Out: spans one at a time.
class Assembler {
  public:
    /// `source` and `interpreter` must outlive the assembler.
    Assembler(LineSource& source, Interpreter& interpreter, Bounds bounds);

    /// Fills `span` (its memory is reused). False at the end of the program.
    bool next(Span& span);
    /// In force at the end, when there is no further span.
    [[nodiscard]] const std::shared_ptr<const Settings>& settings() const noexcept {
        return settings_;
    }

  private:
    bool read();
    [[nodiscard]] bool is_raw() const;
    bool belongs_to_next(const Span& span);
    void begin(Span& span);
    void take(Span& span);
    void take_raw(Span& span);
    void take_bead(Span& span);
    void begin_stroke(Span& span);
    bool is_on_bed();
    void take_item(Span& span);
    void carry_approach(Span& span);
    void finish(Span& span);

    LineSource& source_;
    Interpreter& interpreter_;
    Bounds bounds_;
    grammar::Line line_;
    RawLine raw_;
    Step step_;
    State before_;  ///< before `step_`, where it may be raw
    std::shared_ptr<const Settings> settings_ = std::make_shared<Settings>();
    std::vector<Item> carried_;
    std::uint64_t carried_text_begin_ = 0;
    std::uint64_t taken_end_ = 0;  ///< input offset just past the last line taken
    LayerCounter layers_;
    std::size_t next_first_layer_ = 0;  ///< of the bounds'
    double z_mm_ = 0.0;
    bool pending_ = false, ended_ = false;
    bool in_stroke_ = false, carry_ = false;
    bool fan_named_ = false;  ///< some raw line has set the fan
};

}  // namespace durograde::program
