#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "plan/load.hpp"
#include "random.hpp"
#include "style.hpp"

/// Plans for generated sheets that ask for a bit of everything: kinds of zones, shapes, tools,
/// templates and tables in random mixes, the same for the same seed everywhere.
namespace durograde::check_tests {

/// Text by a format. Written with braces, `Text{...}`, its arguments are drawn from left to right
/// under every compiler, so that a seed gives the same plan.
struct Text {
    template <typename... Values>
    explicit Text(fmt::format_string<Values...> form, Values&&... values)
        : text(fmt::format(form, std::forward<Values>(values)...)) {}
    std::string text;
};

class PlanMaker {
  public:
    /// A `rich` plan leaves nothing out that protects or keeps quiet.
    PlanMaker(const sheets::Style& style, std::uint64_t seed, bool rich)
        : style_(style),
          seed_(seed),
          random_(seed * 0x9E3779B9ULL + 77),
          rich_(rich),
          tools_(random_.between(1, 4)) {
        tools_ = std::max(tools_, style.tools);
    }

    std::string text() {
        add_machine();
        for (int tool = 0; tool < tools_; ++tool) add_tool(tool);
        if (random_.chance(60)) add_material();
        add_zones();
        add_sheet();
        if (random_.chance(50)) {
            add(Text{"[order]\nparts = \"{}\"\n", random_.chance(50) ? "short" : "input"});
            if (seed_ % 3 != 0) add(Text{"strokes = \"{}\"\n", seed_ % 3 == 1 ? "short" : "input"});
            if (seed_ % 5 < 2) add(Text{"begin = \"inside\"\n"});
            if (seed_ % 2 == 0) add(Text{"reverse = true\n"});
        }
        if (has(60)) {
            add(Text{"[strings]\ngap = {}\n", random_.between(2, rich_ ? 6 : 12) * 0.5});
            if (seed_ % 4 != 0) add(Text{"bend = {}\n", 5 * (seed_ % 4 - 1)});
        }
        if (has(70)) {
            add(Text{"[heat]\nhorizon = {}\nidle = {}\n", random_.between(2, 60) * 10,
                     random_.between(0, 30)});
        }
        return std::move(text_);
    }

  private:
    void add(const Text& made) { text_ += made.text; }

    bool has(int percent) {
        const bool drawn = random_.chance(percent);
        return rich_ || drawn;
    }

    void add_machine() {
        add(
            Text{"format = 1\nname = \"made up\"\n[machine]\n"
                 "reach = {{ x = [-5, 430], y = [-5, 390], z = [0, 340] }}\nhottest = {}\n",
                 random_.between(29, 32) * 10});
        if (random_.chance(50)) add(Text{"swap_time = {}\n", random_.between(0, 20)});
        if (random_.chance(30))
            add(Text{"cornering = {{ jerk = {{ x = 9, y = 7, z = 0.6, e = 3 }} }}\n"});
        if (random_.chance(30)) add(Text{"settings = [\"M817\"]\n"});
        add(Text{"[machine.write]\n"});
        if (random_.chance(30)) {
            add(
                Text{"set = \"HEAT TOOL={{tool}} TO={{temperature}}\"\n"
                     "wait = \"AWAIT TOOL={{tool}} AT={{temperature}}\"\n"});
        }
        if (random_.chance(30)) add(Text{"before_swap = [\"M841 S{{from}}\", \"M842\"]\n"});
        if (random_.chance(30)) add(Text{"after_swap = [\"M843 S{{to}} R{{layer}}\"]\n"});
    }

    void add_tool(int number) {
        const int celsius = 190 + 20 * number;
        const int standby_c = random_.between(13, 17) * 10;
        const bool finds_standby = (seed_ + static_cast<std::uint64_t>(number)) % 3 == 0;
        add(
            Text{"[[tool]]\nnumber = {}\ntemperature = {}\nstandby = {}\n"
                 "heater = {{ rise = {}, loss = 0.01, ambient = 25 }}\n",
                 number, celsius, finds_standby ? "\"auto\"" : std::to_string(standby_c),
                 random_.between(25, 60) * 0.1});
        if (has(75)) {
            add(Text{"retract = {{ length = {}, speed = 35, restart = {}, restart_speed = 25 }}\n",
                     random_.between(3, 30) * 0.1, random_.chance(30) ? 0.05 : 0.0});
        }
        // What came later goes by the seed, so that the rest of a seed's plan stays.
        const std::uint64_t mix = seed_ / 2 + static_cast<std::uint64_t>(number);
        if (has(60)) {
            add(Text{"wipe = {{ length = {}, speed = 120, retract_share = {} }}\n",
                     random_.between(5, 60) * 0.1, static_cast<double>(mix % 4 % 3) * 0.5});
        }
        if (mix % 5 < 2) add(Text{"coast = {}\n", static_cast<double>(mix % 7 + 1) * 0.05});
        if (mix % 3 == 0) add(Text{"travel_speed = {}\n", 80 + 10 * (mix % 8)});
        if (random_.chance(50)) add(Text{"hop = {}\n", random_.between(1, 10) * 0.1});
        if (random_.chance(40))
            add(Text{"fan = [0.{}, 0.{}]\n", random_.between(1, 4), random_.between(5, 9)});
        if (random_.chance(40)) add(Text{"max_flow = {}\n", random_.between(5, 60) * 0.1});
        const int prime = random_.between(0, 3);
        if (prime == 1)
            add(Text{"prime = {{ where = \"start\", length = {}, refill = {} }}\n",
                     random_.between(1, 20) * 0.1, mix % 2 == 0});
        if (prime == 2) {
            add(Text{"prime = {{ where = \"spot\", x = 5, y = 370, length = {} }}\n",
                     random_.between(1, 20) * 0.1});
        }
    }

