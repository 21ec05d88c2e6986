# Others work on the same files at the same time.
# shellcheck shell=bash disable=SC2154

"$durograde" grade -q -p plan.toml --set tool.1.temperature=225 pads.gcode -o other-new.gcode
for ((i = 0; i < 40; ++i)); do
    fresh
    "$durograde" grade -q -p plan.toml pads.gcode -o to/graded.gcode &
    one=$!
    "$durograde" grade -q -p plan.toml --set tool.1.temperature=225 pads.gcode -o to/graded.gcode
    is "two runs, $i: the second" 0 $?
    wait $one
    is "two runs, $i: the first" 0 $?
    if cmp -s to/graded.gcode new.gcode || cmp -s to/graded.gcode other-new.gcode; then pass; else fail "two runs, $i" 'neither output'; fi
    clean "two runs, $i"
done

# Without nameless files, two spools stand there at once.
for ((i = 0; i < 20; ++i)); do
    fresh
    FAULT='nameless:1-:95' LD_PRELOAD=$inject "$durograde" grade -q -p plan.toml pads.gcode -o to/graded.gcode &
    one=$!
    FAULT='nameless:1-:95' LD_PRELOAD=$inject "$durograde" grade -q -p plan.toml pads.gcode -o to/graded.gcode
    is "two named spools, $i: the second" 0 $?
    wait $one
    is "two named spools, $i: the first" 0 $?
    same "two named spools, $i" new.gcode to/graded.gcode
    clean "two named spools, $i"
done

# Two hooks with two plans: one grades the job, the other is refused or told to wait.
for ((i = 0; i < 40; ++i)); do
    cp pads.gcode job.gcode
    "$durograde" hook -p plan.toml --log off job.gcode >one.json &
    one=$!
    "$durograde" hook -p plan.toml --set tool.1.temperature=225 --log off job.gcode >two.json
    second=$?
    wait $one
    first=$?
    case "$first $second" in '0 65' | '0 75') wanted=new.gcode ;; '65 0' | '75 0') wanted=other-new.gcode ;; *) wanted=none ;; esac
    same "two hooks, two plans, $i: $first $second" "$wanted" job.gcode
done

# The input grows while it is read, or, where the machine is busy, before that.
cp large.gcode grown.gcode
echo 'G1 X1' >>grown.gcode
run grade -q -p large.toml grown.gcode -o grown-new.gcode
is "an input that has grown" 0 $rc
for ((i = 0; i < 10; ++i)); do
    fresh
    cp large.gcode growing.gcode
    { sleep "0.0$((i + 1))"; echo 'G1 X1' >>growing.gcode; } &
    writer=$!
    run grade -q -p large.toml growing.gcode -o to/graded.gcode
    wait $writer
    case $rc in
        0) if cmp -s to/graded.gcode grown-new.gcode; then pass; else whole "an input that grows, $i" large-new.gcode; fi ;;
        65 | 74)
            untouched "an input that grows, $i"
            clean "an input that grows, $i"
            ;;
        *) fail "an input that grows, $i: status" "$rc: $(cat err)" ;;
    esac
done
