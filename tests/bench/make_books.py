#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""Invents tune books for the benchmarks: make_books.py yaml|abc BYTES FILE [FIRST]. The same arguments give the same bytes."""

import random
import sys

KEYS = {"D": "D G A Bm Em F#m A7", "G": "G C D Em Am Bm D7", "A": "A D E F#m Bm C#m E7", "C": "C F G Am Dm Em G7",
        "F": "F Bb C Dm Gm Am C7", "Bb": "Bb Eb F Gm Cm Dm F7", "Em": "Em Am D G C Bm B7", "Am": "Am Dm E G C F E7"}
SCALES = {"D": "DEFGABcdefg", "G": "GABcdefgab", "A": "ABcdefga", "C": "CDEFGABcde", "F": "FGABcdefg", "Bb": "BcdefgaB",
          "Em": "EFGABcdefg", "Am": "ABcdefgab"}
JAZZ = "maj7 m7 6 9 m7b5 7b9 dim7 sus4".split()
WORDS = "Lantern Gate Weir Badger Quince Kettle Heron Slipper Harbour Biscuit Ladder Thimble Marrow Cobbler Drizzle".split()


def bar_chords(rng, key):
    chords = KEYS[key].split()
    picked = [rng.choice(chords) for _ in range(rng.choice([1, 1, 1, 2, 2]))]
    if rng.random() < 0.03:
        picked[-1] = picked[-1][:1] + rng.choice(JAZZ)
    return picked


def yaml_tune(rng, number):
    key = rng.choice(list(KEYS))
    lines = ["---", f"title: The {rng.choice(WORDS)} and the {rng.choice(WORDS)} {number}", f"key: {key}",
             f"meter: {rng.choice(['4/4', '3/4', '6/8', '2/4'])}"]
    if rng.random() < 0.7:
        lines.append(f"tempo: {rng.randrange(80, 160)}")
    lines.append("parts:")
    for part in "AB":
        bars = " | ".join(" ".join(bar_chords(rng, key)) for _ in range(8))
        lines.append(f'  {part}: "| {bars} |"')
    return "\n".join(lines + ["order: A A B B"]) + "\n"


def abc_bar(rng, key, length):
    chords = bar_chords(rng, key)
    notes = [rng.choice(SCALES[key]) for _ in range(length)]
    if rng.random() < 0.3:
        spot = rng.randrange(length - 1)
        notes[spot:spot + 2] = [rng.choice(SCALES[key]) + "2"]
    half = (len(notes) + 1) // 2
    if len(chords) == 1:
        return f'"{chords[0]}"' + "".join(notes[:half]) + " " + "".join(notes[half:])
    return f'"{chords[0]}"' + "".join(notes[:half]) + f' "{chords[1]}"' + "".join(notes[half:])


def abc_tune(rng, number):
    key = rng.choice(list(KEYS))
    meter, length, rhythm = rng.choice([("6/8", 6, "jig"), ("4/4", 8, "reel"), ("3/4", 6, "waltz"), ("2/4", 4, "polka")])
    lines = [f"X:{number}", f"T:The {rng.choice(WORDS)} and the {rng.choice(WORDS)} {number}", f"R:{rhythm}", "C:nobody yet",
             f"M:{meter}", "L:1/8", f"K:{key}"]
    for _ in range(2):
        bars = [abc_bar(rng, key, length) for _ in range(8)]
        lines.append("|:" + "|".join(bars[:4]) + "|")
        lines.append("|".join(bars[4:]) + ":|")
    return "\n".join(lines) + "\n\n"


def main():
    kind, size, path = sys.argv[1], int(sys.argv[2]), sys.argv[3]
    number = int(sys.argv[4]) if len(sys.argv) > 4 else 1
    rng = random.Random(number)
    make = yaml_tune if kind == "yaml" else abc_tune
    written = 0
    with open(path, "w", encoding="utf-8") as file:
        while written < size:
            tune = make(rng, number)
            written += file.write(tune)
            number += 1


main()
