# Pipes that break, inputs that are cut.
# shellcheck shell=bash disable=SC2154

for stream in '' --stream; do
    for ((i = 0; i < 10; ++i)); do
        # shellcheck disable=SC2086
        "$durograde" grade -q $stream -p large.toml large.gcode 2>err | head -c 100 >out
        is "a reader that leaves $stream: status" 141 "${PIPESTATUS[0]}"
        is "a reader that leaves $stream: silence" '' "$(cat err)"
    done
    # shellcheck disable=SC2086
    env --ignore-signal=PIPE "$durograde" grade -q $stream -p large.toml large.gcode 2>err | head -c 100 >out
    is "a reader that leaves, signal ignored $stream: status" 74 "${PIPESTATUS[0]}"
    has "a reader that leaves, signal ignored $stream: told" err 'standard output'
done

# A slow and crumbling pipe gives the same bytes.
{ head -c 100 pads.gcode; sleep 0.05; tail -c +101 pads.gcode | head -c 1; sleep 0.05; tail -c +102 pads.gcode; } |
    "$durograde" grade -q -p plan.toml | dd bs=1 status=none >out
same 'a crumbling pipe' new.gcode out

# Cut anywhere, a program is graded as what it then is, or refused. It never ends otherwise.
size=$(wc -c <pads.gcode)
RANDOM=4711
for ((i = 0; i < 200; ++i)); do
    cut=$((RANDOM % size))
    head -c "$cut" pads.gcode >cut.gcode
    "$durograde" grade -q -p plan.toml <cut.gcode >out 2>err
    rc=$?
    case $rc in
        0)
            "$durograde" check -q -p plan.toml cut.gcode out
            is "cut at $cut: held" 0 $?
            ;;
        65)
            is "cut at $cut: nothing leaves" '' "$(cat out)"
            has "cut at $cut: told" err 'fix: '
            ;;
        *) fail "cut at $cut: status" "$rc: $(cat err)" ;;
    esac
done
