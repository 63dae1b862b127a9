#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# install.sh PAGE INSTALLED, run by `meson install`: installs the page where build.sh has built it.

set -eu
[ -f "$1" ] || exit 0
to=${DESTDIR:-}$2
mkdir -p "$(dirname "$to")"
cp "$1" "$to"
chmod 644 "$to"
echo "Installing $1 to $(dirname "$to")"
