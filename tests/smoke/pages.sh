#!/usr/bin/env bash
# Every kind of page the program writes, through an HTML checker: no error and no warning is let through; and through a
# browser (browser.py): light, dark, on a phone, in print.
# pages.sh BINARY [FOLDER]; the checker is FOLDER/node_modules/vnu-jar (npm install --prefix FOLDER vnu-jar).
set -euo pipefail
bin=$(realpath "$1")
jar=$(realpath -m "${2:-target/tools}")/node_modules/vnu-jar/build/dist/vnu.jar
cd "$(dirname "$0")/../.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cp -r demo/workshop "$work/data"
mkdir "$work/pages"
page() { local file=$1; shift; "$bin" --data "$work/data" --format html --output "$work/pages/$file.html" "$@" >/dev/null; }

for loop in "$work"/data/loops/*/; do
  tag=$(basename "$loop")
  ls "$loop"*.round.toml >/dev/null 2>&1 || continue
  page "sheet-$tag" sheet "$tag"
  page "owner-$tag" sheet "$tag" --owner
  page "history-$tag" history "$tag"
done
for profile in profiles/*.toml; do
  name=$(basename "$profile" .toml)
  page "gaps-$name" gaps "$name"
  page "gaps-inch-$name" --units inch gaps "$name"
done
for saw in "$work"/data/saws/*.saw.toml; do
  name=$(basename "$saw" .saw.toml)
  page "saw-$name" saw "$name"
done
page tags tags

if ! command -v java >/dev/null 2>&1; then
  echo "pages: the checker is left out, java is not installed"
elif [ ! -f "$jar" ]; then
  echo "pages: the checker is left out, it is not at $jar"
else
  java -jar "$jar" --Werror --format text "$work"/pages/*.html
  echo "pages: $(ls "$work/pages" | wc -l) pages, no error"
fi
if command -v chromium >/dev/null 2>&1; then
  python3 tests/smoke/browser.py "$work/pages"
else
  echo "pages: the browser is left out, chromium is not installed"
fi