    void add_material() {
        add(Text{"[material]\nname = \"trial roll\"\nprice = 70\n"});
        double flow = 1.0;
        for (int celsius = 190; celsius <= 250; celsius += 20) {
            add(Text{
                "[[material.point]]\ntemperature = {}\nflow = {:.3f}\ndensity = 1.0\nhardness = "
                "80\nooze = {}\n",
                celsius, flow, static_cast<double>(seed_ % 3) * 0.01 * (celsius - 150)});
            flow -= random_.between(0, 15) * 0.01;
        }
    }

    // Sizes are odd on purpose: a bead that lies exactly on a boundary may fall to either side.
    void add_zones() {
        add(Text{
            "[[shape]]\nname = \"tongue\"\ncapsule = {{ from = [0, 0, -5], to = [0, 0, 40], radius "
            "= 1.0 }}\n"
            "[[shape]]\nname = \"slope\"\nplane = {{ point = [0.0317, 0, 0.6019], normal = [{}, "
            "{}, 1] }}\n"
            "[[shape]]\nname = \"tab\"\nbox = {{ center = [3.0137, 1.0291, 0], size = [6.0173, "
            "3.0057, 60] }}\n"
            "[[shape]]\nname = \"knob\"\nsphere = {{ center = [-4.0213, 2.0119, 0.5], radius = "
            "3.0071 }}\n"
            "[[shape]]\nname = \"foot\"\ncone = {{ from = [0, 0, -1], to = [0, 0, 4], radius = "
            "[6.0193, 2.0077] }}\n",
            random_.between(-3, 3) * 0.1 + 0.0113, random_.between(-3, 3) * 0.1});
        const int zones = random_.between(1, 3);
        for (int zone = 0; zone < zones; ++zone) {
            const std::string where = condition(), tool = choice();
            add(Text{"[[zone]]\nname = \"zone {}\"\nwhere = \"{}\"\ntool = {}\n", zone, where,
                     tool});
            // Some set their tool to another temperature than its own.
            const std::uint64_t mix = seed_ + static_cast<std::uint64_t>(zone);
            add_manner(tool, mix % 5 == 0 ? static_cast<int>(190 + 20 * (mix / 5 % 4)) : 0);
        }
        const std::string tool = random_.chance(85) ? number() : choice();
        add(Text{"[[zone]]\nname = \"rest\"\nwhere = \"true\"\ntool = {}\n", tool});
        add_manner(tool, 0);
        if (random_.chance(40)) {
            add(Text{"[split]\ntolerance = {}\nshortest = {}\n", random_.chance(50) ? 0.02 : 0.005,
                     random_.between(1, 20) * 0.1});
        }
    }

    /// What goes by tool and set-point alone, so that zones which share both agree; `celsius` 0
    /// stands for the tool's own.
    void add_manner(const std::string& tool, int celsius) {
        if (tool[0] == '"') return;
        if (seed_ % 6 == 1) add(Text{"steady_flow = [1.5, 4.0]\n"});
        if (celsius > 0) add(Text{"temperature = {}\n", celsius});
        if (celsius == 0) celsius = 190 + 20 * std::stoi(tool);
        const int mix = static_cast<int>(seed_ / 3 % 1000) + std::stoi(tool) + celsius / 10;
        if (mix % 4 == 0) add(Text{"wipe = {{ length = {} }}\n", 0.7 * (mix % 5 + 1)});
        if (mix % 4 == 1) add(Text{"hop = {}\ncoast = {}\n", 0.2 * (mix % 3), 0.1 * (mix % 5)});
        if (mix % 6 == 2) add(Text{"retract = {{ length = 0.8, restart = 0.02 }}\n"});
    }

    std::string condition() {
        const double away = random_.between(2, 40) * 0.1 + 0.0123;
        switch (random_.between(0, 8)) {
            case 0:
                return Text{"distance(tongue) <= {}", away}.text;
            case 1:
                return Text{"distance(tab) < {} and not (z > 0.8731)", away / 4}.text;
            case 2:
                return "distance(slope) <= 0";
            case 3:
                return Text{"distance(knob) <= {} or distance(foot) <= {}", away / 4, away / 8}
                    .text;
            case 4:
                return Text{"x > {} and y < 2.0171", away}.text;
            case 5:
                return Text{"hypot(x, y) < {} and layer >= 1", away + 2}.text;
            case 6:
                return Text{"part < 1 and abs(y) <= {}", away}.text;
            case 7:
                return Text{"height < 0.5013 and x * y > {}", away}.text;
            default:
                return Text{"max(abs(x), abs(y)) - {} <= 0", away}.text;
        }
    }

    std::string number() { return std::to_string(random_.between(0, tools_ - 1)); }
    std::string choice() { return random_.chance(15) ? "\"keep\"" : number(); }

    void add_sheet() {
        add(Text{"[sheet]\noutside = {}\nplace = [\n", random_.chance(50) ? "\"keep\"" : number()});
        for (const sheets::Place& place : sheets::places(style_)) {
            add(Text{"  {{ x = {}, y = {}, turn = {} }},\n", place.x_mm, place.y_mm,
                     place.turn_deg});
        }
        add(Text{"]\n"});
    }

    const sheets::Style& style_;
    std::uint64_t seed_;
    sheets::Random random_;
    bool rich_;
    int tools_;
    std::string text_;
};

inline std::string random_plan_text(const sheets::Style& style, std::uint64_t seed,
                                    bool rich = false) {
    return PlanMaker(style, seed, rich).text();
}

}  // namespace durograde::check_tests
