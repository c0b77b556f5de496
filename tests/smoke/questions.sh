#!/usr/bin/env bash
# The tables, asked in SQL on DuckDB: the questions that stand in the manual are answered as the program itself answers them,
# over one bench and over three that were joined.
# questions.sh BINARY [FOLDER]; DuckDB is FOLDER/duckdb (python3 -m venv FOLDER/duckdb; FOLDER/duckdb/bin/pip install duckdb).
set -euo pipefail
bin=$(realpath "$1")
python=$(realpath -m -s "${2:-target/tools}")/duckdb/bin/python
cd "$(dirname "$0")/../.."
if ! "$python" -c 'import duckdb' >/dev/null 2>&1; then echo "questions: left out, DuckDB is not at $python"; exit 0; fi
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
demo=demo/workshop

mkdir "$work/one"
cp -r "$demo" "$work/one/data"
"$python" tests/smoke/questions.py "$bin" "$work/one"

# A bench that has some loops of the demo.
bench() {
  mkdir -p "$work/$1/loops" "$work/$1/saws"
  for loop in "${@:2}"; do cp -r "$demo/loops/$loop" "$work/$1/loops/"; done
  cp "$demo/sharpeners.toml" "$work/$1/"
  cp -r "$demo/profiles" "$work/$1/"
}

# A loop of the bench's own, taken into care, worked and signed off there on a day.
worked() {
  { echo "at $4T08:00:00+01:00"; sed "s/Hollow 7/$2/; s/^enter Ina$/enter $3/" demo/whole-round.rehearse; } >"$work/script"
  "$bin" --data "$work/$1" rehearse "$work/script" >/dev/null
}

# Each bench has loops and people of its own. The mill began what the school went on with: a ground loop and one that all
# three hold, each with rounds that the others have too. The ridge names another owner of that loop, the school another
# figure of how well Ina measures.
bench mill mill-lane hollow-pine hollow-1 brook-farm hollow-2
cp "$demo/saws/big-yellow.saw.toml" "$work/mill/saws/"
rm "$work"/mill/loops/hollow-2/2026{06,09}*.round.toml "$work"/mill/loops/brook-farm/202609*.round.toml
worked mill "Mill 7" Ina 2026-11-02
bench ridge ridge-1 ridge-2 ridge-3 ridge-long visitor hollow-2
rm "$work"/ridge/loops/hollow-2/202609*.round.toml
sed -i 's/^owner = .*/owner = "Ridge crew"/' "$work/ridge/loops/hollow-2/loop.toml"
worked ridge "Ridge 7" Marek 2026-11-03
bench school quarry-9 thrush-yard patchwork hollow-3 brook-farm hollow-2
cp "$demo/saws/"*.saw.toml "$work/school/saws/"
sed -i '/^name = "Ina"/,/^length_u_mm/s/^length_u_mm = .*/length_u_mm = 0.04/' "$work/school/sharpeners.toml"
worked school "School 7" Odd 2026-11-04

joined() {
  mkdir -p "$work/$1"
  for bench in "${@:2}"; do "$bin" --data "$work/$1/data" join "$work/$bench" --yes >/dev/null; done
}
joined all mill ridge school
joined turned school mill ridge
"$python" tests/smoke/questions.py "$bin" "$work/all" Ina Marek Odd Tove
"$bin" --data "$work/turned/data" tables "$work/turned/tables" >/dev/null
diff -r "$work/all/tables" "$work/turned/tables" || { echo "questions: another order of joining gives other tables"; exit 1; }
found=$(find "$work/all/data" -name '*.round.toml' | wc -l)
wanted=$(($(find "$demo" -name '*.round.toml' | wc -l) + 3))
[ "$found" = "$wanted" ] || { echo "questions: $found rounds joined, $wanted in all"; exit 1; }
asked=$("$bin" --data "$work/all/data" questions | grep -cE '^ *[0-9]+\. ')
[ "$asked" = 2 ] || { echo "questions: $asked to be chosen"; "$bin" --data "$work/all/data" questions; exit 1; }
