#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# Installs what is missing, builds for speed, and times rowcall beside the reference programs: run.sh [ROUNDS].

set -eu
. "$(dirname "$0")/../../src/setup.sh"
root=$(cd "$(dirname "$0")/../.." && pwd)

# shellcheck disable=SC2086 # one word a package
install_missing $build_packages abcmidi python3
sh "$root/src/fast.sh" "$root/build-bench" -Dtests=false -Dbench=true
python3 "$root/tests/bench/run.py" "$root/build-bench/src/rowcall" "$root/build-bench/tests" \
  "$root/build-bench/books" "${1:-7}"
