#include "sample_plan.hpp"

#include <unistd.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <fstream>

namespace durograde::plan_test {
namespace {

constexpr const char* machine = R"(
[machine]
reach = { x = [0, 320], y = [0, 300], z = [-1, 280] }
gantry = 31
filament = 1.8
hottest = 290
coldest_extrusion = 171
swap_time = 9.5
speed = { x = 351, y = 352, z = 13, e = 61 }
acceleration = { x = 5001, y = 5002, z = 301, e = 5003, print = 3001, travel = 4001 }
cornering = { deviation = 0.03 }
settings = ["m8572", "M8593"]
tells = ["tray_lamp", "M8876"]

[machine.write]
set = "G10 P{tool} S{temperature}"
wait = "M109 P{tool} S{temperature}"
wait_cool = "M109 P{tool} R{temperature}"
select = "T{to} ; was {from}"
before_swap = ["; leaving {from} at {x} {y} {z}"]
after_swap = ["M400", "; layer {layer}"]

[machine.reads]
distance_mode_sets_e = false
dwell_p = "s"
fan_full = 1
speed_limit_per = "min"
g10 = "tool"
set_also_standby = true
)";

constexpr const char* tools = R"(
[[tool]]
number = 0
temperature = 190
standby = 151
heater = { rise = 4.1, loss = 0.011, ambient = 26 }
ready = 2.5
settle = 3.5
retract = { length = 1.3, speed = 36, restart = 0.1, restart_speed = 26, repeats = 15 }
wipe = { length = 2.1, speed = 121, retract_share = 0.5 }
coast = 0.1
melt = 35
travel_speed = 180
hop = 0.4
fan = [0.2, 0.9]
max_flow = 6.5
prime = { where = "start", length = 0.5, refill = true }

[[tool]]
number = 1
temperature = 220
heater = { rise = 4.0 }
retract = {}

[[tool]]
number = 2
temperature = 240
heater = {}
retract = { length = 2 }
prime = { where = "spot", x = 10, y = 290, length = 5 }

[[tool]]
number = 4
range = [200, 235]
set_points = 2
heater = {}
retract = {}
)";

constexpr const char* material = R"(
[material]
name = "foaming flexible, one roll"
price = 71.5
density = 1.21
[[material.point]]
temperature = 190
flow = 1.00
density = 1.20
hardness = 92
ooze = 0.4
max_flow = 9.0
spread = { flow = 0.01, density = 0.02, hardness = 1.5, ooze = 0.1, max_flow = 0.5 }
[[material.point]]
temperature = 240
flow = 0.62
density = 0.75
hardness = 60
ooze = 2.5
max_flow = 7.0
spread = { flow = 0.02, density = 0.02, hardness = 2.5, ooze = 0.3, max_flow = 0.5 }
)";

constexpr const char* shapes = R"(
[[shape]]
name = "tongue"
capsule = { from = [0, 0, 0], to = [0, 0, 12], radius = 3.0 }
[[shape]]
name = "ball"
sphere = { center = [1, 2, 3], radius = 4 }
[[shape]]
name = "block_1"
box = { center = [0, 0, 5], size = [10, 12, 14], round = 1.5 }
[[shape]]
name = "pin"
cylinder = { from = [0, 0, 0], to = [0, 0, 9], radius = 2 }
[[shape]]
name = "tip"
cone = { from = [0, 0, 9], to = [0, 0, 12], radius = [2, 0] }
[[shape]]
name = "floor"
plane = { point = [0, 0, 1], normal = [0, 0, 1] }
)";

constexpr const char* zones = R"(
[[zone]]
name = "grip"
where = "distance(tongue) <= 1.5"
tool = 0
[[zone]]
name = "blend"
where = "distance(tongue) <= 3.0 and not distance(floor) < 0"
temperature = 220
[[zone]]
name = "marker"
where = "layer < 1"
tool = "keep"
[[zone]]
name = "pad"
where = "true"
tool = 2
steady_flow = [2.5, 4.5]
retract = { length = 1.7 }
wipe = { length = 3.5, retract_share = 0.4 }
coast = 0.3
hop = 0.0
travel_speed = 140
thinnest = 1.524
)";

constexpr const char* passes = R"(
[split]
tolerance = 0.03
shortest = 0.9
step = 0.2
interlock = 0.0

[depth]
cell = 0.25
limit = 5.5
open_cavities = false
narrow = 2.5

