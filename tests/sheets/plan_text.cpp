/// @file
#include <array>
#include <cstdio>

#include "presets.hpp"

namespace durograde::sheets {
namespace {

constexpr const char* head = R"(# Written for the bench; the figures are invented.
format = 1
name = "bench"

[machine]
reach = { x = [0, 320], y = [0, 300], z = [0, 280] }
hottest = 290
coldest_extrusion = 170

)";

constexpr const char* tail = R"(
[strings]
gap = 2.0

[heat]
horizon = 600
idle = 30

[[material.point]]
temperature = 190
flow = 1.00
density = 1.20
[[material.point]]
temperature = 220
flow = 0.80
density = 0.96
[[material.point]]
temperature = 250
flow = 0.55
density = 0.66
)";

template <typename... Numbers>
void add(std::string& text, const char* format, Numbers... numbers) {
    std::array<char, 512> line{};
    const int length = std::snprintf(line.data(), line.size(), format, numbers...);
    text.append(line.data(), static_cast<std::size_t>(length));
}

void add_tools(std::string& text) {
    for (int tool = 0; tool < 3; ++tool) {
        add(text, "[[tool]]\nnumber = %d\ntemperature = %d\nstandby = 160\n", tool,
            190 + 30 * tool);
        text += "heater = { rise = 4.0, loss = 0.010, ambient = 25 }\n";
        text += "retract = { length = 1.2, speed = 35 }\nwipe = { length = 2.0, speed = 120 }\n\n";
    }
}

void add_zones(std::string& text) {
    text += "[[shape]]\nname = \"tongue\"\n";
    add(text, "capsule = { from = [0, 0, 0], to = [0, 0, 360], radius = %.1f }\n\n",
        bench_tongue_radius_mm);
    add(text, "[[zone]]\nname = \"grip\"\nwhere = \"distance(tongue) <= %.1f\"\ntool = 0\n",
        bench_grip_mm);
    add(text, "[[zone]]\nname = \"blend\"\nwhere = \"distance(tongue) <= %.1f\"\ntool = 1\n",
        bench_blend_mm);
    text += "[[zone]]\nname = \"pad\"\nwhere = \"true\"\ntool = 2\n";
}

}  // namespace

std::string places_table(const Style& style) {
    std::string text = "[sheet]\nplace = [\n";
    for (const Place& place : places(style)) {
        add(text, "    { x = %.3f, y = %.3f, turn = %.3f },\n", place.x_mm, place.y_mm,
            place.turn_deg);
    }
    text += "]\n";
    return text;
}

std::string bench_plan(const Style& style) {
    std::string text = head;
    add_tools(text);
    add_zones(text);
    text += '\n';
    text += places_table(style);
    text += "outside = 0\n";
    text += tail;
    return text;
}

}  // namespace durograde::sheets
