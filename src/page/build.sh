#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# Builds the program for the browser (Debian 12): installs what is missing, builds its libraries once (some minutes, kept
# in the cache folder), and leaves in build-page the program, rowcall.wasm, its loader, and the page, rowcall.html.

set -eu
root=$(cd "$(dirname "$0")/../.." && pwd)
. "$root/src/setup.sh"
. "$root/src/page/deps.sh"

# Debian's emscripten runs with Debian's Python and modules, also where other ones come first.
export PATH="/usr/bin:$PATH" NODE_PATH=/usr/share/nodejs
install_missing build-essential dpkg-dev emscripten libpcre2-dev meson ninja-build nodejs patch pkg-config python3
libraries

page=$root/build-page
build "$page" --cross-file "$root/src/page/emscripten.ini" -Dpkg_config_path="$prefix/lib/pkgconfig" -Dbuildtype=release \
  -Dpictures=false -Dtests=false
cp "$page/src/page/rowcall.wasm" "$page/"
cat "$page/src/page/rowcall.js" "$root/src/page/engine.js" >"$page/engine.js"
node "$root/src/page/assemble.mjs" "$page" "$root/corpus" "$root/LICENSE" "$page/rowcall.html"
