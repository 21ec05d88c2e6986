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
        for number in 1 2 3 4 5 6; do
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
pair_of rename:2:5
is 'the second of a pair cannot be put in place: status' 73 "$rc"
