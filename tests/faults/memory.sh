# Memory, descriptors and stack run out.
# shellcheck shell=bash disable=SC2154

# Every status is told with a message; 127 and "cannot" are the loader's own.
for kib in 8000 16000 24000 32000 48000 64000 96000 128000 192000 256000 320000; do
    fresh
    (ulimit -v "$kib"; exec "$durograde" grade -q -p large.toml large.gcode -o to/graded.gcode) >out 2>err
    rc=$?
    case $rc in
        0) same "$kib KiB of addresses: output" large-new.gcode to/graded.gcode ;;
        73 | 74 | 75 | 127)
            untouched "$kib KiB of addresses"
            isnt "$kib KiB of addresses: told" '' "$(cat err)"
            ;;
        *) fail "$kib KiB of addresses: status" "$rc: $(cat err)" ;;
    esac
    clean "$kib KiB of addresses"
done
is '320 MB of addresses are enough' 0 "$rc"

# A much longer program needs no more: 3 MB and 40 MB under one limit.
"$sheets" --bench 40 -o longer.gcode
"$sheets" --bench 40 --plan -o longer.toml
(ulimit -v 420000; exec "$durograde" grade -q -p longer.toml longer.gcode -o longer-new.gcode) 2>err
is 'a much longer program under 420 MB of addresses' 0 $?
rm -f longer*.gcode

# The N-th allocation fails, and all after it.
for ((number = 1; number < 4000; number = number * 5 / 4 + 1)); do
    for range in "$number" "$number-"; do
        fresh
        { suffer "malloc:$range:12"; } 2>/dev/null
        name="allocation $range fails"
        case $rc in
            0) same "$name: output" new.gcode to/graded.gcode ;;
            73 | 74 | 75) untouched "$name" ;;
            *) fail "$name: status" "$rc: $(cat err)" ;;
        esac
        clean "$name"
    done
done

for limit in '-n 8' '-s 256'; do
    fresh
    # shellcheck disable=SC2086
    (ulimit $limit; exec "$durograde" grade -q -p plan.toml pads.gcode -o to/graded.gcode) 2>err
    is "ulimit $limit: status" 0 $?
    same "ulimit $limit: output" new.gcode to/graded.gcode
done
