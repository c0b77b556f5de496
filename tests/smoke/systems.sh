#!/usr/bin/env bash
# The other systems, from Debian: the crate compiles for Windows and macOS without a warning, and the program built for
# Windows does under Wine what the one built for this system does here.
#
#   systems.sh check          compile only, for both (some minutes on two cores, 1 when done before)
#   systems.sh macos          compile for macOS alone
#   systems.sh run BINARY     build for Windows and run it under Wine beside BINARY
#   systems.sh release       build for Windows as it is given away, and print where the program lies
#   INSTALL=1 systems.sh ...  install what is missing first, as is done where CI is set
#
# Packages: rustc-web cargo-web rust-web-src carry a compiler whose library source lies in place, so that the standard
# library is built for a target that nobody packages; gcc-mingw-w64-x86-64-win32 links; wine64 runs.
# The Rust of this project and its target folder are not touched.
set -euo pipefail
mode=${1:?check, macos, run or release}
bin=$(realpath "${2:-/dev/null}")
cd "$(dirname "$0")/../.."
packages=(rustc-web cargo-web rust-web-src)
[ "$mode" = macos ] || packages+=(gcc-mingw-w64-x86-64-win32)
[ "$mode" != run ] || packages+=(wine64)

missing() { for name in "${packages[@]}"; do dpkg -s "$name" >/dev/null 2>&1 || echo "$name"; done; }
if [ -n "$(missing)" ] && [ -n "${CI:-}${INSTALL:-}" ] && command -v apt-get >/dev/null 2>&1; then
  # shellcheck disable=SC2046 # names of packages have no blanks
  (apt-get update -qq && apt-get install -y -qq --no-install-recommends $(missing)) >/dev/null 2>&1 || true
fi
if [ -n "$(missing)" ]; then
  echo "systems: left out, not installed: $(missing | tr '\n' ' ')"
  [ "$mode" != release ] || exit 1
  exit 0
fi

export CARGO_TARGET_DIR=${CARGO_TARGET_DIR:-target}/systems
export RUSTC_BOOTSTRAP=1 RUSTC=/usr/bin/rustc CARGO_TARGET_X86_64_PC_WINDOWS_GNU_LINKER=x86_64-w64-mingw32-gcc
unset RUSTUP_TOOLCHAIN RUSTFLAGS CARGO_ENCODED_RUSTFLAGS
windows=x86_64-pc-windows-gnu
mac=x86_64-apple-darwin
# Nothing is measured or debugged here: the cheapest build will do.
cargo_for() {
  local target=$1 verb=$2
  shift 2
  nice -n 10 /usr/bin/cargo "$verb" "$@" --locked --quiet --bin evenbite --target "$target" \
    -Zbuild-std=std,panic_unwind -Zwarnings --config 'build.warnings="deny"' \
    --config 'profile.dev.debug=0' --config 'profile.dev.package."*".opt-level=0'
}
timed() { local start=$SECONDS; "$@"; echo "systems: $* took $((SECONDS - start)) s"; }

if [ "$mode" = macos ]; then
  timed cargo_for "$mac" check
  echo "systems: compiles for macOS"
  exit 0
fi
if [ "$mode" = check ]; then
  timed cargo_for "$windows" check
  timed cargo_for "$mac" check
  echo "systems: compiles for Windows and macOS"
  exit 0
fi
if [ "$mode" = release ]; then
  cargo_for "$windows" build --release >&2
  realpath "$CARGO_TARGET_DIR/$windows/release/evenbite.exe"
  exit 0
fi
timed cargo_for "$windows" build

work=$(mktemp -d)
wine=/usr/lib/wine/wine64
export WINEPREFIX=$work/prefix WINEDEBUG=-all
trap 'WINEPREFIX=$work/prefix /usr/lib/wine/wineserver64 -k >/dev/null 2>&1 || true; rm -rf "$work"' EXIT
cp "$CARGO_TARGET_DIR/$windows/debug/evenbite.exe" "$work/evenbite.exe"
# Wine of Debian 12 lacks the library that hash seeds come from; Windows has it.
cat >"$work/seeds.c" <<'C'
#include <windows.h>
#include <ntsecapi.h>
__declspec(dllexport) BOOL WINAPI ProcessPrng(PBYTE p, SIZE_T n) { return RtlGenRandom(p, (ULONG)n); }
C
x86_64-w64-mingw32-gcc -shared -o "$work/bcryptprimitives.dll" "$work/seeds.c" -ladvapi32

