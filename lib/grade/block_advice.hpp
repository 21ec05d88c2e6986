#pragma once

#include "grade/survey.hpp"
#include "plan/plan.hpp"
#include "text/diagnostic.hpp"
#include "text/program_input.hpp"

namespace durograde::grade {

/// What to tell where a layer of the purge block is full: `full`, with the smallest size at its
/// place that was tried and works. Sizes grow by a tenth each way and are tried by grading; it is
/// the way of a failure, where time matters less than advice that holds. Other failures are given
/// back as they are.
Failure with_block_size(const Failure& full, ProgramInput& input, const plan::Plan& plan,
                        const Survey& survey);

}  // namespace durograde::grade
