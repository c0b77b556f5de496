#!/usr/bin/env bash
# Quick speed figures; they are printed, never judged: the machine is shared. What a floor of the same run stands beside is a
# ratio, and only ratios may be compared.
#
#   speed.sh BINARY [OLDER]   with an older BINARY beside it, where the same data folder is read by both
set -euo pipefail
bin=$(realpath "$1")
older=${2:+$(realpath "$2")}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
time_it() { local start end; start=$(date +%s%N); "$@" >/dev/null; end=$(date +%s%N); echo $(((end - start) / 1000)); }
# The quickest of several: what the work costs when nothing else does.
least() { for _ in $(seq 9); do time_it "$@"; done | sort -n | head -1; }
ratio() { awk -v a="$1" -v b="$2" 'BEGIN { printf "%.2f", a / b }'; }

echo "gaps three-eighths: $(time_it "$bin" gaps three-eighths) us"
echo "whole round rehearsed: $(time_it "$bin" rehearse demo/whole-round.rehearse --size 80x24) us"
echo "tour of the demo workshop: $(time_it "$bin" rehearse demo/tour.rehearse --size 140x45) us"

# Every loop read again, none of what is derived being there; and the rack from what is derived.
derive() { rm -f "$2"/rack.jsonl "$2"/saws.jsonl "$2"/loops/*/history.toml; "$1" --data "$2" --plain </dev/null; }
cp -r demo/workshop "$work/data"
rebuilt=$(least derive "$bin" "$work/data")
shown=$(least "$bin" --data "$work/data" --plain </dev/null)
sheet=$(least "$bin" --data "$work/data" sheet ridge-1)
empty=$(least "$bin" --data "$work/empty" --plain </dev/null)
echo "demo workshop: read again $rebuilt us, shown $shown us, a sheet $sheet us; an empty folder $empty us"
if [ -n "$older" ]; then
  cp -r demo/workshop "$work/older"
  echo "  the older program: read again x $(ratio "$(least derive "$older" "$work/older")" "$rebuilt") of that," \
    "shown x $(ratio "$(least "$older" --data "$work/older" --plain </dev/null)" "$shown")," \
    "a sheet x $(ratio "$(least "$older" --data "$work/older" sheet ridge-1)" "$sheet")"
fi
if command -v python3 >/dev/null 2>&1; then
  python3 tests/smoke/reading.py "$bin" "$work"
else
  echo "a reading beside a bare append and sync: left out, python3 is not installed"
fi
