#pragma once

#include <string>

#include "grade/survey.hpp"
#include "plan/plan.hpp"

namespace durograde::grade {

/// Where the shapes of a zone's condition lie beside the part, in the part's coordinates.
struct ShapePlace {
    std::string text;  ///< ": shape `tongue` lies …"; empty where it lies within the part
    std::string mend;  ///< with the factor or shift that fits a mesh; empty where none does
};

ShapePlace place_of_shapes(const plan::Plan& plan, const plan::Zone& zone, const Survey& survey);

}  // namespace durograde::grade
