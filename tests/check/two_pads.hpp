#pragma once

#include "pair.hpp"

/// A sheet small enough to be read: the rims of two pads, two layers, left half firm and right half
/// soft; what it is graded to, written by hand.
namespace durograde::check_tests {

inline constexpr std::string_view two_pads_plan = R"(
format = 1
name = "two pads"
[machine]
reach = { x = [0, 200], y = [0, 200], z = [0, 200] }
hottest = 280
coldest_extrusion = 170
swap_time = 5
[machine.write]
before_swap = ["M841 S{from}"]
after_swap = ["M842"]
[[tool]]
number = 0
temperature = 190
standby = 150
heater = { rise = 4.0, loss = 0.010, ambient = 25 }
retract = { length = 1.0, speed = 35, restart = 0.0, restart_speed = 25 }
wipe = { length = 1.5, speed = 120 }
fan = [0.2, 0.8]
[[tool]]
number = 1
temperature = 230
standby = 160
heater = { rise = 4.0, loss = 0.010, ambient = 25 }
retract = { length = 1.5, speed = 35, restart = 0.0, restart_speed = 25 }
wipe = { length = 2.0, speed = 120 }
max_flow = 2.0
prime = { where = "start", length = 0.5 }
[material]
name = "trial roll"
price = 70
[[material.point]]
temperature = 190
flow = 1.0
density = 1.2
hardness = 90
[[material.point]]
temperature = 230
flow = 0.7
density = 0.84
hardness = 70
[[zone]]
name = "grip"
where = "x <= 0.0137"
tool = 0
[[zone]]
name = "pad"
where = "true"
tool = 1
[sheet]
place = [{ x = 50, y = 50, turn = 0 }, { x = 90, y = 50, turn = 0 }]
[strings]
gap = 2.0
[heat]
horizon = 600
idle = 5
)";

inline constexpr std::string_view two_pads_before = R"(; two pads
G21
G90
M83
M104 S190
G28
T0
M109 S190
M107
G1 Z0.2 F720
G1 X20 Y10 F9000
G1 X60 Y10 E2 F1200
G1 X40 Y45 F9000
M204 S800
G1 X60 Y45 E1 F600
G1 X60 Y55 E0.5
G1 X40 Y55 E1
G1 X40 Y45 E0.5
G1 E-1 F2100
G1 X80 Y45 F9000
G1 E1 F2100
G1 X100 Y45 E1 F600
G1 X100 Y55 E0.5
G1 X80 Y55 E1
G1 X80 Y45 E0.5
M813 P2
G1 E-1 F2100
G1 Z0.4 F720
G1 X40 Y45 F9000
G1 E1 F2100
M106 S127.5
M204 S1200
G1 X60 Y45 E1 F1800
G1 X60 Y55 E0.5
G1 X40 Y55 E1
G1 X40 Y45 E0.5
G1 E-1 F2100
G1 X80 Y45 F9000
G1 E1 F2100
M486 S1
G1 X100 Y45 E1 F1800
G1 X100 Y55 E0.5
G1 X80 Y55 E1
G1 X80 Y45 E0.5
G1 E-1 F2100
G1 Z10 F720
G1 X10 Y190 F9000
M104 S0
M84
)";

// 1.0 mm over 20 mm: 0.50069 up to the cut at 10.0137 mm, 0.49931 × 0.7 after it. At 230 °C no more
// than 2 mm³/s: 0.7 × 1.0 / 20 × 2.405 mm³ per mm of bead make 1425 mm/min the fastest.
inline constexpr std::string_view two_pads_after = R"(; graded by durograde 0.1, plan: two pads
; two pads
G21
G90
M83
M104 S190
G28
T0
M109 S190
M107
G1 Z0.2 F720
G1 X20 Y10 F9000
G1 X60 Y10 E2 F1200
M104 T1 S230
G1 E-1.00000 F2100
G1 X50.014 Y55.000 F9000
G1 E1.00000 F1500
M204 S800
G1 X40.000 Y55.000 E0.50068 F600
G1 X40 Y45 E0.5
G1 X50.014 Y45.000 E0.50069
G1 E-1.00000 F2100
G1 X48.514 F7200
G1 X90.014 Y55.000 F9000
G1 E1.00000 F1500
G1 X80.000 Y55.000 E0.50068 F600
G1 X80 Y45 E0.5
G1 X90.014 Y45.000 E0.50068
G1 E-1.00000 F2100
G1 X88.514 F7200
M104 T0 S150
; durograde: swap begins
M841 S0
T1
M842
; durograde: swap ends
M109 T1 S230
G90
M83
G1 Z0.200 F9000
G1 X50.014 Y45.000
; durograde: prime begins
G1 E0.50000 F1500
; durograde: prime ends
M204 S800
M107
G1 X60.000 Y45.000 E0.34952 F600
G1 X60 Y55 E0.35000
G1 X50.014 Y55.000 E0.34953
G1 E-1.50000 F2100
G1 X52.014 F7200
G1 X90.014 Y45.000 F9000
G1 E1.50000 F1500
G1 X100.000 Y45.000 E0.34952 F600
G1 X100 Y55 E0.35000
G1 X90.014 Y55.000 E0.34952
G1 E-1.50000 F2100
G1 X92.014 F7200
G1 X80.000 Y45.000 F9000
G1 E1.50000 F1500
G1 F600
M813 P2
G1 E-1.50000 F2100
G1 Z0.400 F720
G1 X50.014 Y45.000 F9000
G1 E1.50000 F1500
M204 S1200
M106 S127.5
G1 X60.000 Y45.000 E0.34952 F1410
G1 X60 Y55 E0.35000
G1 X50.014 Y55.000 E0.34952
G1 E-1.50000 F2100
G1 X52.014 F7200
G1 X90.014 Y45.000 F9000
G1 E1.50000 F1500
M486 S1
G1 X100.000 Y45.000 E0.34952 F1410
G1 X100 Y55 E0.35000
G1 X90.014 Y55.000 E0.34953
G1 E-1.50000 F2100
G1 X92.014 F7200
M104 T1 S0
; durograde: swap begins
M841 S1
T0
M842
; durograde: swap ends
M104 T0 S190
M109 T0 S190
G90
M83
G1 Z0.400 F9000
G1 X50.014 Y55.000
G1 E1.00000 F1500
M204 S1200
M486 S-1
M106 S127.5
G1 X40.000 Y55.000 E0.50068 F1800
G1 X40 Y45 E0.5
G1 X50.014 Y45.000 E0.50068
G1 E-1.00000 F2100
G1 X48.514 F7200
G1 X90.014 Y55.000 F9000
G1 E1.00000 F1500
M486 S1
G1 X80.000 Y55.000 E0.50068 F1800
G1 X80 Y45 E0.5
G1 X90.014 Y45.000 E0.50069
G1 E-1.00000 F2100
G1 X88.514 F7200
M104 T0 S0
G1 Z10 F720
G1 X10 Y190 F9000
M104 S0
M84
)";

inline plan::Plan two_pads() {
    return plan::load_text(two_pads_plan, "two-pads.toml");
}

/// The verdict on a pair whose output differs from the good one.
inline check::Verdict judge_after(const std::string& after) {
    return judge(two_pads(), two_pads_before, after);
}
inline std::string good_after() {
    return std::string(two_pads_after);
}

/// What falls where `old_part` of the good output is replaced.
inline std::vector<std::string> falls(std::string_view old_part, std::string_view new_part) {
    return fallen(judge_after(with(good_after(), old_part, new_part)));
}

}  // namespace durograde::check_tests
