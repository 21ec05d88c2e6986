#pragma once

#include <optional>
#include <string>
#include <vector>

#include "check/check.hpp"
#include "grade/figures.hpp"
#include "text/diagnostic.hpp"

namespace durograde::report {

/// What became of one job of a queue.
struct Outcome {
    Exit exit = Exit::done;
    std::string job, output;  ///< paths as given; `output` is empty where there is none
    std::string original;     ///< where the sliced program was kept; empty where it was not
    bool already = false;     ///< it had been graded by this plan before
    std::optional<grade::Figures> figures;  ///< of a job that was graded
    check::Verdict verdict;                 ///< beside `figures`
    std::vector<Diagnostic> errors;
};

/// One object (docs/hook.schema.json), on one line. Keys stand in a fixed order; bytes that are no
/// UTF-8 are replaced.
std::string json(const Outcome& outcome);

}  // namespace durograde::report
