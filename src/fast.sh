#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# Builds for speed: fast.sh FOLDER [MESON OPTION...]. What GCC learns from a run over invented books (which branches are
# taken, which functions matter) goes into a second compilation, together with link time optimization. The run has one thread
# and fixed addresses, so that the same sources give the same program.
#
#   fast.sh --learn FOLDER     # only the run: FOLDER was built with -Db_pgo=generate

set -eu
. "$(dirname "$0")/setup.sh"

# Other tunes than the benchmarks have.
learn() {
  program=$1/src/rowcall
  books=$1/learning
  rm -rf "$books"
  mkdir "$books"
  for kind in yaml abc musicxml; do
    python3 "$root/tests/bench/make_books.py" $kind 2000000 "$books/book.$kind" 900001
    setarch -R "$program" compare --threads 1 "$books/book.$kind" >/dev/null
  done
  on="--on 48-8x6"
  for command in "list $on" "learn $on" "keys $on" "heat $on" sizes "tune --on 24" "tune --on 120 --prefer ease" \
    "shop $root/corpus/window.offers" "report -o $books/report.pdf" "sheet $on -o $books/sheet.pdf" \
    "listen $on --title bonnet -o $books/bonnet.wav" "listen $on --title bonnet -o $books/bonnet.flac"; do
    # shellcheck disable=SC2086 # words of a command
    setarch -R "$program" $command --threads 1 "$root/corpus" >/dev/null
  done
}

if [ "$1" = --learn ]; then
  learn "$2"
  exit
fi
folder=$1
if [ -f "$folder/build.ninja" ]; then # which a run has taught before
  meson configure "$folder" -Db_pgo=generate
  find "$folder" -name '*.gcda' -delete
fi
build "$@" -Dbuildtype=release -Db_lto=true -Db_pgo=generate
learn "$folder"
meson configure "$folder" -Db_pgo=use
build "$folder"
