#include "heat/coverage.hpp"

#include <algorithm>
#include <limits>
#include <string>

#include "heat/fit.hpp"
#include "text/diagnostic.hpp"
#include "text/number.hpp"

namespace durograde::heat {
namespace {

constexpr std::size_t least_stretch = 3;  // rows; fewer tell nothing beside where they begin

std::vector<Stretch> stretches_of(const HeaterLog& log) {
    std::vector<Stretch> stretches;
    const Stretch all = log.samples;
    std::size_t begin = 0;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (all[i].goes_on) continue;
        if (i + 1 - begin >= least_stretch) stretches.push_back(all.subspan(begin, i + 1 - begin));
        begin = i + 1;
    }
    return stretches;
}

/// Temperatures and times of all stretches.
void measure(Coverage& covers) {
    covers.coldest_c = std::numeric_limits<double>::infinity();
    covers.hottest_c = -covers.coldest_c;
    for (const Stretch stretch : covers.stretches) {
        covers.rows += stretch.size();
        covers.seconds += stretch.back().time_s - stretch.front().time_s;
        for (const HeaterSample& sample : stretch) {
            covers.coldest_c = std::min(covers.coldest_c, sample.temperature_c);
            covers.hottest_c = std::max(covers.hottest_c, sample.temperature_c);
        }
    }
}

/// The last row's duty says nothing of its stretch.
double highest_duty(const std::vector<Stretch>& stretches) {
    double highest = 0.0;
    for (const Stretch stretch : stretches) {
        for (const HeaterSample& sample : stretch.first(stretch.size() - 1)) {
            highest = std::max(highest, sample.duty);
        }
    }
    return highest;
}

void measure_parts(Coverage& covers) {
    const double half = highest_duty(covers.stretches) / 2;
    for (const Stretch stretch : covers.stretches) {
        for (std::size_t i = 0; i + 1 < stretch.size(); ++i) {
            const double step_s = stretch[i + 1].time_s - stretch[i].time_s;
            if (stretch[i].duty >= 0.1) covers.heating_s += step_s;
            if (stretch[i].duty <= half) covers.cooling_s += step_s;
        }
    }
}

std::string shown(double value, int decimals) {
    std::string text;
    append_trimmed(text, value, decimals);
    return text;
}

Failure refuse(const HeaterLog& log, const char* code, std::string text) {
    return {Exit::bad_input,
            Diagnostic{.code = code,
                       .text = std::move(text),
                       .mend = "log one run: full power from cold up to printing heat, then off "
                               "until it is half cold",
                       .place = {log.name, 0, 0}}};
}

}  // namespace

Coverage cover(const HeaterLog& log) {
    Coverage covers{.stretches = stretches_of(log)};
    measure(covers);
    measure_parts(covers);
    if (covers.rows < needed::rows) {
        throw refuse(log, "log-too-short",
                     std::to_string(covers.rows) + " rows with a known duty are too few, " +
                         std::to_string(needed::rows) + " are needed");
    }
    const double range_k = covers.hottest_c - covers.coldest_c;
    if (range_k < needed::range_k) {
        throw refuse(log, "constant-temperature",
                     "the temperature changes by " + shown(range_k, 1) + " K only, " +
                         shown(needed::range_k, 0) + " K are needed");
    }
    if (covers.heating_s < needed::heating_s) {
        throw refuse(log, "no-heating",
                     "the heater is on for " + shown(covers.heating_s, 1) +
                         " s only: how fast it heats cannot be told");
    }
    // Where the ambient temperature was measured, the curve of heating alone tells the loss.
    if (!log.ambient_c && covers.cooling_s < needed::cooling_s) {
        throw refuse(log, "no-cooling",
                     "the tool cools for " + shown(covers.cooling_s, 1) +
                         " s only: what it loses cannot be told from how fast it heats");
    }
    return covers;
}

}  // namespace durograde::heat
