# The process is killed, or asked to end, at seeded moments.
# shellcheck shell=bash disable=SC2154

run_large() { exec "$durograde" grade -q -p large.toml large.gcode -o to/graded.gcode; }

start=$(date +%s%N)
(run_large) 2>/dev/null
took_us=$((($(date +%s%N) - start) / 1000))
RANDOM=20261125  # the seed
moment() { # a time within a run and a little after, in seconds
    local at=$(((RANDOM * 32768 + RANDOM) % (took_us * 11 / 10 + 1)))
    printf '%d.%06d' $((at / 1000000)) $((at % 1000000))
}

seen_old=0 seen_new=0
for ((i = 0; i < 200; ++i)); do
    at=$(moment)
    fresh
    { (run_large) & } 2>/dev/null
    victim=$!
    sleep "$at"
    kill -9 $victim 2>/dev/null
    wait $victim 2>/dev/null
    whole "kill -9 after $at s" large-new.gcode
    if cmp -s to/graded.gcode old.gcode; then seen_old=$((seen_old + 1)); else seen_new=$((seen_new + 1)); fi
    if [ $((i % 10)) -eq 0 ]; then sweep "kill -9 after $at s"; fi
done
isnt 'kill -9 came too early for some' 0 "$seen_old"

for signal in TERM INT HUP QUIT; do
    for ((i = 0; i < 12; ++i)); do
        at=$(moment)
        fresh
        # A shell's background job ignores INT and QUIT: env gives them back.
        env --default-signal=INT,QUIT "$durograde" grade -q -p large.toml large.gcode -o to/graded.gcode &
        victim=$!
        sleep "$at"
        kill -s "$signal" $victim 2>/dev/null
        wait $victim 2>/dev/null
        rc=$?
        number=$(kill -l "$signal")
        if [ "$rc" -ne 0 ]; then is "$signal after $at s: ends by the signal" $((128 + number)) "$rc"; fi
        whole "$signal after $at s" large-new.gcode
    done
    sweep "$signal"
done 2>/dev/null

# The queue's hook: the job is the sliced one or the graded one, and the next run ends the same.
for ((i = 0; i < 40; ++i)); do
    at=$(moment)
    cp large.gcode job.gcode
    "$durograde" hook -p large.toml --log off job.gcode >/dev/null &
    victim=$!
    sleep "$at"
    kill -9 $victim 2>/dev/null
    wait $victim 2>/dev/null
    if cmp -s job.gcode large.gcode || cmp -s job.gcode large-new.gcode; then pass; else fail "hook, kill -9 after $at s" 'the job is neither'; fi
    if [ $((i % 8)) -eq 0 ]; then
        run hook -p large.toml job.gcode
        is "hook, after kill -9 at $at s: status" 0 "$rc"
        same "hook, after kill -9 at $at s: graded" large-new.gcode job.gcode
    fi
done 2>/dev/null

# Stopped and let go on.
fresh
"$durograde" grade -q -p large.toml large.gcode -o to/graded.gcode &
victim=$!
for ((i = 0; i < 5; ++i)); do
    kill -STOP $victim
    sleep 0.02
    kill -CONT $victim
    sleep 0.01
done 2>/dev/null
wait $victim
is 'stopped and let go on: status' 0 $?
same 'stopped and let go on: output' large-new.gcode to/graded.gcode
