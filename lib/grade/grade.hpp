#pragma once

#include "grade/figures.hpp"
#include "plan/plan.hpp"
#include "text/program_input.hpp"
#include "text/sink.hpp"

namespace durograde::grade {

/// The main job. Reads `input` twice: once to find parts and extent, once to grade it; writes the
/// graded program to `output`. A plan that asks for nothing gives back the input byte for byte.
/// Throws Failure for what cannot be graded; what `output` has got by then is worth nothing.
Figures grade(ProgramInput& input, const plan::Plan& plan, Sink& output);

}  // namespace durograde::grade
