#include "plans.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "plan/load.hpp"
#include "random.hpp"

namespace durograde::support {
namespace {

std::string tool_text(const PlanShape& shape, int number) {
    std::string text = fmt::format(
        "[[tool]]\nnumber = {}\ntemperature = {}\nstandby = {}\n"
        "heater = {{ rise = 4.0, loss = 0.01, ambient = 25 }}\n"
        "retract = {{ length = {}, speed = 35, restart = 0.0, restart_speed = 25 }}\n"
        "wipe = {{ length = {}, speed = 120 }}\n",
        number, 190 + 20 * number, 150 + 5 * number, 1.0 + 0.2 * number, 1.5 + 0.5 * number);
    if (shape.hops) text += fmt::format("hop = {}\n", 0.3 + 0.1 * number);
    if (shape.fans) text += fmt::format("fan = [0.{}, 0.{}]\n", 1 + number, 6 + number);
    if (shape.limits_flow) text += fmt::format("max_flow = {}\n", 1.0 + 0.5 * number);
    if (shape.primes)
        text += fmt::format("prime = {{ where = \"start\", length = 0.{} }}\n", 4 + number);
    return text;
}

// Sizes are odd on purpose: a bead that lies exactly on a boundary may fall to either side.
std::string zones_text(const PlanShape& shape) {
    const int last = shape.tools - 1;
    std::string text =
        "[[shape]]\nname = \"tongue\"\n"
        "capsule = { from = [0, 0, -5], to = [0, 0, 40], radius = 1.0 }\n";
    if (shape.turned_box) {
        text +=
            "[[shape]]\nname = \"tab\"\nbox = { center = [3.0137, 1.0291, 0], size = [6.0173, "
            "3.0057, 60] }\n";
        text += fmt::format("[[zone]]\nname = \"tab\"\nwhere = \"distance(tab) < 0\"\ntool = {}\n",
                            last);
    }
    text += fmt::format("[[zone]]\nname = \"grip\"\nwhere = \"distance(tongue) <= {}\"\ntool = 0\n",
                        shape.firm_mm);
    if (shape.tools > 1) {
        const char* height = shape.by_height ? " and z < 0.8731" : "";
        text += fmt::format(
            "[[zone]]\nname = \"blend\"\nwhere = \"distance(tongue) <= {}{}\"\ntool = 1\n",
            shape.blend_mm, height);
    }
    return text + fmt::format("[[zone]]\nname = \"pad\"\nwhere = \"true\"\ntool = {}\n", last);
}

}  // namespace

PlanShape plan_shape_from_seed(std::uint64_t seed) {
    sheets::Random random(seed * 7919 + 17);
    PlanShape shape;
    shape.tools = static_cast<int>(random.next() % 3) + 1;
    shape.firm_mm = 1.0123 + static_cast<double>(random.next() % 20) * 0.1;
    shape.blend_mm = shape.firm_mm + 0.5 + static_cast<double>(random.next() % 20) * 0.1;
    const auto coin = [&] { return random.next() % 2 == 0; };
    shape.by_height = coin();
    shape.turned_box = coin();
    shape.material = coin();
    shape.order = coin();
    shape.strings = coin();
    shape.heat = coin();
    shape.primes = coin();
    shape.hops = coin();
    shape.fans = coin();
    shape.limits_flow = coin();
    shape.outside = coin() ? -1 : 0;
    return shape;
}

std::string plan_text(const sheets::Style& style, const PlanShape& shape) {
    std::string text =
        "format = 1\nname = \"generated pads\"\n[machine]\n"
        "reach = { x = [-5, 430], y = [-5, 390], z = [0, 340] }\nhottest = 290\n";
    const int tools = std::max(shape.tools, style.tools);
    for (int tool = 0; tool < tools; ++tool) text += tool_text(shape, tool);
    if (shape.material) {
        text += "[material]\nname = \"trial roll\"\nprice = 70\n";
        const double flows[] = {1.0, 0.9, 0.75, 0.6};
        for (int i = 0; i < 4; ++i) {
            text += fmt::format(
                "[[material.point]]\ntemperature = {}\nflow = {}\ndensity = {}\nhardness = {}\n",
                190 + 20 * i, flows[i], 1.2 * flows[i], 92 - 10 * i);
        }
    }
    text += zones_text(shape);
    text += shape.outside < 0 ? "[sheet]\noutside = \"keep\"\n"
                              : fmt::format("[sheet]\noutside = {}\n", shape.outside);
    text += "place = [\n";
    for (const sheets::Place& place : sheets::places(style)) {
        text += fmt::format("  {{ x = {}, y = {}, turn = {} }},\n", place.x_mm + shape.shift_x_mm,
                            place.y_mm + shape.shift_y_mm, place.turn_deg);
    }
    text += "]\n";
    if (shape.order) text += "[order]\nparts = \"short\"\n";
    if (shape.strings) text += "[strings]\ngap = 2.0\n";
    if (shape.heat) text += "[heat]\nhorizon = 200\nidle = 15\n";
    return text + shape.extra;
}

plan::Plan plan_for(const sheets::Style& style, const PlanShape& shape) {
    return plan::load_text(plan_text(style, shape), "generated.toml");
}

std::string two_tools_text(const std::string& first, const std::string& second,
                           const std::string& rest) {
    const std::string heater = "heater = { rise = 4.0, loss = 0.010, ambient = 25 }\n";
    return "format = 1\n[machine]\nreach = { x = [0, 200], y = [0, 200], z = [0, 200] }\n"
           "hottest = 280\n[[tool]]\nnumber = 0\ntemperature = 190\n" +
           heater + first + "[[tool]]\nnumber = 1\ntemperature = 230\n" + heater + second + rest;
}

std::string oozing_text(double cold_mm3, double hot_mm3) {
    return fmt::format(
        "[material]\n[[material.point]]\ntemperature = 190\nflow = 1.0\nooze = {}\n"
        "[[material.point]]\ntemperature = 260\nflow = 1.0\nooze = {}\n",
        cold_mm3, hot_mm3);
}

const char* const halves_text =
    "[[zone]]\nname = \"grip\"\nwhere = \"x <= 0\"\ntool = 0\n"
    "[[zone]]\nname = \"pad\"\nwhere = \"true\"\ntool = 1\n";

}  // namespace durograde::support
