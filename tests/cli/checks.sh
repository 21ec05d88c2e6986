# Checks for tests/cli/run. They count into `passed` and `failed`.
# shellcheck shell=bash
passed=0
failed=0

pass() { passed=$((passed + 1)); }
fail() { # NAME DETAIL
    failed=$((failed + 1))
    printf 'FAILED: %s\n%s\n' "$1" "$2" | cut -c1-300 | head -8
}

is() { # NAME EXPECTED FOUND
    if [ "$2" = "$3" ]; then pass; else fail "$1" "expected '$2', found '$3'"; fi
}
isnt() { # NAME UNWANTED FOUND
    if [ "$2" != "$3" ]; then pass; else fail "$1" "found '$3'"; fi
}
has() { # NAME FILE PATTERN
    if grep -q -- "$3" "$2"; then pass; else fail "$1" "no '$3' in: $(head -c 600 "$2")"; fi
}
hasnt() { # NAME FILE PATTERN
    if grep -q -- "$3" "$2"; then fail "$1" "'$3' in: $(grep -m1 -- "$3" "$2")"; else pass; fi
}
same() { # NAME FILE FILE: neither may be empty
    if [ -s "$2" ] && cmp -s "$2" "$3"; then pass; else fail "$1" "$(cmp "$2" "$3" 2>&1)"; fi
}

# Runs the program; leaves its status in `rc`, its output in the files out and err.
run() {
    "${durograde:?}" "$@" </dev/null >out 2>err
    rc=$?
}

# Grading ends with STATUS; the message holds every PATTERN and how fix. No output is left, and an
# old one is as it was.
refused() { # STATUS NAME PLAN INPUT PATTERN...
    local status=$1 name=$2 plan=$3 input=$4 pattern
    shift 4
    if [[ $input == /dev/fd/* || $input == /proc/* ]]; then
        cat "$input" >refused.gcode
        input=refused.gcode
    fi
    rm -rf outputs
    mkdir outputs
    run grade -p "$plan" "$input" -o outputs/graded.gcode
    is "$name: status" "$status" "$rc"
    is "$name: nothing is left" '' "$(ls -A outputs)"
    is "$name: nothing on standard output" '' "$(cat out)"
    for pattern in "$@" 'fix: '; do has "$name: message" err "$pattern"; done
    echo old >outputs/graded.gcode
    run grade -p "$plan" "$input" -o outputs/graded.gcode
    is "$name: status with an old output" "$status" "$rc"
    is "$name: the old output is untouched" old "$(cat outputs/graded.gcode)"
    is "$name: no litter" graded.gcode "$(ls -A outputs)"
    run grade -p "$plan" "$input"
    is "$name: standard output stays empty" '' "$(cat out)"
}
