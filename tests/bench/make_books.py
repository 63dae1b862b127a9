#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""Invents tune books for the benchmarks: make_books.py yaml|abc|musicxml BYTES FILE [FIRST]. The same arguments give the same bytes.

A YAML tune is two parts of eight bars with one or two chords a bar. An ABC tune models what players' own collections hold,
by what is common in them, not by what is quick to read: a heading of seven to fourteen fields, two or three parts of eight
bars, most of them repeated and a third of them with two endings, lines of four bars, eighth notes in groups of a beat with
the usual longer and dotted notes, octave signs, triplets, rolls, grace notes, ties, slurs, bowings and accidentals, a chord
each bar or half bar (none at all in a tenth of the tunes), and words under every tenth tune.

A MusicXML file holds one score, here a long one, written as notation programs export it: an element a line, indented, stems
and beams, measures of eighths, quarters and halves in four, a chord each bar or half bar, repeats and endings every eight
bars. With tar, for which BYTES counts all of them, it is an archive of short scores.
"""

import io
import random
import sys
import tarfile

KEYS = {"D": "D G A Bm Em F#m A7", "G": "G C D Em Am Bm D7", "A": "A D E F#m Bm C#m E7", "C": "C F G Am Dm Em G7",
        "F": "F Bb C Dm Gm Am C7", "Bb": "Bb Eb F Gm Cm Dm F7", "Em": "Em Am D G C Bm B7", "Am": "Am Dm E G C F E7"}
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


RHYTHMS = [("6/8", [3, 3], "jig"), ("4/4", [4, 4], "reel"), ("4/4", [2, 2, 2, 2], "hornpipe"), ("3/4", [2, 2, 2], "waltz"),
           ("2/4", [2, 2], "polka"), ("9/8", [3, 3, 3], "slip jig"), ("C|", [4, 4], "march")]
PITCHES = ["A,", "B,"] + list("CDEFGABcdefgab") + ["c'", "d'"]
PEOPLE = "Ada Bramble;Ned Thistle;Mo Finch;Wilf Garrity;Una Peck;Old Harrowmere".split(";")
PLACES = "Withy Drain;Nether Quill;Upper Marrow;Saltby;the Long Barn".split(";")
SYLLABLES = "down by the wa-ter where wil-lows are grow-ing I saw a grey her-on stand all in the morn-ing".split()


def walk(rng, pitch):
    """The next pitch of a melody: mostly by step, within its range."""
    pitch += rng.choice([-3, -2, -2, -1, -1, -1, 0, 1, 1, 1, 2, 2, 3])
    return min(max(pitch, 2), len(PITCHES) - 3) if rng.random() < 0.98 else rng.randrange(len(PITCHES))


def beat(rng, pitch, eighths):
    """Notes that fill one beam, and the pitch they end on."""
    pitches = []
    for _ in range(eighths):
        pitch = walk(rng, pitch)
        pitches.append(PITCHES[pitch])
    kind = rng.random()
    if kind < 0.12:  # a longer note and the rest
        notes = [pitches[0] + "2"] + pitches[2:] if eighths > 1 else pitches
    elif kind < 0.18:
        notes = [f"{pitches[0]}{eighths}"] if eighths > 1 else pitches
    elif kind < 0.23 and eighths == 2:
        notes = [pitches[0], ">", pitches[1]]
    elif kind < 0.28 and eighths > 1:
        notes = ["(3" + pitches[0] + pitches[-1] + pitches[0]] + pitches[2:]
    elif kind < 0.32:
        notes = pitches[:-1] + [pitches[-1] + "/" + PITCHES[walk(rng, pitch)] + "/"]
    elif kind < 0.36:
        notes = ["(" + pitches[0]] + pitches[1:-1] + [pitches[-1] + ")"] if eighths > 1 else pitches
    else:
        notes = pitches
    ornament = rng.random()
    if ornament < 0.03:
        notes[0] = "~" + notes[0]
    elif ornament < 0.06:
        notes[0] = "{" + PITCHES[walk(rng, pitch)] + "}" + notes[0]
    elif ornament < 0.08 and not notes[0].startswith("("):
        notes[0] = rng.choice(["^", "=", "_"]) + notes[0]
    elif ornament < 0.09:
        notes[0] = rng.choice(["u", "v", ".", "T", "!trill!"]) + notes[0]
    elif ornament < 0.1:
        notes.append("-")
    elif ornament < 0.11:
        notes = ["z" if eighths == 1 else f"z{eighths}"]
    return "".join(notes), pitch


def abc_bar(rng, key, beats, pitch, with_chords):
    chords = bar_chords(rng, key)
    second = len(beats) // 2 if len(chords) == 2 else 0
    groups = []
    for i, eighths in enumerate(beats):
        notes, pitch = beat(rng, pitch, eighths)
        chord = chords[0] if i == 0 else chords[1] if second and i == second else None
        groups.append(f'"{chord}"{notes}' if chord and with_chords else notes)
    return " ".join(groups), pitch


def abc_part(rng, key, beats, with_chords, words):
    pitch = rng.randrange(6, 14)
    bars = []
    for _ in range(8):
        text, pitch = abc_bar(rng, key, beats, pitch, with_chords)
        bars.append(text)
    style = rng.random()
    between = rng.choice(["|", " | ", "|"])
    start, end = ("|:", ":|") if style < 0.8 else ("", "||")
    lines = [start + between.join(bars[:4]) + between.rstrip()]
    if style < 0.3:
        other, _ = abc_bar(rng, key, beats, pitch, with_chords)
        lines.append(between.join(bars[4:7]) + f" |1 {bars[7]} :|2 {other} |]")
    else:
        lines.append(between.join(bars[4:]) + end)
    if words:
        for i in (2, 1):
            lines.insert(i, "w: " + " ".join(rng.choice(SYLLABLES) for _ in range(4 * len(beats) * 2)))
    return lines


def abc_heading(rng, number, key, meter, rhythm):
    name = f"The {rng.choice(WORDS)} and the {rng.choice(WORDS)} {number}"
    lines = [f"X:{number}", f"T:{name}"]
    often = [(0.2, f"T:{rng.choice(WORDS)}'s {rng.choice(WORDS)}"), (0.6, f"C:{rng.choice(PEOPLE)}"),
             (0.3, f"O:{rng.choice(PLACES)}"), (1, f"R:{rhythm}"), (0.5, f"S:{rng.choice(PEOPLE)}, at {rng.choice(PLACES)}"),
             (0.3, f"B:The {rng.choice(WORDS)} Book, p. {rng.randrange(1, 200)}"), (0.2, f"D:The {rng.choice(WORDS)} Sessions"),
             (0.4, f"N:played after {rng.choice(WORDS)}'s {rng.choice(WORDS)}, not too fast"),
             (0.6, f"Z:{rng.choice(PEOPLE)} {rng.randrange(1995, 2025)}-{rng.randrange(1, 13):02}-{rng.randrange(1, 29):02}"),
             (1, f"M:{meter}"), (1, "L:1/8"), (0.25, f"Q:1/4={rng.randrange(80, 180)}")]
    lines += [line for share, line in often if rng.random() < share]
    return lines + [f"K:{key}"]


def abc_tune(rng, number):
    key = rng.choice(list(KEYS))
    meter, beats, rhythm = rng.choice(RHYTHMS)
    with_chords, words = rng.random() < 0.9, rng.random() < 0.1
    lines = abc_heading(rng, number, key, meter, rhythm)
    for _ in range(rng.choice([2, 2, 2, 3])):
        lines += abc_part(rng, key, beats, with_chords, words)
    return "\n".join(lines) + "\n\n"


NOTE_TYPES = {1: "eighth", 2: "quarter", 4: "half"}
KINDS = {"": "major", "m": "minor", "7": "dominant", "maj7": "major-seventh", "m7": "minor-seventh", "6": "major-sixth",
         "9": "dominant-ninth", "m7b5": "half-diminished", "dim7": "diminished-seventh", "sus4": "suspended-fourth"}


def xml_harmony(chord):
    letter, rest = chord[0], chord[1:]
    alter = {"#": 1, "b": -1}.get(rest[:1], 0)
    kind = KINDS.get(rest[1:] if alter else rest, "dominant")
    sign = f"\n          <root-alter>{alter}</root-alter>" if alter else ""
    return f"""      <harmony print-frame="no">
        <root>
          <root-step>{letter}</root-step>{sign}
          </root>
        <kind>{kind}</kind>
        </harmony>