cp -r demo/workshop "$work/demo"
cd "$work"
there() { "$wine" "$work/evenbite.exe" "$@"; }
fail() { echo "systems: $*"; exit 1; }
there --version >/dev/null 2>&1 || fail "the program does not start under Wine"

# Tables, sheets and pages are the same bytes on both.
same() {
  "$bin" "$@" >here.out
  there "$@" >there.out
  cmp here.out there.out || fail "differs: $*"
}
for format in text html csv json; do
  same --format "$format" gaps three-eighths
  same --data demo --format "$format" sheet ridge-1
  same --data demo --format "$format" history ridge-1
done
same --data demo export
there check demo/loops/*/*.toml demo/saws/*.toml >/dev/null || fail "check finds a fault in the demo workshop"

# A file of readings, with the byte-order mark and the line ends that spreadsheets write there.
sides=(right left)
{
  printf '\xef\xbb\xbfcutter;side;length_mm\r\n'
  for n in $(seq 12); do printf '%d;%s;8,%02d\r\n' "$n" "${sides[n % 2]}" $((10 + n)); done
} >readings.csv
there --data own import readings.csv --loop taken --profile three-eighths --links 24 --keep --sharpener Ina --measured 2026-03-01 >/dev/null
"$bin" check own/loops/taken/*.round.toml >/dev/null
[ "$(grep -c '^kind = "length"' own/loops/taken/*.round.toml)" = 12 ] || fail "import lost readings"

# A whole round, its lines ended as there: killed in the middle, resumed, signed off.
lines() { sed 's/$/\r/'; }
intake() { printf '%s\n' new 'Säge 1' three-eighths 24 full left '' '' '' '' Ina any file mm length left 1 1 1 1 1 1 1 0.00; }
several() { for _ in $(seq "$1"); do echo "$2"; done; }
mkfifo pipe
there --data own --plain <pipe >killed.out &
pid=$!
exec 3>pipe
{ intake; several 7 9.11; } | lines >&3
for _ in $(seq 300); do grep -q 'Cutter 7: 9.11' killed.out && break; sleep 0.1; done
round=$(ls own/loops/s-ge-1/*.round.toml)
# One writer: another one is refused meanwhile, but everybody may read.
printf 's-ge-1\r\n' | there --data own --plain >second.out 2>&1 && fail "two programs write one round"
grep -q 'open in another window' second.out || { cat second.out; fail "the second writer is not told why"; }
there --data own sheet s-ge-1 >/dev/null || fail "an open round cannot be read"
kill -9 "$pid"; exec 3>&-; wait "$pid" 2>/dev/null || true
[ "$(grep -c '^kind = "length"' "$round")" = 7 ] || fail "killed: acknowledged readings are lost"
"$bin" check "$round" >/dev/null
{
  printf '%s\n' s-ge-1; several 5 9.11; echo # measured, the recommended length
  several 6 9.00; echo; several 6 9.00; echo # left, turned, right, the recommended gap
  several 12 0.65; several 14 ''; echo 1 # rakers, proof, sign-off
} | lines | there --data own --plain >rest.out
grep -q 'The round is closed' rest.out || { tail -3 rest.out; fail "the round cannot be ended"; }
"$bin" check "$round" >/dev/null && there check "$round" >/dev/null
same --data own --format json sheet s-ge-1
grep -q 'Säge 1' there.out || fail "a name lost its letters"
# Another folder brought in comes to the same files on both, and a backup made there comes back here.
mkdir a b
cp -r demo a/one && cp -r demo b/one && cp -r demo bench
there --data bench import readings.csv --loop taken --profile three-eighths --links 24 --keep --sharpener Ina --measured 2026-03-01 >/dev/null
sed -i 's/^owner = .*/owner = "the bench"/' bench/loops/hollow-2/loop.toml
"$bin" --data a/one join bench --yes >here.out || fail "join fails here"
there --data b/one join bench --yes | tr -d '\r' >there.out || fail "join fails there"
cmp here.out there.out && diff -r a/one b/one || fail "a join comes to something else"
grep -q 'Said differently, to be chosen: 1' here.out || fail "what is said differently is not asked"
there --data b/one questions --answer 1a >/dev/null || fail "a question cannot be answered"
there --data b/one backup kept.tar.gz >/dev/null || fail "no backup"
"$bin" --data back restore kept.tar.gz >/dev/null && diff -r b/one back || fail "a backup does not come back"
echo "systems: compiles for Windows; under Wine all as here"
