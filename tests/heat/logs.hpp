#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <numbers>
#include <string>

#include "heat/fit.hpp"
#include "heat/heater.hpp"
#include "random.hpp"
#include "text/program_input.hpp"

/// Made-up logs of a tool that heats up and cools down, as the closed form of the heater has it.
namespace durograde::heat_test {

/// Normal numbers of variance 1 (Box and Muller, Ann. Math. Statist. 29 (1958) 610; from memory).
inline double normal(sheets::Random& random) {
    const double first = (random.between(0, 999'999'998) + 1) * 1e-9;
    const double second = random.between(0, 999'999'999) * 1e-9;
    return std::sqrt(-2 * std::log(first)) * std::cos(2 * std::numbers::pi * second);
}

/// A run at full power from `from_c` for `on_s`, then off for `off_s`.
struct Run {
    plan::Heater heater{4.0, 0.010, 25.0};
    double from_c = 25, on_s = 80, off_s = 160, step_s = 1.0;
    double noise_k = 0.0;
    std::uint64_t seed = 1;
};

/// The equation itself: dT/dt in K/s.
inline double heat_slope(const plan::Heater& heater, double celsius, double duty) {
    return heater.rise_k_s * duty - heater.loss_per_s * (celsius - heater.ambient_c);
}

inline heat::HeaterLog log_of(const Run& run) {
    heat::HeaterLog log{.name = "run"};
    sheets::Random random(run.seed);
    double celsius = run.from_c;
    const auto count = static_cast<int>((run.on_s + run.off_s) / run.step_s) + 1;
    for (int i = 0; i < count; ++i) {
        const double time_s = i * run.step_s;
        const bool on = time_s < run.on_s - 1e-9;
        log.samples.push_back(
            {time_s, celsius + run.noise_k * normal(random), on ? 1.0 : 0.0, i + 1 < count});
        celsius = heat::temperature_after(run.heater, celsius, on ? 1e6 : 0, run.step_s);
    }
    return log;
}

/// The log's text of a tool that a controller holds at `set_c` for `held_s` and then lets cool, the
/// duty in proportion to what is missing over the last 8 K. Rows tell the set-point alone.
inline std::string controlled_log(const Run& run, double set_c, double held_s) {
    constexpr double band_k = 8.0;
    constexpr int steps = 200;  // of the controller, a row
    std::string text = "time,temperature,set_point\n";
    sheets::Random random(run.seed);
    double celsius = run.from_c;
    for (double time_s = 0; time_s < held_s + run.off_s; time_s += run.step_s) {
        const double asked_c = time_s < held_s ? set_c : 0.0;
        std::array<char, 96> row{};
        std::snprintf(row.data(), row.size(), "%.3f,%.6f,%.3f\n", time_s,
                      celsius + run.noise_k * normal(random), asked_c);
        text += row.data();
        const double dt = run.step_s / steps;
        for (int i = 0; i < steps; ++i) {
            const double duty = std::clamp((asked_c - celsius) / band_k, 0.0, 1.0);
            celsius += heat_slope(run.heater, celsius, duty) * dt;
        }
    }
    return text;
}

/// The log that `text` is read as. Throws as read_heater_log does.
inline heat::HeaterLog read_log(const std::string& text) {
    ProgramInput input = ProgramInput::from_text(text, "run.csv");
    LineSource source = input.first_reading();
    return heat::read_heater_log(source);
}

}  // namespace durograde::heat_test