"""


def xml_note(rng, length, staff_place):
    step, octave = "CDEFGAB"[staff_place % 7], 4 + staff_place // 7
    alter = f"\n          <alter>{rng.choice([-1, 1])}</alter>" if rng.random() < 0.1 else ""
    beam = f'\n        <beam number="1">{rng.choice(["begin", "end", "continue"])}</beam>' if length == 1 else ""
    return f"""      <note default-x="{rng.randrange(20, 300)}.{rng.randrange(100):02}" default-y="-{rng.randrange(10, 50)}.00">
        <pitch>
          <step>{step}</step>{alter}
          <octave>{octave}</octave>
          </pitch>
        <duration>{length}</duration>
        <voice>1</voice>
        <type>{NOTE_TYPES[length]}</type>
        <stem>{"up" if staff_place < 6 else "down"}</stem>{beam}
        </note>
"""


def xml_barline(location, content):
    return f"""      <barline location="{location}">
        {content}
        </barline>
"""


def xml_measure(rng, number, key):
    chords, left, at, text = bar_chords(rng, key), 8, 0, ""
    text += xml_barline("left", '<repeat direction="forward"/>') if number % 8 == 1 else ""
    while left:
        length = rng.choice([n for n in (1, 1, 1, 1, 2, 2, 4) if n <= left and (at >= 4 or at + n <= 4)])
        if at == 0 or (at == 4 and len(chords) == 2):
            text += xml_harmony(chords[0 if at == 0 else 1])
        text += xml_note(rng, length, rng.randrange(2, 12))
        at, left = at + length, left - length
    text += xml_barline("right", '<repeat direction="backward"/>') if number % 8 == 0 else ""
    first = """      <attributes>
        <divisions>2</divisions>
        <key>
          <fifths>2</fifths>
          </key>
        <time>
          <beats>4</beats>
          <beat-type>4</beat-type>
          </time>
        </attributes>
