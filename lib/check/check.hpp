#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "plan/plan.hpp"

/// The independent checker. It reads a program, the plan and what was made of the program, and
/// proves that nothing was lost, moved or heated wrongly. It shares the line grammar, the plan and
/// the fields with the passes that it checks, and none of their code.
namespace durograde::check {

/// A place where something does not hold.
struct Spot {
    std::uint64_t input_line = 0, output_line = 0;  ///< from 1; 0: no such line
    std::string text;
};

/// What was found about one invariant.
struct Finding {
    std::string name;
    bool held = true;
    /// What was met that goes farthest beyond its limit or, where all is within, nearest to it.
    double worst = 0.0;
    /// The one that `worst` was judged by; none where the rule that counts knows only yes and no.
    std::optional<double> limit;
    std::string unit;  ///< of `worst` and `limit`
    std::uint64_t failures = 0;
    std::vector<Spot> first;  ///< of the failures, a few
};

/// All invariants, in the order in which the design lists them.
struct Verdict {
    std::vector<Finding> findings;
    [[nodiscard]] bool held() const;
};

/// Proves that `after` is `before` graded by `plan`. Both descriptors must be seekable; each is
/// read from its beginning. Memory is bounded by a layer. Throws Failure: Exit::bad_input where
/// `before` cannot be read as a program, Exit::io_error where reading fails. What is wrong with
/// `after` is a finding.
Verdict check(const plan::Plan& plan, int before_fd, std::string before_name, int after_fd,
              std::string after_name);

}  // namespace durograde::check
