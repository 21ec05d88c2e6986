#include "grade/part_depth.hpp"

#include <utility>
#include <variant>
#include <vector>

#include "grade/refusal.hpp"

namespace durograde::grade {

std::unique_ptr<region::Depth> measure_depth(const plan::Plan& plan, const std::string& input,
                                             const Survey& survey) {
    if (!plan.uses_depth()) return nullptr;
    auto depth = region::Depth::measure(plan.depth, *survey.beads, *survey.footprint,
                                        std::vector<bool>(survey.places.size(), true));
    if (auto* misplaced = std::get_if<region::Misplaced>(&depth)) {
        throw refusal(input, std::move(misplaced->code), std::move(misplaced->text),
                      std::move(misplaced->mend));
    }
    return std::get<std::unique_ptr<region::Depth>>(std::move(depth));
}

}  // namespace durograde::grade
