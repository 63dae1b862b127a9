#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# Fuzzes with clang's libFuzzer under the address and undefined-behaviour sanitizers: run.sh [SECONDS EACH, default 60
# [TARGET...]], as many targets at once as there are cores. Prints for each target how much was tried, shows what was found
# and fails where anything was. Inputs that make trouble are left as findings/TARGET-* in the build folder, and what was
# learnt as corpus-TARGET, from which the next run goes on. FUZZ_BUILD names another build folder (default build-fuzz),
# which may be there already, set up with clang, -Dfuzz=true and both sanitizers; FUZZ_SEED another seed than 1.

set -eu
. "$(dirname "$0")/../../src/setup.sh"
root=$(cd "$(dirname "$0")/../.." && pwd)
fuzz=$root/tests/fuzz
folder=${FUZZ_BUILD:-$root/build-fuzz}
seconds=${1:-60}
[ $# -eq 0 ] || shift

# shellcheck disable=SC2086 # one word a package
install_missing $build_packages clang libclang-rt-14-dev python3
export CC=clang
build "$folder" -Dtests=false -Dfuzz=true -Dbuildtype=debugoptimized -Db_lundef=false -Db_sanitize=address,undefined
cd "$folder"
mkdir -p findings

export LSAN_OPTIONS="suppressions=$root/tests/leaks.supp:print_suppressions=0"
export UBSAN_OPTIONS=halt_on_error=1:print_stacktrace=1
export G_SLICE=always-malloc

# What a target starts from: seeds of its own, and what the other tests and the demo have of its format.
lay_seeds() {
  rm -rf "seeds-$1"
  mkdir -p "seeds-$1" "corpus-$1"
  [ ! -d "$fuzz/seeds/$1" ] || cp "$fuzz/seeds/$1"/* "seeds-$1"
  case $1 in
    symbol) tail -n +7 "$root/tests/reference/npm-chords.tsv" | cut -f 2 | cat - "$fuzz/seeds/symbols.txt" |
              awk '{ name = "seeds-symbol/" NR; printf "%s", $0 >name; close(name) }' ;;
    layout) cp "$root"/layouts/*.yaml seeds-layout ;;
    offers) cp "$root"/corpus/*.offers seeds-offers ;;
    tunes) cp "$root"/corpus/*.yaml seeds-tunes # and ABC, which is recognized by its first line
           for first in 1 2 3 4; do
             python3 "$root/tests/bench/make_books.py" abc 1500 "seeds-tunes/$first.abc" "$first"
           done ;;
    abc) cp "$root"/tests/corpus_abc/*/*.abc seeds-abc ;;
    musicxml) cp "$root"/tests/reference/scores/*.musicxml "$root"/tests/reference/written/*.musicxml seeds-musicxml ;;
    chordpro) cp "$root"/tests/reference/songs/*.cho seeds-chordpro ;;
    whole) python3 - <<'PYTHON' # bytes of which boards and books are drawn
import random
for number in range(16):
    draw = random.Random(number)
    with open(f"seeds-whole/{number}", "wb") as file:
        file.write(bytes(draw.randrange(256) for _ in range(draw.randrange(100, 900))))
PYTHON
           ;;
  esac
}

# Fuzzes one target and prints what it tried; leaves TARGET.failed unless it found nothing.
fuzz_target() {
  : >"$1.failed"
  longest=8192
  entropic=1
  export ASAN_OPTIONS=detect_leaks=1
  if [ "$1" = whole ]; then
    longest=1024
    entropic=0 # a third of the time where a case has so many features
    # The caches of the font libraries cannot always be told from leaks, being made where no frame is kept; the test
    # `whole` looks for leaks in the same cases.
    export ASAN_OPTIONS=detect_leaks=0
  fi
  target=$1
  set -- "-max_total_time=$seconds" "-seed=${FUZZ_SEED:-1}" "-max_len=$longest" "-entropic=$entropic" -timeout=20 -rss_limit_mb=3000 \
    -print_final_stats=1 "-artifact_prefix=findings/$target-"
  [ ! -f "$fuzz/$target.dict" ] || set -- "$@" "-dict=$fuzz/$target.dict"
  failed=0
  "tests/fuzz_$target" "$@" "corpus-$target" "seeds-$target" >"$target.log" 2>&1 || failed=1
  awk -v name="$target" -v seconds="$seconds" -v failed="$failed" '
    /^stat::number_of_executed_units/ { executions = $2 }
    /^stat::average_exec_per_sec/ { each = $2 }
    END { printf "%-10s %8d %12d %10d %9d\n", name, seconds, executions, each, failed }' "$target.log"
  [ "$failed" -ne 0 ] || rm "$target.failed"
}

[ $# -gt 0 ] || set -- symbol layout offers tunes abc musicxml chordpro words whole
printf '%-10s %8s %12s %10s %9s\n' target seconds executions a-second findings
started=0
for target in "$@"; do # as many at once as there are cores
  lay_seeds "$target"
  fuzz_target "$target" &
  started=$((started + 1))
  [ $((started % $(nproc))) -ne 0 ] || wait
done
wait
status=0
for target in "$@"; do
  [ -f "$target.failed" ] || continue
  tail -n 60 "$target.log"
  status=1
done
exit $status
