#pragma once

#include <cstdlib>
#include <map>
#include <string>
#include <variant>
#include <vector>

#include "command_template.hpp"
#include "heat/schedule.hpp"

/// A made-up print for the heat schedule: a line a second, swaps, and the output replayed on
/// heaters that are stepped through in small steps of time.
namespace durograde::heat_test {

inline constexpr double swap_s = 9.0;

inline plan::Tool tool(int number, double temperature_c) {
    plan::Tool tool;
    tool.number = number;
    tool.temperature_c = temperature_c;
    tool.standby_c = 150;
    tool.heater = {4.0, 0.010, 25.0};
    tool.ready_k = 2.0;
    return tool;
}

inline plan::Plan plan_with(std::vector<plan::Tool> tools, std::optional<plan::Heat> heat) {
    plan::Plan plan;
    plan.machine.swap_time_s = swap_s;
    plan.machine.write.set = std::get<grammar::CommandTemplate>(
        grammar::parse_command_template("set {tool} {temperature}"));
    plan.tools = std::move(tools);
    plan.heat = heat;
    return plan;
}

class Text final : public Sink {
  public:
    void write(std::string_view bytes) override { text += bytes; }
    std::string text;
};

/// Writes "@TIME" a second of print, and "use TOOL TIME WAIT" where a tool begins to extrude.
class Print {
  public:
    Print(const plan::Plan& plan, int first_tool)
        : plan_(plan), timeline_(out_), schedule_(plan, timeline_, "\n"), tool_(first_tool) {
        const auto mark = timeline_.mark(0);
        const double target_c = plan_.find_tool(first_tool)->temperature_c;
        timeline_.bytes().append("set " + std::to_string(first_tool) + " " +
                                 std::to_string(target_c) + "\nwait\n");
        schedule_.note_set_point(first_tool, target_c, 0);
        schedule_.note_wait(first_tool, 0);
        schedule_.begin(mark);
        for (const plan::Tool& other : plan_.tools) {
            if (other.number != first_tool) schedule_.leave(other.number, mark);
        }
    }

    void print(int seconds) {
        for (int i = 0; i < seconds; ++i) {
            timeline_.bytes().append("@" + std::to_string(now_s_) + "\n");
            now_s_ += 1;
            timeline_.mark(now_s_);
            schedule_.advance(now_s_);
        }
    }

    /// Returns the seconds that the swap waits for heat.
    double swap_to(int tool) {
        schedule_.leave(tool_, timeline_.mark(now_s_));
        const double target_c = plan_.find_tool(tool)->temperature_c;
        const double waited = schedule_.arrive(tool, target_c, now_s_ + swap_s);
        timeline_.bytes().append("@" + std::to_string(now_s_) + "\n");
        if (schedule_.needs_set(tool, target_c)) {
            timeline_.bytes().append(schedule_.set_command(tool, target_c));
        }
        now_s_ += swap_s;
        timeline_.bytes().append("use " + std::to_string(tool) + " " + std::to_string(now_s_) +
                                 " " + std::to_string(waited) + "\n");
        now_s_ += waited;
        schedule_.reached(tool, target_c, now_s_, waited);
        timeline_.mark(now_s_);
        tool_ = tool;
        return waited;
    }

    std::string finish() {
        schedule_.finish(timeline_.mark(now_s_));
        timeline_.release_all();
        return out_.text;
    }

    [[nodiscard]] const heat::Schedule& schedule() const { return schedule_; }
    [[nodiscard]] double now_s() const { return now_s_; }

  private:
    const plan::Plan& plan_;
    Text out_;
    heat::Timeline timeline_;
    heat::Schedule schedule_;
    int tool_;
    double now_s_ = 0;
};

/// What really happens: a use of a tool with its temperature at the moment.
struct Use {
    int tool = 0;
    double waited_s = 0, temperature_c = 0, waited_c = 0;  ///< before the wait and after it
};

/// Heaters stepped through; `set` lines take effect at the time of the next line that tells one.
class Replayed {
  public:
    Replayed(const plan::Plan& plan, const std::string& output) : plan_(plan) {
        for (const plan::Tool& tool : plan.tools) now_c_[tool.number] = tool.heater.ambient_c;
        std::vector<std::pair<int, double>> pending;
        for (std::size_t at = 0; at < output.size(); at = output.find('\n', at) + 1) {
            const std::string line = output.substr(at, output.find('\n', at) - at);
            char* rest = nullptr;
            if (line[0] == 's') {
                const auto tool = static_cast<int>(std::strtol(line.c_str() + 4, &rest, 10));
                pending.emplace_back(tool, std::strtod(rest, nullptr));
            } else if (line[0] == 'w') {  // the program's own start waits for its tool
                now_c_[pending.back().first] = pending.back().second;
            } else if (line[0] == '@') {
                go_to(std::strtod(line.c_str() + 1, nullptr));
                for (const auto& [tool, set] : pending) set_c_[tool] = set;
                pending.clear();
            } else {
                // A set-point at the swap itself is given before the swap takes its time.
                for (const auto& [tool, set] : pending) set_c_[tool] = set;
                pending.clear();
                use(line);
            }
        }
        for (const auto& [tool, set] : pending) set_c_[tool] = set;
    }

    [[nodiscard]] const std::vector<Use>& uses() const { return uses_; }
    [[nodiscard]] double set_point_c(int tool) { return set_c_[tool]; }

  private:
    static constexpr double dt = 0.005;

    void use(const std::string& line) {
        char* rest = nullptr;
        Use use;
        use.tool = static_cast<int>(std::strtol(line.c_str() + 4, &rest, 10));
        const double time = std::strtod(rest, &rest);
        use.waited_s = std::strtod(rest, nullptr);
        go_to(time);
        use.temperature_c = now_c_[use.tool];
        go_to(time + use.waited_s);
        use.waited_c = now_c_[use.tool];
        uses_.push_back(use);
    }

    void go_to(double time_s) {
        for (; now_s_ < time_s; now_s_ += dt) {
            for (const plan::Tool& tool : plan_.tools) {
                double& t = now_c_[tool.number];
                const double u = t < set_c_[tool.number] ? 1 : 0;
                t += (tool.heater.rise_k_s * u -
                      tool.heater.loss_per_s * (t - tool.heater.ambient_c)) *
                     dt;
            }
        }
    }

    const plan::Plan& plan_;
    std::map<int, double> now_c_, set_c_;
    double now_s_ = 0;
    std::vector<Use> uses_;
};

}  // namespace durograde::heat_test
