#!/usr/bin/env bash
# The tables read back from a spreadsheet program cell by cell, and no text in them is calculated.
# spreadsheet.sh BINARY; needs ssconvert (of gnumeric) and python3.
set -euo pipefail
bin=$(realpath "$1")
cd "$(dirname "$0")/../.."
for tool in ssconvert python3; do
  command -v "$tool" >/dev/null 2>&1 || { echo "spreadsheet: left out, $tool is not installed"; exit 0; }
done
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cp -r demo/workshop "$work/data"
run() { "$bin" --data "$work/data" "$@"; }

# A loop whose texts would be calculated or called if a spreadsheet took them for formulas.
{
  echo 'cutter,side,length_mm,note'
  n=0
  for text in "'=1+1" "'+1" "'-2+3" "'@SUM(1)" "'=cmd|' /C calc'!A0" "'=HYPERLINK(\"\"x\"\")" 'a, b; "quoted"' 'plain' 'x=1' "'-"; do
    n=$((n + 1))
    side=$([ $((n % 2)) = 1 ] && echo left || echo right)
    printf '%d,%s,8.%02d,"%s"\n' "$n" "$side" "$n" "${text//\"/\"\"}"
  done
} >"$work/wild.csv"
run import "$work/wild.csv" --loop wild --profile three-eighths --links 20 --keep --measured 2026-03-01 --sharpener '=1+1' >/dev/null

run --format csv export >"$work/export.csv"
run --format csv sheet wild >"$work/sheet-wild.csv"
for tag in hollow-2 brook-farm; do
  run --format csv sheet "$tag" >"$work/sheet-$tag.csv"
  run --format csv history "$tag" >"$work/history-$tag.csv"
done
run --format csv gaps three-eighths >"$work/gaps.csv"

for table in export sheet-wild sheet-hollow-2 sheet-brook-farm history-hollow-2 history-brook-farm gaps; do
  for format in ods xlsx; do
    ssconvert "$work/$table.csv" "$work/$table.$format" >/dev/null 2>&1
    ssconvert "$work/$table.$format" "$work/back.csv" >/dev/null 2>&1
    python3 tests/smoke/cells.py "$work/$table.csv" "$work/$table.$format" "$work/back.csv"
  done
done
echo "spreadsheet: every cell reads back, nothing is calculated"
