#pragma once

#include <string>

#include "check/check.hpp"
#include "grade/figures.hpp"

namespace durograde::report {

/// The JSON report, format 1 (docs/report.schema.json): keys in a fixed order, units in their
/// names, numbers finite, ends with a line end. Bytes that are no UTF-8 are replaced.
std::string json(const grade::Figures& figures, const check::Verdict& verdict);

}  // namespace durograde::report
