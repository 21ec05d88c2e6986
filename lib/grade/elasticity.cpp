#include "grade/elasticity.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::grade {

double gent_mpa(double shore_a) {
    const double s = std::clamp(shore_a, 0.0, hardest_shore_a);
    return 0.0981 * (56 + 7.62336 * s) / (0.137505 * (254 - 2.54 * s));
}

double filled_mpa(double mpa, double fill, double exponent) {
    return mpa * std::pow(std::clamp(fill, 0.0, 1.0), exponent);
}

}  // namespace durograde::grade
