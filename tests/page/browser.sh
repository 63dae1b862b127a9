#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# The page in Chromium and Firefox, held against the native program: sh tests/page/browser.sh ROWCALL [NAME...], after
# src/page/build.sh. Installs what is missing. Pictures of all views are left in build-page/pictures; on a busy machine
# ROWCALL_PATIENCE=3 gives three times as long. What package.json asks for has to run with Debian 12's node, version 18.

set -eu
root=$(cd "$(dirname "$0")/../.." && pwd)
. "$root/src/setup.sh"

rowcall=$(realpath "$1")
shift
page=$root/build-page/rowcall.html
[ -f "$page" ] || { echo "There is no $page: build it with sh src/page/build.sh." >&2; exit 2; }
install_missing chromium firefox-esr nodejs fonts-dejavu-core
command -v npm >/dev/null 2>&1 || install_missing npm

work=$root/build-page/browser
mkdir -p "$work"
cp "$root"/tests/page/*.mjs "$root/tests/page/package.json" "$work/"
npm install --prefix "$work" --silent --no-audit --no-fund
"$work/node_modules/.bin/tsc" -p "$root/tests/page/tsconfig.json"
echo "ok the types"
node "$work/browser.mjs" "$rowcall" "$root/corpus" "$page" "$root/build-page/pictures" "$@"
[ $# -gt 0 ] || node "$work/firefox.mjs" "$rowcall" "$root/corpus" "$page"
