#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grade/advice.hpp"
#include "grade/as_sliced.hpp"
#include "grade/emitter.hpp"
#include "grade/sequence.hpp"
#include "grade/swaps.hpp"
#include "grade/window.hpp"
#include "grade/work.hpp"
#include "heat/timeline.hpp"
#include "program/assembler.hpp"
#include "text/program_input.hpp"
#include "text/sink.hpp"

namespace durograde::grade {

/// One pass over the program: span by span through pieces and visits to lines.
/// The tools that whole layers need, as if nothing stood amid them.
class LayerTools {
  public:
    /// The next section of a layer, and its tools.
    void add(const program::Span& span, const std::vector<int>& tools);
    /// What the lines amid layers have cost, where `fewest` swaps are needed with them.
    [[nodiscard]] Barriers barriers(long fewest);
    /// Before the first section, with this tool in use.
    void begin(int tool) { fewest_.emplace(tool); }

  private:
    void end_layer();

    std::optional<FewestSwaps> fewest_;
    std::vector<int> tools_;
    long layer_ = -1;
    double z_mm_ = 0.0;
    Barriers barriers_;
};

class Grading {
  public:
    /// All arguments must outlive the grading. Throws Failure (Exit::bad_input) where no bead lies
    /// in any part.
    Grading(ProgramInput& input, const plan::Plan& plan, const Survey& survey, Sink& output,
            Figures& figures);

    /// Writes `head`, then the program.
    void run(const std::string& head);

    /// Where progress may be stated.
    [[nodiscard]] const std::vector<heat::Timeline::Mark>& places() const {
        return timeline_.places();
    }

  private:
    bool prepare(program::Span* span, Work& work);
    void write(Work& work, const Window& window);
    void finish();

    const plan::Plan& plan_;
    const Survey& survey_;
    Figures& figures_;
    std::string input_name_;
    LineSource source_;
    program::Bounds bounds_;
    program::Interpreter interpreter_;
    program::Assembler assembler_;
    PieceMaker maker_;
    AsSliced as_sliced_;
    heat::Timeline timeline_;
    Emitter emitter_;
    Sequence sequence_;
    std::optional<FewestSwaps> fewest_;
    LayerTools layer_tools_;
    bool in_order_ = false;
};

}  // namespace durograde::grade
