#pragma once

#include <nlohmann/json.hpp>
#include <optional>

#include "grade/prediction.hpp"
#include "plan/material_curve.hpp"

/// What the JSON report tells of the material and of what comes out; null where it is not known.
namespace durograde::report {

using Json = nlohmann::ordered_json;

/// Rounded to a millionth: digits beyond are noise of the order of addition.
Json number(double value);
/// Null where nothing was measured.
Json measured(double value);

/// What the material's points give at a temperature, and which ones.
Json card(const std::optional<plan::CardValues>& values);
Json gradient(const std::optional<grade::GradientFigures>& figures);
Json prediction(const std::optional<grade::Prediction>& prediction);
Json cost(const std::optional<grade::CostFigures>& figures);

}  // namespace durograde::report
