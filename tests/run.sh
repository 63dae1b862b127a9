#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# Installs what is missing and runs all checks: the tests with GCC and Clang, as it ships and with the address and
# undefined-behaviour sanitizers, warnings as errors; the linters; the fuzz targets for some seconds each; valgrind;
# the program for the browser under node, Chromium and Firefox, and its page there.
# Prints the seconds that each part took, and last how many tests and other checks passed.

set -eu
. "$(dirname "$0")/../src/setup.sh"

started=$(date +%s)
lap=$started
times=
took() {
  now=$(date +%s)
  times="$times, $1 $((now - lap)) s"
  lap=$now
}

# shellcheck disable=SC2086 # one word a package
install_missing $build_packages abcm2ps abcmidi clang clang-format clang-tidy cppcheck fish g++ groff-base libc6-dbg \
  libcmocka-dev libjansson-dev libclang-rt-14-dev llvm locales mandoc mma poppler-utils pyflakes3 python3 qpdf shellcheck valgrind \
  wamerican zsh
took installing

# A language that writes decimals with a comma, for the tests that must not mind.
LOCPATH=$root/build-locale
export LOCPATH
if [ ! -d "$LOCPATH/de_DE.UTF-8" ]; then
  mkdir -p "$LOCPATH"
  localedef -i de_DE -f UTF-8 "$LOCPATH/de_DE.UTF-8"
fi
[ "$(LC_ALL=de_DE.UTF-8 locale decimal_point)" = , ] || { echo "The locale de_DE.UTF-8 writes no commas." >&2; exit 1; }

export ASAN_OPTIONS=detect_leaks=1:strict_string_checks=1
export UBSAN_OPTIONS=halt_on_error=1:print_stacktrace=1
export LSAN_OPTIONS="suppressions=$root/tests/leaks.supp:print_suppressions=0"
export G_SLICE=always-malloc

# tests NAME "SUITE..." [MESON OPTION...]: builds in build-NAME and runs those suites, or all.
status=0
tests() {
  name=$1
  suites=$2
  shift 2
  echo "== $name"
  build "$root/build-$name" -Dwerror=true "$@"
  took "building $name"
  # shellcheck disable=SC2086 # one word a suite
  meson test -C "$root/build-$name" --no-rebuild --print-errorlogs --timeout-multiplier 4 $suites || status=1
  took "testing $name"
}

# check NAME COMMAND...
checks=
check() {
  name=$1
  shift
  echo "== $name"
  if "$@"; then checks="$checks OK"; else checks="$checks FAILED"; fi
  took "$name"
}

# What takes seconds comes first.
for linter in clang-format names pyflakes shellcheck; do
  check "$linter" sh "$root/tests/lint.sh" "$root" "$linter"
done

# GCC runs everything as it ships, Clang everything under its sanitizers; Clang's optimizer, which sees other things, runs
# the library without pictures and sound.
tests release "" -Dbuildtype=release
export CC=clang CXX=clang++
tests smallest "--suite unit --suite reference" -Dbuildtype=release -Dpictures=false -Dsound=false
tests sanitize "" -Dbuildtype=debugoptimized -Db_sanitize=address,undefined -Db_lundef=false -Dfuzz=true

for linter in clang-tidy cppcheck; do
  check "$linter" sh "$root/tests/lint.sh" "$root/build-sanitize" "$linter"
done
check fuzz env FUZZ_BUILD="$root/build-sanitize" sh "$root/tests/fuzz/run.sh" 3
check mutate python3 "$root/tests/fuzz/mutate.py" "$root/build-sanitize/src/rowcall" 20
check valgrind sh "$root/tests/valgrind.sh" "$root/build-release"

# The program for the browser, and the page that holds it.
unset CC CXX
check engine sh "$root/tests/engine/run.sh" "$root/build-release/src/rowcall"
check page sh "$root/src/page/build.sh"
check browser sh "$root/tests/page/browser.sh" "$root/build-release/src/rowcall"

# What each outside check compared, as the tests printed it, and the sum of it all.
echo "Seconds: $((lap - started))${times}."
# shellcheck disable=SC2086 # one word a check
python3 - "$root" $checks <<'PYTHON' || status=1
import json, sys
root, *results = sys.argv[1:]
for name in "release", "smallest", "sanitize", "engine":
    for line in open(f"{root}/build-{name}/meson-logs/testlog.json", encoding="utf-8"):
        test = json.loads(line)
        results.append(test["result"])
        if name == "release" and test["name"].startswith("rowcall:reference"):
            for said in test.get("stdout", "").splitlines():
                if said and said[0] != "[":
                    print(said)
passed, skipped = results.count("OK"), results.count("SKIP")
failed = len(results) - passed - skipped
print(f"{passed} passed, {failed} failed, {skipped} skipped")
sys.exit(failed > 0)
PYTHON
exit $status
