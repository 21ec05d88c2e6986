#pragma once

#include <algorithm>
#include <map>

#include "check/act.hpp"

namespace durograde::check {

/// How much filament each tool has drawn back and not yet restarted.
class Retractions {
  public:
    struct Drawn {
        double mm = 0.0;
        bool by_machine = false;  ///< by G10: as far as the machine draws
        [[nodiscard]] bool any() const { return mm > rounding_mm || by_machine; }
    };

    /// Takes a wipe, a filament move or a bead of the tool in use into account. Returns what was
    /// fed beyond what had been drawn back, of filament moves.
    double apply(const Act& act) {
        if (act.kind == Kind::bead) {
            current_->mm = 0.0;
            current_->by_machine = false;
            return 0.0;
        }
        if (act.by_machine) {
            current_->by_machine = act.e_mm < 0;
            return 0.0;
        }
        const double left = current_->mm - act.e_mm;
        current_->mm = std::max(0.0, left);
        if (current_->mm < rounding_mm) current_->mm = 0.0;
        return std::max(0.0, -left);
    }

    void use(int tool) { current_ = &by_tool_[tool]; }
    [[nodiscard]] const Drawn& current() const noexcept { return *current_; }

  private:
    static constexpr double rounding_mm =
        1e-6;  // sums of written numbers; far below any decimal of E
    std::map<int, Drawn> by_tool_;
    Drawn* current_ = &by_tool_[0];
};

}  // namespace durograde::check
