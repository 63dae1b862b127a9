# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# shellcheck shell=sh
# Sourced by the demo, the tests and the build for the browser: installs what is missing (Debian), builds, and leaves
# $root set, unless a script in a deeper folder has set it.

root=${root:-$(cd "$(dirname "$0")/.." && pwd)}
# shellcheck disable=SC2034 # used by the scripts that source it
build_packages="build-essential meson ninja-build pkg-config libglib2.0-dev libyaml-dev libcairo2-dev libpango1.0-dev \
  libharfbuzz-dev libarchive-dev libexpat1-dev zlib1g-dev libsndfile1-dev fonts-dejavu-core"

as_root() {
  if [ "$(id -u)" -eq 0 ]; then
    env DEBIAN_FRONTEND=noninteractive "$@"
  elif command -v sudo >/dev/null 2>&1; then
    sudo env DEBIAN_FRONTEND=noninteractive "$@"
  else
    echo "Packages are missing: run this as root, or install sudo." >&2
    exit 2
  fi
}

install_missing() {
  missing=
  for package in "$@"; do
    dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'install ok installed' || missing="$missing $package"
  done
  if [ -n "$missing" ]; then
    echo "Installing:$missing"
    as_root apt-get -qq update </dev/null
    # shellcheck disable=SC2086 # one word a package
    as_root apt-get -qq install --no-install-recommends $missing </dev/null >/dev/null
  fi
}

# build FOLDER [MESON OPTION...]
build() {
  folder=$1
  shift
  if [ ! -f "$folder/build.ninja" ]; then
    meson setup "$folder" "$root" "$@" >/dev/null
  fi
  ninja -C "$folder" >"$folder/build.log" || { cat "$folder/build.log"; exit 1; }
}
