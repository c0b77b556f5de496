#!/usr/bin/env bash
# Quick faults against the real binary, led by the plain face: after each one every acknowledged reading must be there,
# nothing that was not typed, and the program must start and go on.
set -euo pipefail
bin=$(realpath "$1")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

intake() { printf 'new\nSmoke\nthree-eighths\n72\nfull\nleft\n\n\n\n\nIna\nany\nfile\nmm\nlength\nleft\n'; }
looks() { for _ in 1 2 3 4 5 6 7; do echo 1; done; echo 0.00; } # and the closed caliper
readings() { for n in $(seq 1 "$1"); do echo "8.$((10 + n))"; done; }
count() { grep -c '^kind = "length"' "$1"/loops/smoke/*.round.toml; }
whole() { "$bin" check "$1"/loops/smoke/*.round.toml >/dev/null; }

# End of input pauses the round and says how to go on.
{ intake; looks; readings 10; } | "$bin" --data "$work/eof" --plain >"$work/eof.out"
grep -q 'Paused' "$work/eof.out"
[ "$(count "$work/eof")" = 10 ]
whole "$work/eof"

# Killed in the middle: what was acknowledged is there, and the round goes on at the same cutter.
mkfifo "$work/pipe"
"$bin" --data "$work/kill" --plain <"$work/pipe" >"$work/kill.out" &
pid=$!
exec 3>"$work/pipe"
{ intake; looks; readings 7; } >&3
for _ in $(seq 100); do grep -q 'Cutter 7: 8.17' "$work/kill.out" && break; sleep 0.1; done
kill -9 "$pid"; exec 3>&-; wait "$pid" 2>/dev/null || true
acknowledged=$(grep -c '^Cutter [0-9]*: 8\.' "$work/kill.out" || true)
[ "$(count "$work/kill")" -ge 7 ]
[ "$acknowledged" -le "$(count "$work/kill")" ]
whole "$work/kill"
printf 'smoke\n' | "$bin" --data "$work/kill" --plain | grep -q 'Cutter 8, right'

# A torn tail is set aside and said; every whole reading stays.
file=$(ls "$work"/kill/loops/smoke/*.round.toml)
printf '[[event]]\nseq = 99\nat = "2026-01-01T0' >>"$file"
printf 'smoke\n' | "$bin" --data "$work/kill" --plain | grep -q 'set aside'
ls "$work"/kill/loops/smoke/ | grep -q 'tail-'
whole "$work/kill"

# No room: the last reading is said not to be stored, the exit code tells, the record stays whole.
if command -v strace >/dev/null 2>&1 && strace -o /dev/null true 2>/dev/null; then
  { intake; looks; readings 3; } | "$bin" --data "$work/full" --plain >/dev/null
  set +e
  printf 'smoke\n8.14\n8.15\n' | strace -f -qq -o /dev/null -P "$(ls "$work"/full/loops/smoke/*.round.toml)" \
    -e trace=write -e inject=write:error=ENOSPC:when=2+ "$bin" --data "$work/full" --plain >"$work/full.out" 2>&1
  set -e
  whole "$work/full" || { cat "$work/full.out"; exit 1; }
fi

# No terminal: said, exit code 2.
set +e
"$bin" --data "$work/none" </dev/null >/dev/null 2>"$work/none.err"; code=$?
set -e
[ "$code" = 2 ] && grep -q -- '--plain' "$work/none.err"

# A full device for output is an error, not a panic.
set +e
"$bin" gaps three-eighths >/dev/full 2>"$work/dev.err"; code=$?
set -e
[ "$code" = 1 ] && ! grep -qi 'panic' "$work/dev.err"

echo "faults: all as they should be"
