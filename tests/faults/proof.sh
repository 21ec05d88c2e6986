# What is written is not what was meant: the proof must see it before anything is released.
# shellcheck shell=bash disable=SC2154

told() { # NAME
    is "$1: status" 70 "$rc"
    has "$1: the invariant" err 'check failed: same beads: '
    has "$1: the worst value" err 'check failed: same beads: .*: worst [0-9.]* mm'
    has "$1: the line of the output" err 'of the output was to be `G1'
    has "$1: the line of the input" err '^    G1'
}
fresh
suffer 'write:1:corrupt'
told 'a wrong digit'
untouched 'a wrong digit'
clean 'a wrong digit'
rm to/graded.gcode
suffer 'write:1:corrupt'
is 'a wrong digit, no old output: nothing is there' '' "$(ls -A to)"

FAULT='write:1:corrupt' LD_PRELOAD=$inject "$durograde" grade -q -p plan.toml pads.gcode >out 2>err
rc=$?
told 'a wrong digit to standard output'
is 'a wrong digit to standard output: nothing leaves' '' "$(cat out)"

FAULT='write:1:corrupt' LD_PRELOAD=$inject "$durograde" grade -p plan.toml pads.gcode --dry-run --report r.json >out 2>err
rc=$?
told 'a wrong digit in a dry run'
is 'a wrong digit in a dry run: no report' '' "$(cat out r.json 2>/dev/null)"

FAULT='write:1:corrupt' LD_PRELOAD=$inject "$durograde" grade -q --stream -p plan.toml pads.gcode >out 2>err
rc=$?
told 'a wrong digit in a stream'
is 'a wrong digit in a stream: the last lines' \
    '; durograde: incomplete, this print must be thrown away: heaters off|M104 T0 S0|M104 T1 S0|M140 S0|M141 S0|' \
    "$(tail -5 out | tr '\n' '|')"
is 'a wrong digit in a stream: nothing says that it is complete' 0 "$(grep -c 'durograde: complete' out)"

cp pads.gcode job.gcode
FAULT='write:1:corrupt' LD_PRELOAD=$inject "$durograde" hook --log off -p plan.toml job.gcode >out 2>err
is 'a wrong digit in a job: status' 70 $?
same 'a wrong digit in a job: the job stands' pads.gcode job.gcode
has 'a wrong digit in a job: told' out '"exit":70'
