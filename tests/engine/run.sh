#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# The program as WebAssembly: run.sh [ROWCALL]. Builds it with its tests in build-engine and runs these under node; holds its
# answers against those of the native program ROWCALL (default: that of build-release) byte by byte, under node and in a worker
# of a page opened from a file in Chromium and in Firefox; and has questions fail beside others.

set -eu
root=$(cd "$(dirname "$0")/../.." && pwd)
. "$root/src/setup.sh"
program=${1:-$root/build-release/src/rowcall}
unset CC CXX

install_missing abcm2ps abcmidi chromium firefox-esr node-ws python3 zstd
[ -x "$program" ] || { echo "There is no $program: build it first, or name another." >&2; exit 2; }

status=0
sh "$root/src/page/build.sh" build-engine -Dtests=true -Dwerror=true
PATH="/usr/bin:$PATH" meson test -C "$root/build-engine" --no-rebuild --print-errorlogs --timeout-multiplier 4 || status=1
node "$root/tests/engine/faults.mjs" "$root/build-engine" || status=1
node "$root/tests/engine/answers.mjs" "$program" "$root/build-engine" "$root/corpus" node chromium firefox || status=1
exit $status
