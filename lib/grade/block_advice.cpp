#include "grade/block_advice.hpp"

#include <fmt/format.h>

#include <cmath>

#include "grade/grading.hpp"

namespace durograde::grade {
namespace {

constexpr double widest_mm = 200.0;  // of an edge, as plans may have it

class NoSink final : public Sink {
  public:
    void write(std::string_view) override {}
};

bool is_full(const Failure& failure) {
    return failure.diagnostics().front().code == "block-full";
}

bool fits(const plan::Block& block, const plan::Machine& machine) {
    return block.width_mm <= widest_mm && block.depth_mm <= widest_mm &&
           block.x_mm + block.width_mm <= machine.reach_x.high &&
           block.y_mm + block.depth_mm <= machine.reach_y.high;
}

bool works(ProgramInput& input, const plan::Plan& plan, const Survey& survey) {
    NoSink nowhere;
    Figures figures;
    for (const plan::Tool& tool : plan.tools) figures.tools[tool.number];
    try {
        Grading(input, plan, survey, nowhere, figures).run("");
    } catch (const Failure& failure) {
        // One that meets something else on the bed is no advice, and neither is a larger one.
        if (!is_full(failure)) throw;
        return false;
    }
    return true;
}

/// The mend of a block that cannot grow at its place.
Diagnostic without_room(Diagnostic told) {
    told.mend =
        "no larger block at its place takes it all: move the block to where there is more room, "
        "or shorten the tools' `prime`";
    return told;
}

}  // namespace

Failure with_block_size(const Failure& full, ProgramInput& input, const plan::Plan& plan,
                        const Survey& survey) {
    if (!is_full(full) || !plan.block) return full;
    Diagnostic told = full.diagnostics().front();
    plan::Plan larger = plan;
    plan::Block& block = *larger.block;
    try {
        do {
            block.width_mm = std::ceil(block.width_mm * 1.1);
            block.depth_mm = std::ceil(block.depth_mm * 1.1);
            if (!fits(block, plan.machine)) return {full.exit(), without_room(std::move(told))};
        } while (!works(input, larger, survey));
    } catch (const Failure&) {
        return {full.exit(), without_room(std::move(told))};
    }
    told.mend = fmt::format("make block.size = [{:g}, {:g}], or shorten the tools' `prime`",
                            block.width_mm, block.depth_mm);
    return {full.exit(), std::move(told)};
}

}  // namespace durograde::grade
