# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""Files for the engine's tests, made anew: made.py CORPUS prints them as JSON, names to base64."""

import base64
import bz2
import gzip
import io
import json
import lzma
import os
import subprocess
import sys
import tarfile
import zipfile

CORPUS = sys.argv[1]
KEYS = ("C", "G", "D", "A", "F", "Bb", "Em", "Am")
CHORDS = ("C", "Dm", "E7", "F#m7b5", "G/B", "Abdim7", "A", "Bm", "Bb6", "Eaug")


def abc(number, title, broken=""):
    """A tune of eight bars, whose chords its number decides."""
    bars = "|".join(f'"{CHORDS[(number * 7 + bar * 3) % len(CHORDS)]}"C4' for bar in range(8))
    return f"X:{number}\nT:{title}\nM:4/4\nL:1/4\nK:{KEYS[number % len(KEYS)]}\n{bars}{broken}|]\n\n"


def packed(pack):
    """The demo books in an archive that `pack` makes of names and texts."""
    return pack((name, open(os.path.join(CORPUS, name), "rb").read()) for name in sorted(os.listdir(CORPUS)) if name.endswith(".yaml"))


def as_zip(files, method=zipfile.ZIP_DEFLATED):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", method) as archive:
        for name, text in files:
            archive.writestr(zipfile.ZipInfo(name, (2026, 1, 2, 3, 4, 6)), text, method)
    return out.getvalue()


def as_tar(files):
    out = io.BytesIO()
    with tarfile.open(fileobj=out, mode="w") as archive:
        for name, text in files:
            entry = tarfile.TarInfo(name)
            entry.size = len(text)
            archive.addfile(entry, io.BytesIO(text))
    return out.getvalue()


SCORE = b"""<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0"><work><work-title>The Osier Gate</work-title></work>
<part-list><score-part id="P1"><part-name>Accordion</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>1</divisions><key><fifths>1</fifths></key>
<time><beats>4</beats><beat-type>4</beat-type></time></attributes>
<harmony><root><root-step>G</root-step></root><kind>major</kind></harmony>
<note><pitch><step>G</step><octave>4</octave></pitch><duration>2</duration></note>
<harmony><root><root-step>B</root-step></root><kind>minor-seventh</kind></harmony>
<note><pitch><step>B</step><octave>4</octave></pitch><duration>2</duration></note></measure></part></score-partwise>
"""
CONTAINER = b'<?xml version="1.0"?><container><rootfiles><rootfile full-path="gate.xml"/></rootfiles></container>'

book = "".join(abc(n, f"Tune {n} of the long book") for n in range(1, 1501)).encode()
mistakes = "".join(abc(n, f"Mistake {n}", f'|"Zz{n}"C4') for n in range(1, 61)).encode()
tar = packed(as_tar)
made = {
    "books.zip": packed(as_zip),
    "books-lzma.zip": packed(lambda files: as_zip(files, zipfile.ZIP_LZMA)),
    "books.tar": tar,
    "books.tgz": gzip.compress(tar, mtime=0),
    "books.tar.xz": lzma.compress(tar),
    "books.tar.bz2": bz2.compress(tar),
    "books.tar.zst": subprocess.run(["zstd", "-q"], input=tar, stdout=subprocess.PIPE, check=True).stdout,
    "one.abc.gz": gzip.compress(abc(3, "Alone").encode(), mtime=0),
    "gate.mxl": as_zip([("META-INF/container.xml", CONTAINER), ("gate.xml", SCORE)]),
    "gate.musicxml": SCORE,
    "latin1.abc": abc(5, "Über die Gräben, à la fin").encode("latin-1"),
    "latin1.cho": "{title: Höhlenlied}\n{key: D}\n[D]Grüße [Bm]über [G]Grüße [A7]fort\n".encode("latin-1"),
    "long.abc": book,
    "mistakes.abc": mistakes,
    "hostile.abc": abc(7, "<b>\u202etitle</b> \x1b[31m & \"quotes\" \\").encode(),
    "empty.abc": b"",
    "damaged.zip": packed(as_zip)[:2000],
    "damaged.tgz": gzip.compress(tar, mtime=0)[:-9],
}
json.dump({name: base64.b64encode(data).decode() for name, data in made.items()}, sys.stdout)
