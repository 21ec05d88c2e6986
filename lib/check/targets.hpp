#pragma once

#include <vector>

#include "plan/material_curve.hpp"
#include "plan/plan.hpp"

namespace durograde::check {

/// What a stretch of bead is to be printed with.
struct Target {
    int tool = 0;
    double celsius = 0.0;  ///< 0: the input never said
    double flow = 1.0;     ///< factor on the input's filament
    bool keeps = false;    ///< as the input had it

    friend bool operator==(const Target&, const Target&) = default;
};

inline constexpr int no_target = -1;

/// The targets that a plan leads to, each under a small number.
class Targets {
  public:
    explicit Targets(const plan::Plan& plan);

    /// Of a bead that the input prints with `tool` at `celsius`.
    int of_zone(int zone, int tool, double celsius);
    int of_outside(int tool, double celsius);

    [[nodiscard]] const Target& operator[](int number) const {
        return list_[static_cast<std::size_t>(number)];
    }

  private:
    using Choice = std::variant<plan::Keep, plan::ToolNumber>;
    int chosen(const plan::Plan& plan, const Choice& choice);
    int number_of(const Target& target);

    std::vector<Target> list_;
    std::vector<int> zones_;    ///< target of each zone, or `no_target` where it keeps
    int outside_ = no_target;
};

}  // namespace durograde::check
