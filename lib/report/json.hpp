#pragma once

#include <string>

#include "grade/figures.hpp"

namespace durograde::report {

/// The JSON report, format 1 (docs/report.schema.json): keys in a fixed order, units in their
/// names, numbers finite, ends with a line end. Bytes that are no UTF-8 are replaced.
std::string json(const grade::Figures& figures);

}  // namespace durograde::report
