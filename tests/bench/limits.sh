#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# Installs what is missing, builds for speed, and prints what the worst inputs cost, in seconds and memory:
# limits.sh [PART OF A NAME...]. It writes a few GiB to a scratch folder.

set -eu
. "$(dirname "$0")/../../src/setup.sh"
root=$(cd "$(dirname "$0")/../.." && pwd)

# shellcheck disable=SC2086 # one word a package
install_missing $build_packages python3
build "$root/build-bench" -Dbuildtype=release -Dtests=false -Dbench=true
python3 "$root/tests/bench/limits.py" "$root/build-bench/src/rowcall" "$@"
