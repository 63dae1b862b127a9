#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# Installs what is missing, builds twice (as it ships, and with the address and undefined-behaviour sanitizers, both with
# warnings as errors) and runs all tests on both.

set -eu
. "$(dirname "$0")/../src/setup.sh"

# shellcheck disable=SC2086 # one word a package
install_missing $build_packages abcm2ps abcmidi libcmocka-dev locales mma poppler-utils python3 qpdf

# A language that writes decimals with a comma, for the tests that must not mind.
LOCPATH=$root/build-locale
export LOCPATH
if [ ! -d "$LOCPATH/de_DE.UTF-8" ]; then
  mkdir -p "$LOCPATH"
  localedef -i de_DE -f UTF-8 "$LOCPATH/de_DE.UTF-8"
fi

export ASAN_OPTIONS=detect_leaks=1:strict_string_checks=1
export UBSAN_OPTIONS=halt_on_error=1:print_stacktrace=1
export LSAN_OPTIONS="suppressions=$root/tests/leaks.supp:print_suppressions=0"
export G_SLICE=always-malloc

status=0
run() {
  name=$1
  shift
  echo "== $name"
  build "$root/build-$name" -Dwerror=true "$@"
  meson test -C "$root/build-$name" --no-rebuild --print-errorlogs --timeout-multiplier 4 || status=1
}

run release -Dbuildtype=release
run sanitize -Dbuildtype=debug -Db_sanitize=address,undefined -Db_lundef=false

# What each outside check compared, as the tests printed it, and the sum of both runs.
python3 - "$root/build-release" "$root/build-sanitize" <<'PYTHON'
import json, sys
passed = failed = 0
for number, folder in enumerate(sys.argv[1:]):
    for line in open(folder + "/meson-logs/testlog.json", encoding="utf-8"):
        test = json.loads(line)
        passed += test["result"] == "OK"
        failed += test["result"] != "OK"
        if not number and test["name"].startswith("rowcall:reference"):
            for said in test.get("stdout", "").splitlines():
                if said and said[0] != "[":
                    print(said)
print(f"{passed} passed, {failed} failed")
PYTHON
exit $status
