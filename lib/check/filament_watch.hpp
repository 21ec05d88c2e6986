#pragma once

#include <optional>

#include "check/balance_watch.hpp"
#include "check/layer.hpp"
#include "check/ledger.hpp"
#include "check/ooze_bounds.hpp"
#include "check/precision.hpp"
#include "check/retractions.hpp"
#include "check/travels.hpp"
#include "plan/plan.hpp"

namespace durograde::check {

/// Balanced: nothing is extruded while retracted, and no more is restarted than was retracted.
/// What is fed beyond that is a declared prime (see same beads), or the input did it too.
class FilamentWatch {
  public:
    /// All arguments must outlive the watch. `layer` is filled anew from time to time.
    FilamentWatch(const plan::Plan& plan, const Travels& travels, Layer& layer,
                  BalanceWatch& balance, Ledger& ledger)
        : plan_(plan), travels_(travels), layer_(layer), balance_(balance), ledger_(ledger) {}

    void select(int tool) {
        tool_ = tool;
        retractions_.use(tool);
    }
    /// A layer of the input begins: what its restarts feed beyond what was retracted is owed.
    void begin_layer() {
        owed_mm_ += layer_.surplus_mm;
        owed_times_ += layer_.surpluses;
        balance_.want(layer_.surplus_mm);
        for (const Pin& pin : layer_.pins) balance_.want(pin.fed_mm);
    }
    /// What a filament move or a wipe feeds.
    enum class Fed {
        nothing,  ///< no more than was retracted, or as a declared prime
        surplus,  ///< more than was retracted, as a restart of the input does
        in_place  ///< filament is laid where the nozzle stands
    };
    Fed move(const Act& act, const Precision& precision, std::uint64_t output_line);
    /// Of the filament of a bead, what restarts along it.
    [[nodiscard]] double restarts_along(const Act& bead) const {
        return retractions_.restarts_along(bead);
    }
    /// The first bead of a piece; `at_start` where it begins `stroke`.
    void piece(const Stroke& stroke, bool at_start, const Act& act, const Precision& precision,
               Lines lines);
    void bead(const Act& act) {
        retractions_.apply(act);
        if (act.e_mm > most_per_mm_ * act.length_mm) most_per_mm_ = act.e_mm / act.length_mm;
    }

    /// A move of the plan's own lines around a swap: what it feeds is declared by the plan.
    void feed_around_swap(const Act& act);

    /// A prime begins; it refills what the tool has `lost` where it does that.
    void prime_begins(const Point& at, const OozeBounds::Lost& lost, std::uint64_t output_line);
    void prime_ends(const Precision& precision, std::uint64_t output_line);
    [[nodiscard]] bool is_priming() const noexcept { return priming_; }
    void finish(const Precision& precision, std::uint64_t output_line);

    [[nodiscard]] const Retractions::Drawn& drawn() const noexcept {
        return retractions_.current();
    }

  private:
    /// Sums of two or three written numbers, and what a cut next to a bead's end leaves of it.
    [[nodiscard]] double rounding_mm(const Precision& precision) const {
        return 2.5 * precision.e_mm + 1.5 * precision.xy_mm * most_per_mm_;
    }
    Fed judge_surplus(double surplus_mm, bool restarts, const Precision& precision,
                      std::uint64_t output_line);
    bool is_given_back(double fed_mm, const Precision& precision);

    const plan::Plan& plan_;
    const Travels& travels_;
    Layer& layer_;
    BalanceWatch& balance_;
    Ledger& ledger_;
    Retractions retractions_;
    int tool_ = 0;
    bool priming_ = false;
    OozeBounds::Lost lost_;
    double primed_mm_ = 0.0, most_per_mm_ = 0.0;
    double owed_mm_ = 0.0;        ///< that restarts of the input have fed, and the output not yet
    std::size_t owed_times_ = 0;  ///< by so many lines, each rounded
    Point prime_at_;
    std::optional<Point> primed_at_;  ///< where the next bead must begin
};

}  // namespace durograde::check
