#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grade/as_sliced.hpp"
#include "grade/barrier_cost.hpp"
#include "grade/emitter.hpp"
#include "grade/sequence.hpp"
#include "grade/window.hpp"
#include "grade/work.hpp"
#include "heat/timeline.hpp"
#include "program/assembler.hpp"
#include "text/program_input.hpp"
#include "text/sink.hpp"

namespace durograde::grade {

/// One pass over the program: span by span through pieces and visits to lines.
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
    [[nodiscard]] int first_station(const Work& work);
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
    std::optional<BarrierCost> fewest_;
    bool in_order_ = false;
    bool part_is_begun_ = false;  ///< something of a part lies in the first layer being prepared
};

}  // namespace durograde::grade
