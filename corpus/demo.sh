#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# Installs what is missing, builds, and rolls the club's books: the table on the terminal, the report as a PDF.

set -eu
. "$(dirname "$0")/../src/setup.sh"

# shellcheck disable=SC2086 # one word a package
install_missing $build_packages
build "$root/build" -Dtests=false -Dbuildtype=release
cd "$root"
build/src/rowcall compare corpus
build/src/rowcall report corpus --on 48-8x6 --title "The Harrowmere Squeezers: all our books" -o build/report.pdf
for tune in waltzes:lamps jigs-and-reels:bonnet; do # the same stand-in for B minor, slow and fast
  for how in stand-in wanted; do
    # shellcheck disable=SC2046 # one word or none
    build/src/rowcall listen "corpus/${tune%:*}.yaml" --title "${tune#*:}" --part A --on 48-8x6 \
      $([ $how = stand-in ] || echo --wanted) -o "build/${tune#*:}-$how.wav" >/dev/null
  done
done
echo
echo "The report is in $root/build/report.pdf"
echo "Listen to a waltz and a jig, with the stand-in and as wanted: $root/build/lamps-*.wav, $root/build/bonnet-*.wav"
if [ -f "$root/build-page/rowcall.html" ]; then
  build/src/rowcall page corpus --on 48-8x6 -o build/squeezers.html >/dev/null
  echo "The same in a browser, on a phone too: open $root/build/squeezers.html"
else
  echo "The same in a browser, on a phone too: run sh src/page/build.sh, then open build-page/rowcall.html"
fi
echo "To go on: corpus/TUTORIAL.md, from a question to a purchase; or build/src/rowcall --help"
