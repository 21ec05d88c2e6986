# Each call into the system fails, is cut short, or is the last one, one after another.
# shellcheck shell=bash disable=SC2154

# --- the order that makes a release last: all bytes, then the name, then the folder ----------------

fresh
TRACE=trace LD_PRELOAD=$inject "$durograde" grade -q -p plan.toml pads.gcode -o to/graded.gcode
order=$(sed -n 's/^\(fsync\|linkat\|rename\|write\) .*/\1/p' trace | uniq | tr '\n' ' ')
is 'a release in order' 'write fsync linkat rename fsync ' "$order"
same 'a traced run' new.gcode to/graded.gcode

# --- killed at each call --------------------------------------------------------------------------

for call in nameless open read write fsync linkat rename; do
    for ((number = 1; ; ++number)); do
        fresh
        { suffer "$call:$number:kill"; } 2>/dev/null
        [ "$rc" -eq 0 ] && break
        is "killed at $call $number: status" 137 "$rc"
        whole "killed at $call $number" new.gcode
        sweep "killed at $call $number"
    done
    isnt "$call is called at all" 1 "$number"
done

# Without nameless files the spool has a name all along. The victim itself is waited for: `timeout` may
# end before the process it kills, which holds the spool's lock until it is gone.
for number in 1 2 3 4; do
    fresh
    { FAULT="nameless:1-:95" LD_PRELOAD=$inject exec "$durograde" grade -q -p plan.toml pads.gcode \
        -o to/graded.gcode; } &
    victim=$!
    sleep "0.00$number"
    kill -9 $victim
    wait $victim
    whole "killed with a named spool, $number ms" new.gcode
    sweep "killed with a named spool, $number ms"
done 2>/dev/null
fresh
suffer 'nameless:1-:95'  # EOPNOTSUPP
is 'no nameless files: status' 0 "$rc"
same 'no nameless files: output' new.gcode to/graded.gcode
clean 'no nameless files'

# --- each call fails: EIO, no space, quota, read-only, other device, no such folder ----------------

for call in write fsync linkat rename read; do
    for error in 5 28 122 30 18 2; do
        for range in 1 1- 2 2-; do
            fresh
            suffer "$call:$range:$error"
            name="$call $range fails with $error"
            [ "$call $range" = 'rename 2' ] && continue  # there is one alone
            if [ "$rc" -eq 0 ]; then
                # A call that does not come so often.
                same "$name: output" new.gcode to/graded.gcode
                clean "$name"
                continue
            fi
            case $rc in 65 | 66 | 73 | 74 | 78) pass ;; *) fail "$name: status" "$rc: $(cat err)" ;; esac
            has "$name: message" err 'fix: '
            if grep -q 'is in place, but' err; then
                same "$name: in place, as it says" new.gcode to/graded.gcode
            else
                untouched "$name"
            fi
            clean "$name"
        done
    done
done
fresh
suffer 'fsync:1:5'
is 'a failed fsync is told' 74 "$rc"
untouched 'a failed fsync is not tried again'
fresh
suffer 'fsync:2:5'
is 'a folder that is not made durable: status' 74 "$rc"
has 'a folder that is not made durable: told' err 'in place, but may not survive'

# --- short writes and reads, interruptions --------------------------------------------------------

for fault in write:1-:short read:1-:short write:1-3:4 read:1-3:4 write:2-9:short; do
    fresh
    suffer "$fault"
    is "$fault: status" 0 "$rc"
    same "$fault: output" new.gcode to/graded.gcode
    clean "$fault"
done

# --- what passes: no threads to be had, a folder that cannot be read just now ----------------------

passing() { # NAME STATUS FAULT
    fresh
    suffer "$3"
    is "$1: status" "$2" "$rc"
    has "$1: what to do" err 'fix: '
    untouched "$1"
    clean "$1"
    cp pads.gcode job.gcode
    FAULT=$3 LD_PRELOAD=$inject "$durograde" hook --log off -p plan.toml job.gcode >out
    is "$1, a job of a queue: status" "$2" $?
    has "$1, a job of a queue: told" out "\"exit\":$2"
    same "$1, a job of a queue stands" pads.gcode job.gcode
}
for number in 1 2 3; do
    passing "thread $number cannot be made" 75 "thread:$number:11"  # EAGAIN
    passing "thread $number finds no memory" 75 "thread:$number:12"
done
for number in 1 2 3; do
    passing "entry $number of the folder cannot be read" 74 "readdir:$number:5"
done
