# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""An independent reader of the MusicXML in written/, made by written.mjs: which chords are played, in which order, for how
long. It follows the text of MusicXML 4.0 (harmony, repeat, ending, sound, words) and what players do with D.C. and D.S.,
shares no code with rowcall, and takes another way: it looks at the whole score at once, and plays it bar by bar.

    python3 written.py                      print the table written.tsv, which test_scores.c holds against the library
    python3 written.py ROWCALL              compare it with `rowcall tune --format json`, and with the table
"""

import json
import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from fractions import Fraction

HERE = os.path.dirname(os.path.abspath(__file__))
FOLDER = os.path.join(HERE, "written")
STEPS = dict(zip("CDEFGAB", (0, 2, 4, 5, 7, 9, 11)))

# Semitones above the root, by degree; MusicXML 4.0, kind-value. The seventh of `add` is that of a dominant chord.
MAJOR, MINOR = {1: 0, 3: 4, 5: 7}, {1: 0, 3: 3, 5: 7}
KINDS = {"major": MAJOR, "minor": MINOR, "augmented": {1: 0, 3: 4, 5: 8}, "diminished": {1: 0, 3: 3, 5: 6},
         "dominant": {**MAJOR, 7: 10}, "major-seventh": {**MAJOR, 7: 11}, "minor-seventh": {**MINOR, 7: 10},
         "diminished-seventh": {1: 0, 3: 3, 5: 6, 7: 9}, "augmented-seventh": {1: 0, 3: 4, 5: 8, 7: 10},
         "half-diminished": {1: 0, 3: 3, 5: 6, 7: 10}, "major-minor": {**MINOR, 7: 11}, "major-sixth": {**MAJOR, 6: 9},
         "minor-sixth": {**MINOR, 6: 9}, "dominant-ninth": {**MAJOR, 7: 10, 9: 14}, "major-ninth": {**MAJOR, 7: 11, 9: 14},
         "minor-ninth": {**MINOR, 7: 10, 9: 14}, "suspended-second": {1: 0, 2: 2, 5: 7},
         "suspended-fourth": {1: 0, 4: 5, 5: 7}, "power": {1: 0, 5: 7}}
PLAIN = {1: 0, 2: 2, 3: 4, 4: 5, 5: 7, 6: 9, 7: 10, 9: 14, 11: 17, 13: 21}


def whole(element, path, other=0):
    text = element.findtext(path)
    return int(text) if text else other


def tones_of(harmony, shift):
    """(bass, tones) as pitch classes."""
    root = STEPS[harmony.findtext("root/root-step")] + whole(harmony, "root/root-alter")
    degrees = dict(KINDS[harmony.findtext("kind").strip()])
    for degree in harmony.findall("degree"):
        value, alter, what = whole(degree, "degree-value"), whole(degree, "degree-alter"), degree.findtext("degree-type")
        if what == "subtract":
            degrees.pop(value)
        else:
            degrees[value] = (degrees[value] if what == "alter" else PLAIN[value]) + alter
    bass = harmony.find("bass")
    inversion = whole(harmony, "inversion")
    low = (STEPS[bass.findtext("bass-step")] + whole(bass, "bass-alter") if bass is not None
           else root + sorted(degrees.values())[inversion])
    tones = {(root + semitones + shift) % 12 for semitones in degrees.values()}
    return (low + shift) % 12, frozenset(tones | {(low + shift) % 12})


# ---------------------------------------------------------------------------------------------------------- a measure

class Measure:
    def __init__(self):
        self.chords = []  # (where, chord), in quarter notes
        self.length = Fraction(0)
        self.forward = self.ending_stops = self.thick = False
        self.backward = 0
        self.ending = None
        self.words = []
        self.signs = []  # (name, at its end)


def squeezed(text):
    return re.sub("[^a-z]", "", text.lower())


class Reader:
    def __init__(self, path):
        self.divisions, self.shift = 1, 0
        self.root = ET.parse(path).getroot()
        self.measures = [self.measure(element) for element in self.root.find("part").findall("measure")]

    def measure(self, element):
        m, at = Measure(), Fraction(0)
        for child in element:
            if child.tag == "attributes":
                self.divisions = whole(child, "divisions", self.divisions)
                transpose = child.find("transpose")
                self.shift = self.shift if transpose is None else whole(transpose, "chromatic")
            elif child.tag == "harmony":
                offset = child.findtext("offset")
                m.chords.append([at + Fraction(offset or 0) / self.divisions, tones_of(child, self.shift)])
            elif child.tag in ("note", "backup", "forward"):
                length = Fraction(child.findtext("duration") or 0) / self.divisions
                if child.find("chord") is not None or child.find("grace") is not None:
                    continue
                at += -length if child.tag == "backup" else length
                m.length = max(m.length, at)
            elif child.tag == "direction":
                for words in child.iter("words"):
                    m.words.append(squeezed(words.text or ""))
                for name in ("segno", "coda"):
                    m.signs += [(name, at)] * (child.find(f"direction-type/{name}") is not None)
            elif child.tag == "barline":
                self.barline(m, child)
        m.signs = [(name, where > 0 and where == m.length) for name, where in m.signs]
        share(m)
        return m

    @staticmethod
    def barline(m, barline):
        repeat, ending = barline.find("repeat"), barline.find("ending")
        m.thick |= barline.findtext("bar-style") == "light-heavy"
        if repeat is not None and repeat.get("direction") == "forward":
            m.forward = True
        elif repeat is not None:
            m.backward = int(repeat.get("times") or 2)
        if ending is not None and ending.get("type") == "start":
            m.ending = [int(number) for number in re.findall(r"\d+", ending.get("number"))]
        elif ending is not None:
            m.ending_stops = True


def share(m):
    """Chords at one place share the time up to the next one."""
    m.chords.sort(key=lambda chord: chord[0])
    for place in sorted({chord[0] for chord in m.chords}):
        here = [chord for chord in m.chords if chord[0] == place]
        later = [chord[0] for chord in m.chords if chord[0] > place]
        for i, chord in enumerate(here):
            chord[0] = place + ((min(later) if later else m.length) - place) * i / len(here)


# -------------------------------------------------------------------------------------------------------------- order

def settle(measures):
    """Sections: (first, end, body end, endings), an ending being (numbers, first, end)."""
    sections, first = [], 0
    while first < len(measures):
        end = first + 1
        while end < len(measures) and not (measures[end].forward or closes(measures, end - 1)):
            end += 1
        sections.append((first, end, *endings_of(measures, first, end)))
        first = end
    return sections


def closes(measures, i):
    """Whether a section ends after measure i: at its repeat, where no further ending follows, or after its last ending."""
    after = measures[i + 1].ending if i + 1 < len(measures) else None
    opened = [j for j in range(i + 1) if measures[j].ending]
    in_ending = opened and not any(measures[j].backward or measures[j].thick for j in range(opened[-1], i))
    more = any(measures[j].ending for j in range(i + 1, len(measures))) and not after
    stops = measures[i].ending_stops or measures[i].thick
    if after and not (measures[i].backward == 0 and 1 in after and stops):
        return False
    if measures[i].backward:
        return True
    first = in_ending and measures[opened[-1]].ending and 1 in measures[opened[-1]].ending
    return bool(in_ending and stops and not (first and more))


def endings_of(measures, first, end):
    starts = [i for i in range(first, end) if measures[i].ending]
    if not starts:
        return end, []
    numbers = [measures[i].ending for i in starts]
    flat = sorted(number for group in numbers for number in group)
    if flat != list(range(1, len(flat) + 1)):
        numbers = [[i + 1] for i in range(len(starts))]  # no series: their order counts
    return starts[0], list(zip(numbers, starts, starts[1:] + [end]))


def played_section(measures, section, last_only):
    first, end, body, endings = section
    times = max([measures[i].backward for i in range(first, end)] + [1] + [n for e in endings for n in e[0]])
    played = []
    for time in [times] if last_only else range(1, times + 1):
        played += range(first, body)
        for numbers, start, stop in endings:
            played += range(start, stop) if time in numbers else []
    return played


def order(measures):
    """The bars as played: all sections, then each jump once."""
    sections = settle(measures)
    straight = [i for section in sections for i in played_section(measures, section, False)]
    once = [i for section in sections for i in played_section(measures, section, True)]
    backs = [i for i, m in enumerate(measures) if any(re.match("d[cs](al|$)", words) for words in m.words)]
    signs = {name: [i + end for i, m in enumerate(measures) for sign, end in m.signs if sign == name] for name in ("segno", "coda")}
    played, at = [], 0
    for back in backs:
        played += straight[at:len(straight) - straight[::-1].index(back)]
        words = next(words for words in measures[back].words if re.match("d[cs]", words))
        target = max(i for i in signs["segno"] if i <= back) if words.startswith("ds") else 0
        until, at = way_on(measures, signs, words, target, back, straight)
        played += [i for i in once if target <= i < until]
    return played + (straight[at:] if at is not None else [])


def way_on(measures, signs, words, target, back, straight):
    """Up to where a jump is followed, and where the straight order goes on after it; None: nowhere."""
    fines = [i for i, m in enumerate(measures) if "fine" in m.words and i >= target]
    after = len(straight) - straight[::-1].index(back)
    if "coda" in words:
        leaves = [i + 1 for i, m in enumerate(measures) if "tocoda" in m.words] or [min(i for i in signs["coda"] if i <= back)]
        return leaves[0], straight.index(min(i for i in signs["coda"] if i > back))
    if fines and min(fines) <= back:
        return min(fines) + 1, None
    return back + 1, after


def heard(path):
    """[tones, length] one after another; the same chord right after itself is one."""
    measures = Reader(path).measures
    chords, now = [], None
    sounding = []  # by measure, what sounds at its beginning
    for m in measures:
        sounding.append(now)
        now = m.chords[-1][1] if m.chords else now
    for i in order(measures):
        m = measures[i]
        before = chords[-1][0] if chords else None
        places = m.chords if m.chords and m.chords[0][0] == 0 else [[Fraction(0), before], *m.chords]
        for (start, chord), end in zip(places, [place[0] for place in places[1:]] + [m.length]):
            if chords and chords[-1][0] == chord:
                chords[-1][1] += end - start
            elif end > start:
                chords.append([chord, end - start])
    return chords


# -------------------------------------------------------------------------------------------------------------- tables

def cell(chord):
    return "+".join(map(str, [chord[0], *sorted(chord[1] - {chord[0]})])) if chord else "-"


def rows():
    for name in sorted(os.listdir(FOLDER)):
        chords = heard(os.path.join(FOLDER, name))
        yield name, " ".join(f"{cell(chord)}:{length}" for chord, length in chords), chords


def table():
    head = ("# Copyright 2026 the rowcall developers\n# SPDX-License-Identifier: MIT\n"
            "# What is played of written/*.musicxml: the bass, the other tones and the quarter notes of each chord, as the\n"
            "# independent reader written.py reads them; `python3 written.py > written.tsv`.\n")
    return head + "".join(f"written\t{name}\t{text}\n" for name, text, _ in rows())


def pitch_class(name):
    return (STEPS[name[0]] + name.count("#") - name[1:].count("b")) % 12


# What chord symbols are read as everywhere; common practice.
SUFFIXES = {"": "0 4 7", "m": "0 3 7", "7": "0 4 7 10", "m7": "0 3 7 10", "maj7": "0 4 7 11", "dim": "0 3 6", "dim7": "0 3 6 9",
            "aug": "0 4 8", "aug7": "0 4 8 10", "sus4": "0 5 7", "6": "0 4 7 9", "m6": "0 3 7 9", "9": "0 4 7 10 14",
            "7b9": "0 4 7 10 13", "add9": "0 4 7 14", "m(no5)": "0 3", "m7b5": "0 3 6 10"}


def tones_of_symbol(symbol):
    root, suffix, bass = re.fullmatch(r"([A-G][#b]*)(.*?)(?:/([A-G][#b]*))?", symbol).groups()
    tones = {(pitch_class(root) + int(semitones)) % 12 for semitones in SUFFIXES[suffix].split()}
    low = pitch_class(bass or root)
    return low, frozenset(tones | {low})


def summed(items):
    """{chord: (times, quarter notes)}"""
    sums = {}
    for chord, times, quarters in items:
        before = sums.get(chord, (0, 0))
        sums[chord] = (before[0] + times, round(before[1] + quarters, 3))
    return sums


def compare(rowcall):
    compared = 0
    for name, _, chords in rows():
        out = subprocess.run([rowcall, "tune", os.path.join(FOLDER, name), "--on", "120", "--format", "json"], check=True,
                             stdout=subprocess.PIPE, stderr=subprocess.DEVNULL).stdout
        tune = json.loads(out)["tunes"][0]
        chords = [(chord, length) for chord, length in chords if chord]
        assert tune["chords"]["total"] == len(chords), (name, tune["chords"]["total"], len(chords))
        assert tune["quarters"]["total"] == float(sum(length for _, length in chords)), (name, tune["quarters"])
        found = summed((tones_of_symbol(way["chord"]), way["times"], way["quarters"]) for way in tune["ways"])
        expected = summed((chord, 1, float(length)) for chord, length in chords)
        assert expected == found, (name, expected, found)
        compared += len(chords)
    with open(os.path.join(HERE, "written.tsv"), encoding="utf-8") as file:
        assert file.read() == table(), "written.tsv is not what this reader says; make it anew"
    print(f"{len(os.listdir(FOLDER))} scores, {compared} chords as `tune --format json` has them")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        compare(sys.argv[1])
    else:
        sys.stdout.write(table())
