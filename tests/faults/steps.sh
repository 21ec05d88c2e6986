# What the parts of tests/faults/run share.
# shellcheck shell=bash
echo 'old, of the day before' >old.gcode
"${durograde:?}" grade -q -p plan.toml pads.gcode -o new.gcode || exit 1
"${sheets:?}" --bench 3 -o large.gcode
"$sheets" --bench 3 --plan -o large.toml
"$durograde" grade -q -p large.toml large.gcode -o large-new.gcode || exit 1

# The folder of destinations, with the old output in it.
fresh() {
    rm -rf to
    mkdir to
    cp old.gcode to/graded.gcode
}

# The destination is the old one or NEW, whole.
whole() { # NAME NEW
    if cmp -s to/graded.gcode old.gcode || cmp -s to/graded.gcode "$2"; then
        pass
    else
        fail "$1" "the destination is neither the old one nor the new one: $(wc -c <to/graded.gcode 2>&1)"
    fi
}
untouched() { # NAME
    same "$1: the old output stands" old.gcode to/graded.gcode
}
clean() { # NAME
    is "$1: no litter" graded.gcode "$(ls -A to)"
}

# Grades the small sample to to/graded.gcode with a fault.
suffer() { # FAULT
    FAULT=$1 LD_PRELOAD=${inject:?} "$durograde" grade -q -p plan.toml pads.gcode -o to/graded.gcode \
        </dev/null >out 2>err
    rc=$?
}
# A run without faults, which sweeps up.
sweep() { # NAME
    "$durograde" grade -q -p plan.toml pads.gcode -o to/graded.gcode
    is "$1: the next run" 0 $?
    same "$1: the next run's output" new.gcode to/graded.gcode
    clean "$1, after the next run"
}
