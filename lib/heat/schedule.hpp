#pragma once

#include <map>
#include <optional>

#include "heat/heater.hpp"
#include "heat/history.hpp"
#include "heat/ooze.hpp"
#include "heat/timeline.hpp"
#include "plan/plan.hpp"

namespace durograde::heat {

/// How long a tool stood how, in seconds of print time.
struct ToolHours {
    double idle_hot_s = 0.0, standby_s = 0.0, off_s = 0.0, wait_s = 0.0;
    double ooze_mm3 = 0.0;  ///< lost while idle
};

/// Keeps every tool hot just when it is needed. It is told of visits as they are written and puts
/// set-point commands on the timeline, before the place where the heat is needed.
class Schedule {
  public:
    Schedule(const plan::Plan& plan, Timeline& timeline, std::string line_end);

    /// Raw lines have set `set_point_c` for `tool` (0 is off) by the time `now_s`.
    void note_set_point(int tool, double set_point_c, double now_s);
    /// Seconds from `now_s` until `tool` is at its set-point; -1: until every tool is.
    [[nodiscard]] double heating_s(int tool, double now_s) const;
    /// The program's own lines have waited for `tool` until `now_s`; -1: for every tool.
    void note_wait(int tool, double now_s);
    /// Commands may be put in from this mark on.
    void begin(const Timeline::Mark& mark) { begin_ = mark; }

    /// `tool` is put away; `mark` is where.
    void leave(int tool, const Timeline::Mark& mark);

    /// `tool` must extrude at `target_c` from `need_s` on. Puts what is needed on the timeline and
    /// returns the seconds that will be spent waiting at the swap.
    double arrive(int tool, double target_c, double need_s);

    /// What `tool` has lost since it was put away, until `now_s`, mm³; 0 where it never was. To be
    /// asked once, after arrive().
    double oozed_mm3(int tool, double now_s);

    /// True where the next lines must set the target themselves: nothing on the timeline has.
    [[nodiscard]] bool needs_set(int tool, double target_c) const;
    /// True where the tool is as hot as its target asks for.
    [[nodiscard]] bool is_ready(int tool, double target_c, double now_s) const;
    /// True where the tool is hotter than it is to be: a wait that is over when hot would not wait.
    [[nodiscard]] bool must_cool(int tool, double target_c, double now_s) const;
    /// The lines at the swap have set and waited; the tool is at its target.
    void reached(int tool, double target_c, double now_s, double waited_s);

    /// Passes on what is older than the horizon; tools that nobody needed until then go off.
    void advance(double now_s);
    /// The last bead is written: everything off.
    void finish(const Timeline::Mark& mark);

    [[nodiscard]] const std::map<int, ToolHours>& hours() const noexcept { return hours_; }
    /// Of a tool of the plan, up to `end_s`.
    [[nodiscard]] History history(int tool, double end_s) const;
    [[nodiscard]] bool shortened() const noexcept { return shortened_; }
    /// Set-point commands put in.
    [[nodiscard]] std::uint64_t commands() const noexcept { return commands_; }

    /// The controller's command to set `tool` to `temperature_c`, with a line end.
    [[nodiscard]] std::string set_command(int tool, double temperature_c) const;

  private:
    struct State {
        explicit State(const plan::Heater& heater)
            : temperature_c(heater.ambient_c), history(heater) {}
        /// What holds now goes into the history.
        void note() { history.change(since_s, set_point_c, temperature_c); }

        double temperature_c = 0.0, set_point_c = 0.0;
        double since_s = 0.0;  ///< when `temperature_c` was so
        std::optional<Timeline::Mark> left;
        std::vector<Ooze::Moment> idle;  ///< since it was left
        History history;
    };
    static void reach(State& state, double now_s);
    static void note_idle(State& state);
    [[nodiscard]] double temperature_at(const plan::Tool& tool, const State& state,
                                        double time_s) const;
    void set_at(const plan::Tool& tool, State& state, double temperature_c,
                const Timeline::Mark& mark);
    void rest(const plan::Tool& tool, State& state, double target_c, double need_s);
    void turn_off(const plan::Tool& tool, State& state);
    [[nodiscard]] static double settling_s(const plan::Tool& tool, const State& state,
                                           double target_c, double need_s);
    void heat_up(const plan::Tool& tool, State& state, double target_c, double need_s);
    Timeline::Mark set_ahead(const plan::Tool& tool, double target_c, double at_s,
                             const Timeline::Mark& earliest);

    const plan::Plan& plan_;
    Timeline& timeline_;
    std::string line_end_;
    Ooze ooze_;
    Timeline::Mark begin_;
    std::map<int, State> states_;
    std::map<int, ToolHours> hours_;
    std::uint64_t commands_ = 0;
    bool shortened_ = false;
};

}  // namespace durograde::heat
