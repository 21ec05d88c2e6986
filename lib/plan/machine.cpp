#include <algorithm>
#include <array>
#include <string>
#include <utility>

#include "plan/sections.hpp"

namespace durograde::plan {
namespace {

constexpr Bounds coordinate_mm{-10000, 10000};

Range read_interval(TableReader& reach, std::string_view axis) {
    const std::string example = std::string(axis) + " = [0, 360]";
    const std::vector<double> ends = reach.needed_numbers(axis, 2, coordinate_mm, example);
    if (ends.empty()) return {};
    if (ends[0] >= ends[1])
        reach.findings().error(
            "out-of-range", reach.find(axis)->spot,
            reach.label(axis) + " does not rise from " + shown(ends[0]) + " to " + shown(ends[1]),
            "write the lower end first: " + example);
    return {ends[0], ends[1]};
}

void read_reach(TableReader& table, Machine& machine) {
    auto reach = table.needed_inner("reach", "machine.reach",
                                    "reach = { x = [0, 320], y = [0, 300], z = [0, 280] }, in mm");
    if (!reach) return;
    machine.reach_x = read_interval(*reach, "x");
    machine.reach_y = read_interval(*reach, "y");
    machine.reach_z = read_interval(*reach, "z");
    reach->finish();
}

PerAxis read_axes(TableReader& table, const PerAxis& fallback, const Bounds& bounds) {
    return {table.number("x", fallback.x, bounds), table.number("y", fallback.y, bounds),
            table.number("z", fallback.z, bounds), table.number("e", fallback.e, bounds)};
}

PerAxis read_speed(TableReader& table, const PerAxis& fallback) {
    auto speed = table.inner("speed", "machine.speed");
    if (!speed) return fallback;
    const PerAxis axes = read_axes(*speed, fallback, positive);
    speed->finish();
    return axes;
}

Accelerations read_acceleration(TableReader& table, const Accelerations& fallback) {
    auto acceleration = table.inner("acceleration", "machine.acceleration");
    if (!acceleration) return fallback;
    const PerAxis axes =
        read_axes(*acceleration, {fallback.x, fallback.y, fallback.z, fallback.e}, positive);
    Accelerations read{axes.x, axes.y, axes.z, axes.e, 0.0, 0.0};
    read.print = acceleration->number("print", fallback.print, positive);
    read.travel = acceleration->number("travel", fallback.travel, positive);
    acceleration->finish();
    return read;
}

std::variant<Deviation, Jerk> read_cornering(TableReader& table) {
    auto cornering = table.inner("cornering", "machine.cornering");
    if (!cornering) return Deviation{};
    std::variant<Deviation, Jerk> read =
        Deviation{cornering->number("deviation", Deviation{}.mm, positive)};
    if (auto jerk = cornering->inner("jerk", "machine.cornering.jerk")) {
        if (cornering->find("deviation") != nullptr)
            cornering->findings().error("conflict", jerk->table().spot,
                                        "machine.cornering has both `deviation` and `jerk`",
                                        "keep the one that the machine's controller uses");
        read = read_axes(*jerk, Jerk{8, 8, 0.4, 4}, positive);
        jerk->finish();
    }
    cornering->finish();
    return read;
}

std::string upper(std::string text) {
    for (char& byte : text)
        if (byte >= 'a' && byte <= 'z') byte = static_cast<char>(byte - 'a' + 'A');
    return text;
}

/// G or M, then a number of up to four digits, which a point may divide.
bool is_command(std::string_view text) {
    if (text.size() < 2 || (text[0] != 'G' && text[0] != 'M')) return false;
    const std::string_view number = text.substr(1);
    const bool plain = number.find_first_not_of("0123456789.") == std::string_view::npos;
    return plain && number.size() <= 6 && std::count(number.begin(), number.end(), '.') <= 1 &&
           number.front() != '.' && number.back() != '.';
}

/// What the program itself gives a meaning to: it cannot be a mere setting at the same time.
bool has_meaning(std::string_view command) {
    constexpr std::array<std::string_view, 24> meant = {
        "G0",  "G1",  "G2",  "G3",  "G4",   "G10",  "G11",  "G20",  "G21",  "G28",  "G90",  "G91",
        "G92", "M73", "M82", "M83", "M104", "M106", "M107", "M109", "M116", "M140", "M190", "M486"};
    return std::find(meant.begin(), meant.end(), command) != meant.end();
}

/// A command that is a word, such as TRAY_LAMP.
bool is_name(std::string_view text) {
    constexpr std::string_view letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ_";
    constexpr std::string_view rest = "ABCDEFGHIJKLMNOPQRSTUVWXYZ_.0123456789";
    return text.size() > 1 && letters.find(text[0]) != std::string_view::npos &&
           letters.find(text[1]) != std::string_view::npos &&
           text.find_first_not_of(rest) == std::string_view::npos;
}

/// A list of commands that mean one thing alone; `may_be_names` where words are commands too.
std::vector<std::string> read_commands(TableReader& table, std::string_view key, bool may_be_names,
                                       std::string_view does_more) {
    std::vector<std::string> commands;
    for (const Value* item : table.texts(key, 256)) {
        std::string command = upper(item->text);
        if (!is_command(command) && !(may_be_names && is_name(command)))
            table.findings().error(
                "bad-command", item->spot, "`" + command.substr(0, 40) + "` is no command",
                may_be_names ? "write the letter and the number alone, or the name: "
                               "\"M8876\", \"TRAY_LAMP\""
                             : "write the letter and the number alone: \"M8572\"");
        else if (has_meaning(command))
            table.findings().error("bad-command", item->spot,
                                   "`" + command + "` " + std::string(does_more),
                                   "take it out: its meaning is known");
        commands.push_back(std::move(command));
    }
    return commands;
}

Reads read_reads(TableReader& machine) {
    Reads read;
    auto table = machine.inner("reads", "[machine.reads]");
    if (!table) return read;
    read.distance_mode_sets_e = table->truth("distance_mode_sets_e", read.distance_mode_sets_e);
    if (table->choice("dwell_p", {"ms", "s"}) == 1) read.dwell_p_s = 1.0;
    read.fan_full = table->number("fan_full", read.fan_full, positive);
    if (read.fan_full != 255 && read.fan_full != 1)
        table->findings().error("out-of-range", table->find("fan_full")->spot,
                                table->label("fan_full") + " is " + shown(read.fan_full),
                                "write 255 or 1");
    if (table->choice("speed_limit_per", {"s", "min"}) == 1) read.speed_limit_per_s = 60.0;
    if (table->choice("g10", {"retract", "tool"}) == 1) read.g10 = RetractOrTool::tool;
    read.set_also_standby = table->truth("set_also_standby", read.set_also_standby);
    table->finish();
    return read;
}

/// No number to be copied: one above a hot end's rating melts its lining or burns.
constexpr std::string_view hottest_example =
    "hottest = H in °C: the lowest rating among your hot ends (about 240 °C where PTFE-lined)";

void read_heat_limits(TableReader& table, Machine& machine) {
    machine.hottest_c = table.needed_number("hottest", temperature_bounds, hottest_example);
    machine.coldest_extrusion_c =
        table.number("coldest_extrusion", machine.coldest_extrusion_c, {0.0, ceiling_c});
    if (machine.coldest_extrusion_c >= machine.hottest_c)
        table.findings().error("contradiction", table.find("hottest")->spot,
                               table.label("hottest") + " is " + shown(machine.hottest_c) +
                                   " °C, not above `coldest_extrusion`, " +
                                   shown(machine.coldest_extrusion_c) + " °C",
                               "raise the one or lower the other");
}

}  // namespace

double Machine::filament_area_mm2() const {
    constexpr double quarter_pi = 0.78539816339744830962;
    return quarter_pi * filament_mm * filament_mm;
}

Machine read_machine(TableReader& plan) {
    Machine machine;
    auto table =
        plan.needed_inner("machine", "[machine]", "a table [machine] with `reach` and `hottest`");
    if (!table) return machine;
    const Value* const tools = plan.find("tool");
    const bool several_tools = tools != nullptr && tools->items.size() > 1;
    read_reach(*table, machine);
    read_heat_limits(*table, machine);
    machine.gantry_mm = table->optional_number("gantry", positive);
    machine.filament_mm = table->number("filament", machine.filament_mm, {0.0, 10.0, false});
    machine.swap_time_s = table->number("swap_time", machine.swap_time_s, {0.0, 3600.0});
    machine.speed = read_speed(*table, machine.speed);
    machine.acceleration = read_acceleration(*table, machine.acceleration);
    machine.cornering = read_cornering(*table);
    machine.settings = read_commands(*table, "settings", false, "does more than set a state");
    machine.tells = read_commands(*table, "tells", true, "does more than tell something");
    machine.read = read_reads(*table);
    machine.write = read_writes(*table, machine, several_tools);
    table->finish();
    return machine;
}

}  // namespace durograde::plan
