#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# sh tests/package.sh [FOLDER]: builds the Debian packages of the last commit (their tests run too), builds them once more
# elsewhere and compares the bytes, asks lintian, then installs them on a clean Debian in FOLDER, uses them as a plain
# user, purges them and looks for what is left. As root on Debian; some minutes. FOLDER is a new one of mktemp otherwise.
# Its name holds no blank, which the compiler's flags for reproducible paths do not allow.

# shellcheck disable=SC2016 # text in single quotes is for dpkg or for another shell

set -eu
. "$(dirname "$0")/../src/setup.sh"

[ "$(id -u)" -eq 0 ] || { echo "Run this as root: it makes a Debian of its own." >&2; exit 2; }
install_missing debootstrap dpkg-dev debhelper git lintian
work=${1:-$(mktemp -d)}
mkdir -p "$work"
[ -z "$(ls -A "$work")" ] || { echo "$work is not empty." >&2; exit 2; }
clean=$work/root
step() { echo "== $*"; }
fail() { echo "FAILED: $*" >&2; exit 1; }

# build_packages FOLDER LOG [VARIABLE=VALUE...]
build_packages() {
  folder=$1/rowcall
  log=$2
  shift 2
  mkdir -p "$folder"
  git -C "$root" archive HEAD | tar x -C "$folder"
  (cd "$folder" && env "$@" dpkg-buildpackage -b -us -uc) >"$log" 2>&1 || { tail -n 60 "$log"; fail "the build"; }
}

version=$(dpkg-parsechangelog -l "$root/debian/changelog" -S Version)
grep "version: '$version'" "$root/meson.build" >/dev/null || fail "debian/changelog says $version, meson.build does not"

step build, with tests
mkdir "$work/first"
git -C "$root" archive HEAD debian | tar x -C "$work/first"
(cd "$work/first" && as_root apt-get -qq build-dep --no-install-recommends . </dev/null >/dev/null)
build_packages "$work/first" "$work/build.log"
grep -E '^ *(Ok|Fail|Skipped): |left out' "$work/build.log"

step build once more, elsewhere, in another time zone and language
build_packages "$work/second/elsewhere" "$work/build-again.log" DEB_BUILD_OPTIONS=nocheck TZ=Asia/Tokyo LC_ALL=C
for package in "$work"/first/*.deb; do
  cmp "$package" "$work/second/elsewhere/${package##*/}" || fail "${package##*/} differs"
  sha256sum "$package" | sed "s|$work/first/||"
done

# Bytes of machine code may read as a misspelled word; the sources are proofread.
step lintian
lintian --info --display-info --pedantic --fail-on error,warning,info,pedantic \
  --suppress-tags spelling-error-in-binary "$work"/first/*.changes

step a clean Debian
codename=$(. /etc/os-release && echo "$VERSION_CODENAME")
mirror=$(apt-get indextargets --format '$(CODENAME) $(REPO_URI)' 'Created-By: Packages' 'Origin: Debian' | sed -n "s/^$codename //p" | head -n 1)
debootstrap --variant=minbase "$codename" "$clean" "$mirror" >"$work/debootstrap.log" || fail "debootstrap"
in_clean() { chroot "$clean" env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin DEBIAN_FRONTEND=noninteractive LC_ALL=C.UTF-8 "$@"; }
as_player() { in_clean su -l player -c "$1"; }
everything() { (cd "$clean" && find . -xdev ! -path './var/cache/*' ! -path './var/log/*' ! -path './var/lib/dpkg/*' ! -path './var/lib/apt/*' ! -path './home/*' ! -path './tmp/*' | sort); }
mount -t proc proc "$clean/proc"
trap 'umount "$clean/proc"' EXIT
cp "$work"/first/rowcall_*.deb "$work"/first/librowcall0_*.deb "$work"/first/librowcall-dev_*.deb "$clean/tmp/"
in_clean useradd -m -s /bin/bash player
for package in "$clean"/tmp/*.deb; do
  in_clean apt-get -qq satisfy --no-install-recommends "$(dpkg-deb -f "$package" Depends | sed 's/librowcall0 ([^)]*),* *//')" >"$work/apt.log" 2>&1 || fail "$package"
done
in_clean apt-get -qq install --no-install-recommends bash-completion gcc libc6-dev man-db pkg-config >>"$work/apt.log" 2>&1
everything >"$work/before"

step install and use
in_clean sh -c 'apt-get -qq install --no-install-recommends /tmp/*.deb' >>"$work/apt.log" 2>&1 || fail "install"
as_player 'rowcall --help' | grep 'Tunes to try.*: /usr/share/rowcall/corpus' >/dev/null || fail "the help names no tunes"
as_player 'rowcall compare /usr/share/rowcall/corpus' | sed -n '1p;/^layout/p;/^48-.* /p'
as_player 'rowcall compare /usr/share/rowcall/corpus' | grep '^51 tunes from 6 files' >/dev/null || fail "compare"
as_player 'rowcall shop /usr/share/rowcall/corpus/window.offers /usr/share/rowcall/corpus' | grep 'Chapel' >/dev/null || fail "shop"
as_player 'rowcall report /usr/share/rowcall/corpus --on 48-8x6 -o report.pdf'
head -c 5 "$clean/home/player/report.pdf" | grep %PDF- >/dev/null || fail "the report"
for page in rowcall rowcall-compare rowcall-tunes rowcall-layout; do
  as_player "man $page" | grep '^NAME' >/dev/null || fail "man $page"
done
as_player '. /usr/share/bash-completion/bash_completion; _completion_loader rowcall; COMP_WORDS=(rowcall tune --on 48) COMP_CWORD=3
  _rowcall; echo "${COMPREPLY[@]}"' | grep 48-8x6 || fail "completion"
as_player 'cc -o example /usr/share/doc/librowcall-dev/examples/example.c $(pkg-config --cflags --libs rowcall) &&
  ./example 48-8x6 /usr/share/rowcall/corpus' | tail -n 1

step remove
in_clean apt-get -qq purge rowcall librowcall-dev librowcall0 >>"$work/apt.log" 2>&1 || fail "purge"
everything | diff "$work/before" - || fail "something is left"
[ -z "$(in_clean dpkg-query -f '${Package}\n' -W '*rowcall*' 2>/dev/null)" ] || fail "dpkg still knows it"
echo "All well. What was built lies in $work."
