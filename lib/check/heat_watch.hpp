#pragma once

#include <map>

#include "check/heat_model.hpp"
#include "check/ledger.hpp"
#include "check/rest_watch.hpp"
#include "check/targets.hpp"

namespace durograde::check {

/// Right heat, and quiet when idle: follows the set-points of the output.
class HeatWatch {
  public:
    /// All arguments must outlive the watch.
    HeatWatch(const plan::Plan& plan, Clock& clock, Ledger& ledger);

    void set(int tool, double celsius, std::uint64_t output_line);
    void wait(int tool, bool cools) { clock_.may_pause(model_.wait(tool, cools)); }
    /// The tool in use is hotter than its set-point, and nothing has waited for it.
    [[nodiscard]] bool must_cool() {
        const HeatModel::Tool& tool = model_.now(tool_);
        return tool.plan != nullptr && !tool.reached && tool.set_c > 0 &&
               tool.high_c > tool.set_c + tool.plan->ready_k;
    }
    void select(int tool, std::uint64_t output_line);

    /// The first bead that the plan grades: idle tools are watched from here on.
    void begin_grading(std::uint64_t output_line);

    /// A bead is about to be printed as `target` says. `input_waits` tells that the input has
    /// waited for the heat that it prints it with.
    void extrude(const Target& target, bool input_waits, Lines lines);
    /// Filament is fed that belongs to no bead.
    void prime(std::uint64_t output_line);

    /// Tools that are idle until here are needed no more.
    void finish(std::uint64_t output_line);

    /// Set-point of the tool in use; 0 where none was given.
    [[nodiscard]] double set_point_c() const { return model_.set_point_c(tool_); }
    [[nodiscard]] int tool() const noexcept { return tool_; }

  private:
    /// A tool that is not in use.
    struct Idle {
        double since_s = 0.0;      ///< not in use
        double hot_since_s = 0.0;  ///< with a set-point above the standby that the plan gives
        double heating_s = 0.0;    ///< that the hot stretch may take to get hot
        double off_s = never_s;    ///< when it was first set off
        bool hot = false;
        std::uint64_t line = 0;  ///< where it was put away, or set
    };
    static constexpr double never_s = 1e30;

    [[nodiscard]] double wanted_c(const Target& target) const;
    void check_temperature(const HeatModel::Tool& tool, Lines lines);
    void begin_idle(int number, std::uint64_t line);
    void end_idle(int number, bool for_good, std::uint64_t line);
    void end_hot(int number, const Idle& idle, double heating_s, std::uint64_t line);
    [[nodiscard]] bool watches_idle() const { return grading_ && plan_.heat.has_value(); }

    const plan::Plan& plan_;
    Clock& clock_;
    Ledger& ledger_;
    HeatModel model_;
    RestWatch rest_watch_;
    std::map<int, Idle> idle_;
    int tool_ = 0;
    bool grading_ = false;
};

}  // namespace durograde::check
