#pragma once

#include <optional>
#include <vector>

#include "grade/figures.hpp"
#include "grade/survey.hpp"
#include "plan/plan.hpp"

/// What the user should look at before printing.
namespace durograde::grade {

/// Code of the warning that a program seems to have been cut short.
inline constexpr std::string_view cut_short = "cut-short";

/// What grading met on the way.
struct Happened {
    bool in_order = false;       ///< spans that keep their order, such as a spiral
    bool short_horizon = false;  ///< less output was held back than the heat horizon asks for
};

void warn_of_what_happened(const plan::Plan& plan, const Happened& happened, Figures& figures);

/// Where zones (`sampled`, by their places in the plan) are looked for in steps alone.
void warn_of_sampling(const plan::Plan& plan, const std::vector<int>& sampled, Figures& figures);

/// Where the program seems to have been cut short.
void warn_of_cut(const Survey& survey, Figures& figures);

/// Commands of which it is not known that they select the tools that they name.
void warn_of_tool_words(const plan::Plan& plan, const Survey& survey, Figures& figures);

/// Where depth is told on larger cells than the plan asks for.
void warn_of_coarse_depth(const plan::Plan& plan, const Survey& survey, Figures& figures);

/// Writes the thinnest place of each zone into `figures`, and warns of those that are too thin.
void tell_thickness(const plan::Plan& plan,
                    const std::vector<std::optional<region::Thinnest>>& thinnest, Figures& figures);

}  // namespace durograde::grade
