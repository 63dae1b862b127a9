#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# Fuzzes every reader with clang's libFuzzer: run.sh [SECONDS EACH, default 60]. Findings are left in build-fuzz.

set -eu
. "$(dirname "$0")/../../src/setup.sh"
root=$(cd "$(dirname "$0")/../.." && pwd)

# shellcheck disable=SC2086 # one word a package
install_missing $build_packages clang libclang-rt-14-dev python3
export CC=clang
build "$root/build-fuzz" -Dtests=false -Dfuzz=true -Dbuildtype=debugoptimized -Db_lundef=false \
  -Db_sanitize=address,undefined
cd "$root/build-fuzz"
for target in symbol layout offers tunes abc; do
  mkdir -p "seeds-$target"
  case $target in
    symbol) tail -n +7 "$root/tests/reference/npm-chords.tsv" | cut -f 2 | while read -r chord; do
              printf '%s' "$chord" >"seeds-symbol/$(printf '%s' "$chord" | cksum | cut -d ' ' -f 1)"
            done ;;
    layout) cp "$root"/layouts/*.yaml seeds-layout ;;
    offers) cp "$root"/corpus/*.offers seeds-offers ;;
    abc) cp "$root"/tests/corpus_abc/*/*.abc seeds-abc ;;
    tunes) cp "$root"/corpus/*.yaml seeds-tunes # and ABC, which is told by its first line
           for first in 1 2 3 4; do
             python3 "$root/tests/bench/make_books.py" abc 1500 "seeds-tunes/$first.abc" "$first"
           done ;;
  esac
  echo "== $target"
  "tests/fuzz_$target" -max_total_time="${1:-60}" -max_len=8192 -timeout=10 "seeds-$target" >"$target.log" 2>&1 ||
    { tail -n 40 "$target.log"; exit 1; }
  tail -n 1 "$target.log"
done
