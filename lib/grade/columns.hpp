#pragma once

#include <vector>

#include "grade/prediction.hpp"
#include "plan/plan.hpp"
#include "region/part_model.hpp"

namespace durograde::grade {

/// Modulus of one zone's beads, MPa, from the softest to the stiffest that they are taken for; a
/// high one of 0: not known.
using ZoneModulus = Band;

/// Stiffness of a part between two plates, N/mm, small strains, from columns that stand beside each
/// other: each in series along its length, where a gap carries nothing (the bound of Reuss), to
/// each in parallel with itself, where gaps count as nothing (the bound of Voigt). Sparse places
/// are softer than their beads by a power of their fill, from `exponent.high` for the low bound to
/// `exponent.low` for the high one. Nothing where some zone's modulus is not known.
std::optional<Band> stiffness_along_z(const region::PartModel& model,
                                      const std::vector<ZoneModulus>& zones,
                                      const plan::Range& exponent);

/// The same along a direction of length 1 on the model's own axes, those of the bed.
std::optional<Band> stiffness_along(const region::PartModel& model, const plan::Vec3& direction,
                                    const std::vector<ZoneModulus>& zones,
                                    const plan::Range& exponent);

}  // namespace durograde::grade
