#pragma once

#include <algorithm>
#include <map>

#include "check/act.hpp"

namespace durograde::check {

/// How much filament each tool has retracted and not yet restarted.
class Retractions {
  public:
    struct Drawn {
        double mm = 0.0;
        bool by_machine = false;  ///< by G10: as far as the machine draws
        [[nodiscard]] bool any() const { return mm > rounding_mm || by_machine; }
    };

    /// Takes a wipe, a filament move or a bead of the tool in use into account. Returns what was
    /// fed beyond what had been retracted, of filament moves.
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

    /// Whether a filament move lays filament where the nozzle stands, or straight up, instead of
    /// restarting what was `drawn` back: what a restart adds is less than what it gives back.
    [[nodiscard]] static bool feeds_in_place(const Act& act, const Drawn& drawn,
                                             double surplus_mm) {
        if (act.kind != Kind::filament || act.by_machine || surplus_mm <= rounding_mm) return false;
        return surplus_mm > drawn.mm + rounding_mm || act.to.z != act.from.z;
    }
    /// Of the filament of a bead, what restarts along it.
    [[nodiscard]] double restarts_along(const Act& bead) const {
        const double mm = current_->mm;
        return mm > rounding_mm && bead.e_mm > mm + rounding_mm ? mm : 0.0;
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
