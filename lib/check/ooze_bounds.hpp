#pragma once

#include <map>
#include <optional>

#include "check/card.hpp"
#include "check/clock.hpp"
#include "plan/plan.hpp"

namespace durograde::check {

/// Between which the volume lies that each tool has lost since its last bead. Time is known between
/// two bounds, and so are temperatures and what flows out: by the material's points in the first
/// minute, taken to go on at that rate; below the coldest point in a straight line to nothing at
/// machine.coldest_extrusion.
class OozeBounds {
  public:
    /// Both must outlive the bounds. Every tool starts at its ambient temperature, with no
    /// set-point.
    OozeBounds(const plan::Plan& plan, const Clock& clock);

    void set(int tool, double celsius);
    /// The output waits until the tool is at its set-point.
    void wait(int tool);
    /// The tool extrudes: what it loses counts from here on.
    void extrude(int tool);
    /// What it loses for certain counts from where it is put away until it is taken again; of what
    /// was put away before the plan grades, from there.
    void begin_grading(int tool_in_use);
    void put_away(int tool);
    void take(int tool);

    struct Lost {
        double least_mm3 = 0.0, most_mm3 = 0.0;
    };
    [[nodiscard]] Lost lost(int tool);

  private:
    struct Times {
        double least_s = 0.0, most_s = 0.0;
    };
    struct Tool {
        const plan::Heater* heater = nullptr;
        double set_c = 0.0, low_c = 0.0, high_c = 0.0;
        Times seen, bead;
        Lost lost;
        bool is_away = false;
    };
    [[nodiscard]] Times now() const { return {clock_.least_s(), clock_.most_s()}; }
    Tool* caught_up(int number);
    void pass(Tool& tool, const Times& until, bool counts) const;
    [[nodiscard]] double rate_mm3_s(double celsius) const;
    [[nodiscard]] double lost_mm3(const Tool& tool, double from_c, double seconds) const;
    struct Rates {
        double least_mm3_s = 0.0, most_mm3_s = 0.0;
    };
    [[nodiscard]] Rates rates_within(double low_c, double high_c) const;
    [[nodiscard]] double lost_mm3(const Tool& tool, double Rates::*bound, double seconds) const;

    const plan::Plan& plan_;
    const Clock& clock_;
    std::optional<Card> curve_;
    bool rises_ = true;  ///< a hotter tool never loses less
    std::map<int, Tool> tools_;
    bool grading_ = false;
};

}  // namespace durograde::check
