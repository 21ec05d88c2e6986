# Disks that are full or read-only, files that may not grow, things that are no files.
# shellcheck shell=bash disable=SC2154

new_bytes=$(wc -c <new.gcode)
for blocks in 1 2 4 8; do  # of 1024 bytes
    [ $((blocks * 1024)) -lt "$new_bytes" ] || continue
    fresh
    (ulimit -f "$blocks"; exec "$durograde" grade -q -p plan.toml pads.gcode -o to/graded.gcode 2>err)
    is "no file over $blocks KiB: status" 74 $?
    has "no file over $blocks KiB: told" err 'fix: '
    untouched "no file over $blocks KiB"
    clean "no file over $blocks KiB"
done

# A small file system of our own, where we may mount one.
if mkdir -p small && mount -t tmpfs -o size=64k none small 2>/dev/null; then
    cp old.gcode small/graded.gcode
    run grade -q -p large.toml large.gcode -o small/graded.gcode
    is 'a full disk: status' 74 "$rc"
    has 'a full disk: told' err 'No space left'
    same 'a full disk: the old output stands' old.gcode small/graded.gcode
    is 'a full disk: no litter' graded.gcode "$(ls -A small)"
    mount -o remount,ro small
    run grade -q -p plan.toml pads.gcode -o small/graded.gcode
    is 'a read-only disk: status' 73 "$rc"
    same 'a read-only disk: the old output stands' old.gcode small/graded.gcode
    umount small
else
    echo 'not run: a full disk and a read-only disk (no mount allowed here)'
fi

# Somebody without rights.
as_nobody=()
[ "$(id -u)" -eq 0 ] && as_nobody=(setpriv --reuid=65534 --regid=65534 --clear-groups)
chmod 755 .
fresh
chmod 555 to
"${as_nobody[@]}" "$durograde" grade -q -p plan.toml pads.gcode -o to/graded.gcode 2>err
is 'a read-only folder: status' 73 $?
has 'a read-only folder: told' err 'fix: '
untouched 'a read-only folder'
chmod 755 to
clean 'a read-only folder'
cp pads.gcode secret.gcode
chmod 000 secret.gcode
"${as_nobody[@]}" "$durograde" grade -q -p plan.toml secret.gcode >out 2>err
is 'an unreadable input: status' 66 $?
cp plan.toml unread.toml
chmod 000 unread.toml
"${as_nobody[@]}" "$durograde" grade -q -p unread.toml pads.gcode >out 2>err
is 'an unreadable plan: status' 66 $?

# Includes: without rights, missing, of another kind, of itself.
include() { # NAME FILE
    sed "1a include = \"$2\"" plan.toml >includes.toml
    timeout 10 "${as_nobody[@]}" "$durograde" grade -q -p includes.toml pads.gcode >out 2>err
    is "include $1: status" 78 $?
    has "include $1: place" err 'includes.toml:2:'
    has "include $1: told" err 'fix: '
    is "include $1: nothing leaves" '' "$(cat out)"
}
mkfifo pipe.toml
mkdir folder.toml
include 'without rights' unread.toml
include 'that is missing' none.toml
include 'of a pipe' pipe.toml
include 'of a folder' folder.toml
include 'of a device' /dev/zero
include 'of itself' includes.toml

# What cannot take all that is written to it, and what is no file at all.
for command in 'grade -q -p plan.toml pads.gcode' 'grade -q --stream -p plan.toml pads.gcode' \
               'grade -p plan.toml --dry-run pads.gcode' 'check -p plan.toml pads.gcode new.gcode' \
               'inspect pads.gcode' '--help' '--version'; do
    # shellcheck disable=SC2086
    "$durograde" $command >/dev/full 2>err
    is "$command to a full device: status" 74 $?
done
run grade -q -p plan.toml pads.gcode -o /dev/full
is 'a full device as output: status' 74 "$rc"
fresh
ln -s graded.gcode to/link.gcode
for number in 1 2 3; do
    FAULT="rename:1:kill" LD_PRELOAD=$inject "$durograde" grade -q -p plan.toml pads.gcode -o to/link.gcode
    is "killed before a link's target is replaced: status" 137 $?
    untouched "killed before a link's target is replaced, $number"
done 2>/dev/null
run grade -q -p plan.toml pads.gcode -o to/link.gcode
same "a link's target is replaced" new.gcode to/graded.gcode
is 'the link stays, and nothing else' 'graded.gcode link.gcode' "$(ls -A to | tr '\n' ' ' | sed 's/ $//')"
