#include "report/heater_fit.hpp"

#include <fmt/format.h>

#include <iterator>

#include "heat/heater.hpp"
#include "report/caution.hpp"
#include "report/words.hpp"

namespace durograde::report {
namespace {

using Out = std::back_insert_iterator<std::string>;

/// From standby; where each idle has its own, from cold.
double begins_at_c(const plan::Tool& tool) {
    return tool.standby_c.value_or(tool.heater.ambient_c);
}

/// The hottest that it may be set to.
double ends_at_c(const plan::Tool& tool) {
    return tool.range_c ? tool.range_c->high : tool.temperature_c;
}

std::string heating_text(const plan::Heater& heater, const plan::Tool& tool) {
    const double seconds = heat::heating_s(heater, begins_at_c(tool), ends_at_c(tool));
    return seconds < heat::never_s ? fmt::format("{:.1f} s", seconds) : "never";
}

void compare(const plan::Heater& heater, const plan::Plan& plan, Out out) {
    fmt::format_to(out, "\nHeating up             as planned   as fitted\n");
    for (const plan::Tool& tool : plan.tools) {
        fmt::format_to(out, "  T{:<3} {:>4.0f} to {:>3.0f} °C {:>14} {:>11}\n", tool.number,
                       begins_at_c(tool), ends_at_c(tool), heating_text(tool.heater, tool),
                       heating_text(heater, tool));
    }
}

}  // namespace

std::string text(const heat::HeaterFit& fit, const std::string& log_name, const plan::Plan* plan) {
    std::string text;
    const Out out(text);
    fmt::format_to(out, "{}  fitted as a heater\n\n", log_name);
    fmt::format_to(out, "Rise     {:.4f} K/s, standard error {:.4f}\n", fit.rise_k_s.value,
                   fit.rise_k_s.error);
    fmt::format_to(out, "Loss     {:.6f} 1/s, standard error {:.6f}\n", fit.loss_per_s.value,
                   fit.loss_per_s.error);
    fmt::format_to(out, "Ambient  {:.1f} °C, {} {:.1f}\n", fit.ambient_c.value,
                   fit.ambient_given ? "measured, standard deviation" : "standard error",
                   fit.ambient_c.error);
    fmt::format_to(out,
                   "Misfit   {:.2f} K (root mean square), R² {:.5f}, condition number {:.0f}\n",
                   fit.rms_k, fit.r_squared, fit.condition);
    fmt::format_to(out, "Log      {} rows, {} in {} piece{}, {:.1f} to {:.1f} °C\n", fit.rows,
                   duration(fit.seconds), fit.stretches, fit.stretches == 1 ? "" : "s",
                   fit.lowest_c, fit.highest_c);
    fmt::format_to(out, "Ends at  {:.0f} °C with full power, at steady state\n",
                   fit.ambient_c.value + fit.rise_k_s.value / fit.loss_per_s.value);
    if (plan != nullptr) compare(fit.heater(), *plan, out);
    return text.append("\n").append(heating_caution);
}

}  // namespace durograde::report
