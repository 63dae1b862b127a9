#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# Builds the program for the browser (Debian 12): build.sh [FOLDER [MESON OPTION...]]. Installs what is missing, builds its
# libraries once (some minutes, kept in the cache folder), and leaves in FOLDER, by default build-page, the program,
# rowcall.wasm, its loader, engine.js, the notices of all that is linked in, NOTICES, and the page, rowcall.html.

set -eu
root=$(cd "$(dirname "$0")/../.." && pwd)
. "$root/src/setup.sh"
. "$root/src/page/deps.sh"

# Debian's emscripten runs with Debian's Python and modules, also where other ones come first.
export PATH="/usr/bin:$PATH" NODE_PATH=/usr/share/nodejs
install_missing build-essential dpkg-dev emscripten libpcre2-dev meson ninja-build nodejs patch pkg-config python3
libraries

notices() {
  cat "$root/LICENSE" "$root/src/page/NOTICES"
  for notice in "$prefix/notices"/*; do
    printf '\n---- %s\n\n' "${notice##*/}"
    cat "$notice"
  done
  printf '\n---- musl, the C library of emscripten\n\n'
  cat /usr/share/emscripten/system/lib/libc/musl/COPYRIGHT
}

page=$root/${1:-build-page}
[ $# -eq 0 ] || shift
build "$page" --cross-file "$root/src/page/emscripten.ini" -Dpkg_config_path="$prefix/lib/pkgconfig" -Dbuildtype=release \
  -Dpictures=false -Dtests=false "$@"
cp "$page/src/page/rowcall.wasm" "$page/"
cat "$page/src/page/rowcall.js" "$root/src/page/engine.js" >"$page/engine.js"
notices >"$page/NOTICES"
node "$root/src/page/assemble.mjs" "$page" "$root/corpus" "$page/NOTICES" "$page/rowcall.html"
