#pragma once

/// From hardness to stiffness: estimates, for which the report names their relations.
namespace durograde::grade {

/// Up to which Shore A the relation below is told of; beyond, stiffness is told for this.
inline constexpr double hardest_shore_a = 99.0;

/// Young's modulus in MPa of an elastomer of this hardness, after Gent (On the relation between
/// indentation hardness and Young's modulus, Trans. Inst. Rubber Ind. 34, 1958, 46-57). Usually
/// quoted for 20 to 80 Shore A; it grows without end towards 100.
double gent_mpa(double shore_a);

/// Modulus of what is only filled to this share (0 to 1) by something of modulus `mpa`: the share
/// to a power of 1 to 2, after Gibson and Ashby (Cellular Solids, 2nd ed., 1997).
double filled_mpa(double mpa, double fill, double exponent);

}  // namespace durograde::grade
