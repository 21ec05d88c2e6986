# Samples for tests/cli/run: a plan for two pads of a seedling gripper, and their program.
# shellcheck shell=bash

# Two pads of two layers; `extra` lines stand after the eleventh.
pads() {
    printf '; two pads\nG21\nG90\nM83\nM104 S200\nG28\nG1 Z5 F600\nM106 S127\n'
    printf 'G1 X15 Y20 F9000\nG1 Z0.2 F600\n; pad 1\n%s' "${extra:+$extra$'\n'}"
    local z x y
    for z in 0.2 0.4; do
        for x in 15 45; do
            printf 'G1 X%d Y20 F9000\nG1 Z%s F600\n' "$x" "$z"
            for y in 20 20.4 20.8 21.2; do
                printf 'G1 X%d Y%s F9000\nG1 X%d Y%s E0.66 F1800\n' "$x" "$y" $((x + 20)) "$y"
            done
        done
    done
    printf 'M107\nM104 S0\n'
}
# The program with lines after the eleventh.
with() { extra=$1 pads; }

pads >pads.gcode
cat >plan.toml <<'PLAN'
format = 1
name = "two pads"

[machine]
reach = { x = [0, 200], y = [0, 200], z = [0, 200] }
hottest = 290

[[tool]]
number = 0
temperature = 190
heater = { rise = 4.0, loss = 0.010, ambient = 25 }
retract = { length = 1.2, speed = 35, restart = 0.0, restart_speed = 25 }

[[tool]]
number = 1
temperature = 220
heater = { rise = 4.0, loss = 0.010, ambient = 25 }

[[zone]]
name = "grip"
where = "x < 0"
tool = 0

[[zone]]
name = "pad"
where = "true"
tool = 1

[sheet]
outside = 0
place = [{ x = 25, y = 20.4 }, { x = 55, y = 20.4 }]

[heat]
horizon = 600
idle = 30
PLAN
