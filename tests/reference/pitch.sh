#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# How high the basses and chord tones of `rowcall listen` sound, by a pitch tracker that knows nothing of us: aubiopitch
# (Debian: aubio-tools, and sox for cutting). Run by hand: pitch.sh ROWCALL. On a board made for it each bass is
# beside a button that sounds nothing but its fifth, so that basses and chord tones are heard one at a time. Prints what
# was found for each note and fails where one is more than 2 cents from equal temperament at A 440.

set -eu
rowcall=$1
folder=$(mktemp -d)
trap 'rm -r "$folder"' EXIT
roots="Db Ab Eb Bb F C G D A E B F#"

{
  printf 'name: fifths\ntitle: basses and single tones\nsource: [none]\ncolumns: Db..F#\nrows: [fundamental, major]\n'
  printf 'spacing: {column: 16, row: 12}\nretuned:\n'
  for root in $roots; do
    echo "  major $root: $root 5"
  done
} >"$folder/fifths.yaml"

# heard FROM LENGTH: the median pitch in that stretch of the sound, in semitones as MIDI counts them
heard() {
  sox "$folder/sound.wav" "$folder/cut.wav" trim "$1" "$2" 2>/dev/null
  aubiopitch -p yin -B 8192 -H 1024 -i "$folder/cut.wav" |
    awk '$1 > 0.1 && $2 > 0 { print 69 + 12 * log($2 / 440) / log(2) }' | sort -n |
    awk '{ at[NR] = $1 } END { print NR ? at[int((NR + 1) / 2)] : 0 }'
}

for root in $roots; do
  # At 67 beats a minute the stand-in begins after a bar and a beat: its bass, then its chord a beat later.
  "$rowcall" listen "${root}5" --on "$folder/fifths.yaml" --meter 4/4 --tempo 67 -o "$folder/sound.wav" >"$folder/said"
  grep -q 'grade A' "$folder/said"
  echo "$root $(heard 4.53 0.6) $(heard 5.42 0.4)"
done | awk '
  function off(pitch) { return 100 * (pitch - int(pitch + 0.5)) }
  function size(x) { return x < 0 ? -x : x }
  { printf "%-2s bass %.3f (%+.2f cents)  its fifth in the chord %.3f (%+.2f cents)\n", $1, $2, off($2), $3, off($3) }
  $2 < 27 || $2 > 40 || $3 < 54 || $3 > 67 || size(off($2)) > 2 || size(off($3)) > 2 { bad++ }
  END { print bad + 0 " of " 2 * NR " notes more than 2 cents off"; exit bad > 0 || NR != 12 }'