""" if number == 1 else ""
    return f'    <measure number="{number}" width="{rng.randrange(120, 400)}.{rng.randrange(100):02}">\n{first}{text}      </measure>\n'


def xml_score(rng, number, size):
    """A score of at least so many bytes, in pieces."""
    yield f"""<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
<score-partwise version="4.0">
  <work>
    <work-title>The {rng.choice(WORDS)} and the {rng.choice(WORDS)} {number}</work-title>
    </work>
  <part-list>
    <score-part id="P1">
      <part-name>Accordion</part-name>
      </score-part>
    </part-list>
  <part id="P1">
"""
    written, bar = 0, 1
    key = rng.choice(list(KEYS))
    while written < size or bar % 8 != 1:
        measure = xml_measure(rng, bar, key)
        written, bar = written + len(measure), bar + 1
        yield measure
    yield "    </part>\n  </score-partwise>\n"


def write_scores(rng, size, path):
    """An archive of scores."""
    with tarfile.open(path, "w") as archive:
        written, number = 0, 1
        while written < size:
            score = "".join(xml_score(rng, number, 120_000)).encode()
            member = tarfile.TarInfo(f"{number}.musicxml")
            member.size = len(score)
            archive.addfile(member, io.BytesIO(score))
            written, number = written + len(score), number + 1


def main():
    kind, size, path = sys.argv[1], int(sys.argv[2]), sys.argv[3]
    number = int(sys.argv[4]) if len(sys.argv) > 4 else 1
    rng = random.Random(number)
    if kind == "tar":
        write_scores(rng, size, path)
        return
    if kind == "musicxml":
        with open(path, "w", encoding="utf-8") as file:
            file.writelines(xml_score(rng, number, size))
        return
    make = yaml_tune if kind == "yaml" else abc_tune
    written = 0
    with open(path, "w", encoding="utf-8") as file:
        while written < size:
            tune = make(rng, number)
            written += file.write(tune)
            number += 1


main()
