#include "check/ooze_bounds.hpp"

#include <algorithm>
#include <cmath>

#include "check/heat_model.hpp"

namespace durograde::check {
namespace {

constexpr double minute_s = 60.0;
constexpr double step_s = 1.0;       // heaters take tens of seconds
constexpr double settled_k = 0.01;   // of the way left: the tool stays as it is
constexpr double steady_k_s = 1e-5;  // so does one that its heater takes no farther

}  // namespace

OozeBounds::OozeBounds(const plan::Plan& plan, const Clock& clock) : plan_(plan), clock_(clock) {
    for (const plan::Tool& tool : plan.tools) {
        Tool& entry = tools_[tool.number];
        entry.heater = &tool.heater;
        entry.low_c = entry.high_c = tool.heater.ambient_c;
    }
    if (!plan.material) return;
    const auto& points = plan.material->points;
    const auto oozes = [](const auto& point) { return point.ooze_mm3 > 0; };
    if (std::any_of(points.begin(), points.end(), oozes)) curve_.emplace(points);
    rises_ = std::is_sorted(points.begin(), points.end(),
                            [](const auto& a, const auto& b) { return a.ooze_mm3 < b.ooze_mm3; });
}

OozeBounds::Tool* OozeBounds::caught_up(int number) {
    const auto found = tools_.find(number);
    if (!curve_ || found == tools_.end()) return nullptr;
    Tool& tool = found->second;
    if (tool.bead.most_s > tool.seen.most_s) {
        pass(tool, tool.bead, false);
        tool.lost = {};
    }
    pass(tool, now(), true);
    return &tool;
}

/// The tool's temperature by then, and what it loses until then where that counts.
void OozeBounds::pass(Tool& tool, const Times& until, bool counts) const {
    const double least_s = until.least_s - tool.seen.least_s;
    const double most_s = until.most_s - tool.seen.most_s;
    tool.seen = until;
    if (counts) {
        tool.lost.most_mm3 += rises_ ? lost_mm3(tool, tool.high_c, most_s)
                                     : lost_mm3(tool, &Rates::most_mm3_s, most_s);
    }
    if (counts && tool.is_away) {
        tool.lost.least_mm3 += rises_ ? lost_mm3(tool, tool.low_c, least_s)
                                      : lost_mm3(tool, &Rates::least_mm3_s, least_s);
    }
    // The one stretch may have been long where the next was short.
    const auto after = [&](double celsius, double seconds) {
        return temperature_after(*tool.heater, celsius, tool.set_c, seconds);
    };
    tool.low_c = std::min(after(tool.low_c, least_s), after(tool.low_c, most_s));
    tool.high_c = std::max(after(tool.high_c, least_s), after(tool.high_c, most_s));
}

double OozeBounds::rate_mm3_s(double celsius) const {
    const double coldest_c = plan_.material->points.front().temperature_c;
    const double nothing_c = std::min(plan_.machine.coldest_extrusion_c, coldest_c);
    if (celsius <= nothing_c) return 0.0;
    const double rate = curve_->ooze_mm3(celsius) / minute_s;
    return celsius >= coldest_c ? rate : rate * (celsius - nothing_c) / (coldest_c - nothing_c);
}

/// By the trapezoidal rule.
double OozeBounds::lost_mm3(const Tool& tool, double from_c, double seconds) const {
    const double end_c = tool.set_c > 0 ? tool.set_c : tool.heater->ambient_c;
    double lost = 0.0, at_s = 0.0, at_c = from_c;
    while (at_s < seconds) {
        if (std::abs(at_c - end_c) < settled_k) return lost + rate_mm3_s(at_c) * (seconds - at_s);
        const double next_s = std::min(at_s + step_s, seconds);
        const double next_c = temperature_after(*tool.heater, from_c, tool.set_c, next_s);
        lost += (rate_mm3_s(at_c) + rate_mm3_s(next_c)) / 2 * (next_s - at_s);
        if (next_c < at_c && rate_mm3_s(next_c) <= 0) return lost;
        if (std::abs(next_c - at_c) < steady_k_s * step_s)
            return lost + rate_mm3_s(next_c) * (seconds - next_s);
        at_s = next_s;
        at_c = next_c;
    }
    return lost;
}

/// The curve turns at none but the material's points.
OozeBounds::Rates OozeBounds::rates_within(double low_c, double high_c) const {
    const double low = rate_mm3_s(low_c), high = rate_mm3_s(high_c);
    Rates rates{std::min(low, high), std::max(low, high)};
    for (const plan::MaterialPoint& point : plan_.material->points) {
        if (point.temperature_c <= low_c || point.temperature_c >= high_c) continue;
        const double rate = rate_mm3_s(point.temperature_c);
        rates.least_mm3_s = std::min(rates.least_mm3_s, rate);
        rates.most_mm3_s = std::max(rates.most_mm3_s, rate);
    }
    return rates;
}

/// Where a hotter tool may lose less: each second counts by the one extreme of all temperatures
/// that the tool may have within it.
double OozeBounds::lost_mm3(const Tool& tool, double Rates::*bound, double seconds) const {
    double lost = 0.0, at_s = 0.0, low_c = tool.low_c, high_c = tool.high_c;
    while (at_s < seconds) {
        const double next_s = std::min(at_s + step_s, seconds);
        const double next_low_c = temperature_after(*tool.heater, tool.low_c, tool.set_c, next_s);
        const double next_high_c = temperature_after(*tool.heater, tool.high_c, tool.set_c, next_s);
        const Rates rates =
            rates_within(std::min(low_c, next_low_c), std::max(high_c, next_high_c));
        lost += rates.*bound * (next_s - at_s);
        const double moved_k = std::abs(next_low_c - low_c) + std::abs(next_high_c - high_c);
        if (moved_k < steady_k_s * step_s) return lost + rates.*bound * (seconds - next_s);
        at_s = next_s;
        low_c = next_low_c;
        high_c = next_high_c;
    }
    return lost;
}

void OozeBounds::set(int number, double celsius) {
    if (Tool* tool = caught_up(number)) tool->set_c = celsius;
}

/// How long it takes counts for the most alone: where it cools, it may have been hotter meanwhile.
void OozeBounds::wait(int number) {
    Tool* tool = caught_up(number);
    if (tool == nullptr || !(tool->set_c > 0)) return;
    tool->low_c = std::max(tool->low_c, tool->set_c);
    tool->high_c = std::max(tool->high_c, tool->set_c);
}

void OozeBounds::extrude(int number) {
    if (!curve_) return;
    const auto found = tools_.find(number);
    if (found != tools_.end()) found->second.bead = now();
}

void OozeBounds::begin_grading(int tool_in_use) {
    grading_ = true;
    for (const auto& [number, tool] : tools_)
        if (number != tool_in_use) put_away(number);
}

void OozeBounds::put_away(int number) {
    if (Tool* tool = caught_up(number)) tool->is_away = grading_;
}

void OozeBounds::take(int number) {
    if (Tool* tool = caught_up(number)) tool->is_away = false;
}

OozeBounds::Lost OozeBounds::lost(int number) {
    const Tool* tool = caught_up(number);
    if (tool == nullptr) return {};
    return tool->lost;
}

}  // namespace durograde::check
