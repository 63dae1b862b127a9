#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# Which lines and branches the tests run: coverage.sh [FILE...]. Builds in build-coverage, runs the tests and prints for
# each file of src the lines run with the numbers of those that were not, then the branches taken. With FILEs of src it
# shows in each of them the lines that no test ran.

set -eu
. "$(dirname "$0")/../src/setup.sh"

# shellcheck disable=SC2086 # one word a package
install_missing $build_packages abcm2ps abcmidi gcovr libcmocka-dev libjansson-dev mma poppler-utils python3 qpdf
build "$root/build-coverage" -Dbuildtype=debug -Db_coverage=true
cd "$root/build-coverage"
find . -name '*.gcda' -delete
# `installed` cannot link what gcov has been compiled into; in `faults`, nobody may not write what gcov counts.
meson test --no-rebuild --no-suite installed --timeout-multiplier 4 | grep -E 'FAIL|TIMEOUT|^(Ok|Fail):' || true

cover() {
  gcovr --root "$root" --filter "$root/src/" --exclude-throw-branches --sort-uncovered . "$@"
}
if [ $# -eq 0 ]; then
  cover --txt
  cover --txt --branches | cut -c 1-78
  cover --print-summary | tail -n 3
  exit
fi
cover --json coverage.json >/dev/null
python3 - "$root" "$@" <<'PYTHON'
import json, sys
root, *names = sys.argv[1:]
with open("coverage.json", encoding="utf-8") as file:
    files = {entry["file"]: entry["lines"] for entry in json.load(file)["files"]}
for name in names:
    with open(f"{root}/{name}", encoding="utf-8") as file:
        text = file.read().splitlines()
    for line in files[name]:
        if not line["count"] and not line["gcovr/noncode"]:
            print(f"{name}:{line['line_number']}: {text[line['line_number'] - 1].strip()}")
PYTHON
