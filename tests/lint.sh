#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# Reads the sources without running them: lint.sh BUILD [LINTER...], by default with all linters. BUILD has been built
# with clang; clang-tidy finds there how each file is compiled.

set -eu
build=$(cd "$1" && pwd)
shift
cd "$(dirname "$0")/.."

find_files() {
  find . -path './build*' -prune -o -type f "$@" -print
}

lint() {
  case $1 in
    clang-format) find_files -name '*.[ch]' | xargs clang-format --dry-run -Werror ;;
    clang-tidy) # large files first, so that all cores are busy to the end; it counts on standard error what others' headers have
      find src -name '*.c' -printf '%s %p\n' | sort -rn | cut -d ' ' -f 2 |
        xargs -P "$(nproc)" -n 1 clang-tidy -p "$build" --quiet 2>"$build/clang-tidy.log" ||
        { grep -v 'warnings\? .*generated' "$build/clang-tidy.log"; return 1; } ;;
    cppcheck)
      cppcheck --quiet --error-exitcode=1 --std=c11 --enable=warning,style,performance,portability -j "$(nproc)" \
        --library=gtk --library=posix --suppressions-list=tests/cppcheck.supp -I include src include ;;
    names) # of files, of which a program run astray, or a careless "add all", leaves odd ones
      ! find . -path './build*' -prune -o -path ./.git -prune -o -name '*[!A-Za-z0-9._-]*' -print | grep . ;;
    pyflakes) find_files -name '*.py' | xargs pyflakes3 ;;
    shellcheck) { find_files -name '*.sh'; echo .ci/run; } | xargs shellcheck -x -P SCRIPTDIR ;;
    *) echo "lint.sh: $1 is none of clang-format, clang-tidy, cppcheck, names, pyflakes and shellcheck" >&2; return 1 ;;
  esac
}

[ $# -gt 0 ] || set -- clang-format clang-tidy cppcheck names pyflakes shellcheck
status=0
for linter in "$@"; do
  lint "$linter" || status=1
done
exit $status
