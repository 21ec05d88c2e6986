# A program and its report: each call fails, one after another. Both are there, or none is and the old ones
# stand. Where the folder alone could not be made durable, both are in place, as the message says.
# shellcheck shell=bash disable=SC2154

echo 'the report of the day before' >old.json
pair_of() { # FAULT
    FAULT=$1 LD_PRELOAD=$inject "$durograde" grade -q -p plan.toml pads.gcode -o to/graded.gcode \
        --report to/report.json </dev/null >out 2>err
    rc=$?
}
for call in write fsync linkat rename; do
    for error in 5 28; do
        for number in 1 2 3 4 5 6 7 8; do
            for found in old absent; do
                rm -rf to
                mkdir to
                [ $found = old ] && cp old.gcode to/graded.gcode && cp old.json to/report.json
                pair_of "$call:$number:$error"
                name="a pair, $found: $call $number fails with $error"
                there=$(cd to && ls -A | tr '\n' ' ')
                if [ "$rc" -eq 0 ] || grep -q 'is in place, but' err; then
                    same "$name: the program is released" new.gcode to/graded.gcode
                    is "$name: so is the report" 'graded.gcode report.json ' "$there"
                    hasnt "$name: the report is new" to/report.json 'the day before'
                    continue
                fi
                case $rc in 73 | 74) pass ;; *) fail "$name: status" "$rc: $(cat err)" ;; esac
                if [ $found = old ]; then
                    same "$name: the old program stands" old.gcode to/graded.gcode
                    same "$name: the old report stands" old.json to/report.json
                    is "$name: no litter" 'graded.gcode report.json ' "$there"
                else
                    is "$name: nothing is there" '' "$there"
                fi
            done
        done
    done
done
fresh
cp old.json to/report.json
pair_of rename:3:5
# A disk that fails passes; that a place is refused does not.
is 'the second of a pair cannot be put in place: status' 74 "$rc"

# Killed at any of the calls: a report that stands tells of the program that stands, and the next run brings
# both. Without a report the program is the old one or the new one, whole.
alone=0
for call in write fsync linkat rename; do
    for number in 1 2 3 4 5 6; do
        for found in old absent; do
            rm -rf to
            mkdir to
            [ $found = old ] && cp old.gcode to/graded.gcode && cp old.json to/report.json
            { pair_of "$call:$number:kill"; } 2>/dev/null
            name="a pair, $found: killed at $call $number"
            if [ ! -e to/report.json ]; then
                alone=$((alone + 1))
                if [ ! -e to/graded.gcode ] || cmp -s to/graded.gcode old.gcode || cmp -s to/graded.gcode new.gcode; then
                    pass
                else
                    fail "$name: the program" 'is neither the old one nor the new one'
                fi
            elif cmp -s to/report.json old.json; then
                same "$name: the old program beside the old report" old.gcode to/graded.gcode
            else
                same "$name: the new program beside the new report" new.gcode to/graded.gcode
            fi
            pair_of none:1:0
            is "$name: the next run" 0 "$rc"
            same "$name: the next run's program" new.gcode to/graded.gcode
            hasnt "$name: the next run's report" to/report.json 'the day before'
            is "$name: no litter" 'graded.gcode report.json ' "$(cd to && ls -A | tr '\n' ' ')"
        done
    done
done
isnt 'a pair: some were killed between' 0 "$alone"