[sheet]
place = [{ x = 40, y = 41, turn = 90 }, { x = 80, y = 42, kind = 1 }]
kinds = 2
outside = 1

[order]
parts = "input"
strokes = "short"
begin = "inside"
reverse = false

[strings]
gap = 2.5
bend = 6.5

[heat]
horizon = 601
idle = 31

[predict]
along = [0, 3, 4]
cell = 0.6
exponent = [1.2, 1.9]

[cost]
machine = 2.5
labour = 4.0
failures = 0.05
parts_per_day = 60
)";

}  // namespace

std::string good_plan() {
    return std::string("format = 1\nname = \"seedling gripper pads\"\n") + machine + tools +
           material + shapes + zones + passes;
}

std::string small_plan() {
    return R"(format = 1
[machine]
reach = { x = [0, 320], y = [0, 300], z = [0, 280] }
hottest = 290
[[zone]]
where = "true"
tool = "keep"
)";
}

std::string plan_with_every_key() {
    std::string text = replaced(good_plan(), "name =", "include = []\nname =");
    text = replaced(text, "deviation = 0.03",
                    "deviation = 0.03, jerk = { x = 9, y = 7, z = 0.6, e = 3 }");
    text += "[gradient]\nhardness = \"z\"\nby = \"steps\"\n";
    text = replaced(text, "thinnest", "temperature = 240\nhardness = 60\nthinnest", "\"pad\"");
    return text + R"(
[block]
x = 300
y = 300
size = [20, 20]
[[shape]]
name = "scan"
mesh = { file = "tongue.stl", scale = 1, move = [0, 0, 0], turn = [0, 0, 0] }
)";
}

std::string repeated(const std::string& text, std::size_t count) {
    std::string all;
    for (std::size_t i = 0; i < count; ++i) all += text;
    return all;
}

bool contains(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

std::string replaced(const std::string& text, const std::string& from, const std::string& to,
                     const std::string& after) {
    INFO("replacing " << from << " after " << after);
    const std::size_t start = text.find(after);
    REQUIRE(start != std::string::npos);
    const std::size_t at = text.find(from, start);
    REQUIRE(at != std::string::npos);
    return text.substr(0, at) + to + text.substr(at + from.size());
}

std::size_t line_of(const std::string& text, const std::string& what) {
    const std::size_t at = text.find(what);
    REQUIRE(at != std::string::npos);
    const auto end = text.begin() + static_cast<std::ptrdiff_t>(at);
    return static_cast<std::size_t>(std::count(text.begin(), end, '\n')) + 1;
}

std::vector<Diagnostic> faults_of(const std::string& text,
                                  const std::vector<plan::Override>& overrides) {
    try {
        plan::load_text(text, "pads.toml", overrides);
        return {};
    } catch (const Failure& failure) {
        CHECK(failure.exit() == Exit::bad_plan);
        CHECK_FALSE(failure.diagnostics().empty());
        for (const Diagnostic& diagnostic : failure.diagnostics()) {
            INFO(format(diagnostic));
            CHECK_FALSE(diagnostic.code.empty());
            CHECK_FALSE(diagnostic.text.empty());
            CHECK_FALSE(diagnostic.mend.empty());
            CHECK_FALSE(diagnostic.place.file.empty());
        }
        return failure.diagnostics();
    }
}

Diagnostic find_fault(const std::vector<Diagnostic>& faults, const std::string& code) {
    std::string all;
    for (const Diagnostic& diagnostic : faults) {
        if (diagnostic.code == code) return diagnostic;
        all += format(diagnostic);
    }
    FAIL("no diagnostic \"" << code << "\" in:\n" << all);
    return {};
}

Diagnostic fault(const std::string& text, const std::string& code) {
    return find_fault(faults_of(text), code);
}

Folder::Folder() {
    std::string name = (std::filesystem::temp_directory_path() / "plan-XXXXXX").string();
    REQUIRE(::mkdtemp(name.data()) != nullptr);
    path_ = name;
}

Folder::~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
}

std::string Folder::write(const std::string& name, const std::string& text) const {
    const std::filesystem::path file = path_ / name;
    std::filesystem::create_directories(file.parent_path());
    std::ofstream(file, std::ios::binary) << text;
    return file.string();
}

std::vector<Diagnostic> faults_of_file(const std::string& file, Exit* exit) {
    try {
        plan::load(file);
        return {};
    } catch (const Failure& failure) {
        if (exit != nullptr) *exit = failure.exit();
        return failure.diagnostics();
    }
}

}  // namespace durograde::plan_test
