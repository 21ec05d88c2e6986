#include "plan/tool_parts.hpp"

#include <cmath>
#include <string>
#include <string_view>
#include <vector>

namespace durograde::plan {
namespace {

constexpr double fastest_rise_k_s = 20.0;  // common practice, no source

void check_spot(TableReader& table, const Prime& prime, const Machine& machine) {
    const auto check = [&](std::string_view axis, double value, const Range& reach) {
        if (!(value < reach.low || value > reach.high)) return;
        table.findings().error(
            "out-of-reach", table.find(axis)->spot,
            table.label(axis) + " is " + shown(value) + " mm, outside of machine.reach",
            "choose a spot from " + shown(reach.low) + " to " + shown(reach.high) + " mm");
    };
    check("x", prime.x_mm, machine.reach_x);
    check("y", prime.y_mm, machine.reach_y);
}

}  // namespace

Heater read_heater(TableReader& tool) {
    Heater heater;
    auto table = tool.needed_inner(
        "heater", "heater in [[tool]]",
        "heater = { rise = 4.0, loss = 0.010, ambient = 25 }: without it preheating cannot be "
        "timed");
    if (!table) return heater;
    heater.rise_k_s = table->number("rise", heater.rise_k_s, positive);
    if (heater.rise_k_s > fastest_rise_k_s)
        table->findings().warning("fast-heater", table->find("rise")->spot,
                                  table->label("rise") + " is " + shown(heater.rise_k_s) +
                                      " K/s; heaters of hot ends stay below 20 K/s",
                                  "measure it: durograde fit heater LOG");
    heater.loss_per_s = table->number("loss", heater.loss_per_s, {0.0, 100.0, false});
    heater.ambient_c = table->number("ambient", heater.ambient_c, {-50.0, 150.0});
    table->finish();
    return heater;
}

std::optional<Range> read_fan(TableReader& tool) {
    const std::vector<double> duty = tool.numbers("fan", 2, fraction);
    if (duty.empty()) return std::nullopt;
    if (duty[0] > duty[1])
        tool.findings().error(
            "out-of-range", tool.find("fan")->spot,
            tool.label("fan") + " falls from " + shown(duty[0]) + " to " + shown(duty[1]),
            "write the lower duty first: fan = [0.2, 1.0]");
    return Range{duty[0], duty[1]};
}

std::optional<Prime> read_prime(TableReader& tool, const Machine& machine) {
    auto table = tool.inner("prime", "prime in [[tool]]");
    if (!table) return std::nullopt;
    Prime prime;
    prime.length_mm = table->number("length", prime.length_mm, {0.0, 10000.0});
    prime.refills = table->truth("refill", prime.refills);
    const std::size_t where = table->choice("where", {"start", "spot", "block"});
    prime.at_spot = where == 1;
    for (const std::string_view axis : {"x", "y"}) {
        const bool is_given = table->optional_number(axis, any_number).has_value();
        if (is_given && where == 0)
            table->findings().error("conflict", table->find(axis)->spot,
                                    table->label(axis) + " has no use where `where` is \"start\"",
                                    "take it out, or write where = \"spot\"");
    }
    if (prime.at_spot) {
        prime.x_mm = table->needed_number("x", any_number, "x = 10, in mm");
        prime.y_mm = table->needed_number("y", any_number, "y = 10, in mm");
        check_spot(*table, prime, machine);
    }
    prime.on_block = where == 2;
    table->finish();
    return prime;
}

}  // namespace durograde::plan
