#pragma once

#include <fmt/format.h>

#include <string>

/// Two pads whose zones ask for a hardness.
namespace durograde::hardness_tests {

/// Two pads of 20 mm by 4 mm and two layers around x 30 and 90, y 50: lines along x that feed
/// alike.
inline std::string two_pads() {
    std::string text = "M104 S200\nG28\nT0\nG21\nG90\nM83\nG1 X5 Y5 Z5 F6000\n";
    for (int layer = 1; layer <= 2; ++layer) {
        for (const int x : {20, 80}) {
            text += fmt::format("G1 X{} Y48 F9000\nG1 Z{:.2f} F600\n", x, layer * 0.2);
            for (int row = 0; row <= 10; ++row)
                text += fmt::format("G1 X{} Y{:.1f} F9000\nG1 X{} E0.7 F1200\n", x, 48 + row * 0.4,
                                    x + 20);
        }
    }
    return text + "M104 S0\n";
}

inline constexpr const char* card =
    "[material]\nprice = 70\n"
    "[[material.point]]\ntemperature = 190\nflow = 1.0\ndensity = 1.2\nhardness = 92\n"
    "[[material.point]]\ntemperature = 250\nflow = 0.5\ndensity = 0.6\nhardness = 62\n";
inline constexpr const char* places =
    "[sheet]\noutside = \"keep\"\nplace = [{ x = 30, y = 50 }, { x = 90, y = 50 }]\n";
/// 30 %, 20 % and 50 % of each pad.
inline constexpr const char* zones =
    "[[zone]]\nname = \"grip\"\nwhere = \"x <= -4\"\nhardness = 90\n"
    "[[zone]]\nname = \"blend\"\nwhere = \"x <= 0\"\nhardness = 80\n"
    "[[zone]]\nname = \"pad\"\nwhere = \"true\"\nhardness = 64\n";

inline std::string tool(int number, const std::string& heat) {
    return fmt::format("[[tool]]\nnumber = {}\n{}\n", number, heat);
}

inline std::string plan_text(const std::string& tools, const std::string& of_zones = zones) {
    return "format = 1\n[machine]\nreach = { x = [0, 200], y = [0, 200], z = [0, 200] }\n"
           "hottest = 280\n" +
           tools + card + of_zones + places;
}

}  // namespace durograde::hardness_tests
