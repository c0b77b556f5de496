#!/usr/bin/env bash
# Many data folders joined into one: how long each join takes beside a plain copy of the same files in the same run, and how
# much memory. Figures are printed; it fails where a round is missing or the memory passes its bound.
#
#   join.sh BINARY [FOLDERS] [ROUNDS]     30 folders of 2,000 rounds each where nothing else is said
set -euo pipefail
bin=$(realpath "${1:?the binary}")
folders=${2:-30} rounds=${3:-2000}
cd "$(dirname "$0")/../.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
python3 - demo/workshop "$work" "$folders" "$rounds" <<'PY'
import pathlib, sys, uuid, zlib
demo, work, folders, rounds = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4])
card = (demo / "loops/ridge-1/loop.toml").read_text()
model = sorted((demo / "loops/ridge-1").glob("*.round.toml"))[0].read_text()
header, events = model.split("\n\n", 1)
lines = [line for line in header.split("\n")[1:] if not line.startswith(("crc", "id", "format", "loop", "started"))]
for folder in range(folders):
    for at in range(rounds):
        tag = f"loop-{folder:02d}-{at // 10:04d}"
        place = work / f"bench-{folder:02d}" / "loops" / tag
        place.mkdir(parents=True, exist_ok=True)
        if at % 10 == 0:
            (place / "loop.toml").write_text(card.replace("ridge-1", tag))
        day = f"20{10 + at % 10:02d}-03-01"
        own = ["format = 1", f'id = "{uuid.uuid4()}"', f'loop = "{tag}"', f'started = "{day}T08:00:00+00:00"']
        head = "[round]\n" + "\n".join(own + lines) + "\n"
        crc = f'crc = "{zlib.crc32(head.encode()):08x}"\n\n'
        (place / f"{day.replace('-', '')}T080000Z.round.toml").write_text(head + crc + events)
PY
"$bin" check "$work"/bench-00/loops/loop-00-0000/*.toml >/dev/null
most=0
for bench in "$work"/bench-*; do
  python3 - "$bin" "$work" "$bench" <<'PY' | tee "$work/said"
import os, resource, shutil, subprocess, sys, time
binary, work, bench = sys.argv[1:]
start = time.monotonic()
shutil.copytree(bench, work + "/copy")
os.sync()
copied = time.monotonic() - start
shutil.rmtree(work + "/copy")
start = time.monotonic()
subprocess.run([binary, "--data", work + "/all", "join", bench, "--yes"], check=True, stdout=subprocess.DEVNULL)
joined = time.monotonic() - start
memory = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
print(f"{os.path.basename(bench)}: joined in {joined:.2f} s, copied and synced in {copied:.2f} s, x {joined / copied:.1f}; {memory:.0f} MB")
PY
  memory=$(sed 's/.*; \([0-9]*\) MB/\1/' "$work/said")
  [ "$memory" -le "$most" ] || most=$memory
done
found=$(find "$work/all" -name '*.round.toml' | wc -l)
[ "$found" = $((folders * rounds)) ] || { echo "join: $found rounds of $((folders * rounds))"; exit 1; }
[ "$most" -lt 60 ] || { echo "join: $most MB of memory"; exit 1; }
start=$(date +%s.%N)
"$bin" --data "$work/all" loops --format csv >"$work/loops.csv"
echo "join: $found rounds of $folders folders, at most $most MB; all loops listed in $(echo "$(date +%s.%N) - $start" | bc) s"
