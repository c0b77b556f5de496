#!/usr/bin/env bash
# Quick speed figures; they are printed, never judged: the machine is shared. What stands beside a floor of the same run is a
# ratio, and only ratios may be compared.
#
#   speed.sh BINARY [OLDER [DATA]]   with an OLDER binary beside it, over a data folder that both can read (else the demo)
set -euo pipefail
bin=$(realpath "$1")
older=${2:+$(realpath "$2")}
data=$(realpath "${3:-demo/workshop}")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
time_it() { local start end; start=$(date +%s%N); "$@" >/dev/null; end=$(date +%s%N); echo $(((end - start) / 1000)); }
# The quickest of several: what the work costs when nothing else does.
least() { for _ in $(seq 9); do time_it "$@"; done | sort -n | head -1; }
ratio() { awk -v a="$1" -v b="$2" 'BEGIN { printf "%.2f", a / b }'; }

echo "gaps three-eighths: $(time_it "$bin" gaps three-eighths) us"
echo "whole round rehearsed: $(time_it "$bin" rehearse demo/whole-round.rehearse --size 80x24) us"
echo "tour of the demo workshop: $(time_it "$bin" rehearse demo/tour.rehearse --size 140x45) us"

# Every loop read again, none of what is derived being there; then the rack from what is derived, and a sheet.
derive() { rm -f "$2"/rack.jsonl "$2"/saws.jsonl "$2"/loops/*/history.toml; "$1" --data "$2" --plain </dev/null; }
tag=$(dirname "$(ls "$data"/loops/*/*.round.toml | head -1)" | xargs basename)
of() {
  local folder=$work/$2
  cp -rp "$data" "$folder"
  least derive "$1" "$folder"
  least "$1" --data "$folder" --plain </dev/null
  least "$1" --data "$folder" sheet "$tag"
}
mapfile -t now < <(of "$bin" now)
empty=$(least "$bin" --data "$work/empty" --plain </dev/null)
echo "every loop read again ${now[0]} us, the rack ${now[1]} us, a sheet ${now[2]} us; an empty folder $empty us"
if [ -n "$older" ]; then
  mapfile -t was < <(of "$older" was)
  echo "  the older program takes x $(ratio "${was[0]}" "${now[0]}"), x $(ratio "${was[1]}" "${now[1]}"), x $(ratio "${was[2]}" "${now[2]}") of that"
fi
if command -v python3 >/dev/null 2>&1; then
  python3 tests/smoke/reading.py "$bin" "$work"
  [ -z "$older" ] || python3 tests/smoke/face.py "$older" "$bin"
else
  echo "a reading beside a bare append and sync: left out, python3 is not installed"
fi
