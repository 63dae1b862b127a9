#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""Prints what the worst inputs cost: limits.py ROWCALL [PART OF A NAME...]. Every run must end within SECONDS and MEBIBYTES;
the exit status is 1 where one does not."""

import gzip
import io
import os
import resource
import subprocess
import sys
import tarfile
import tempfile
import time
import zipfile

ROWCALL = os.path.abspath(sys.argv[1])
WANTED = sys.argv[2:]
SECONDS, MEBIBYTES = 60, 512
MILLION = 1000000
BARS = {"yaml": lambda n, bar: 'title: Weir\nkey: D\nmeter: 4/4\nparts:\n  A: "| ' + bar * n + '"\n',
        "abc": lambda n, bar: "X:1\nT:Weir\nM:4/4\nL:1/1\nK:D\n" + bar * n + "\n"}
TUNE = 'title: Weir {}\nparts: {{A: "| D | G | A7 | Bm |"}}\n'
SCORE = '<score-partwise><part-list><score-part id="P1"><part-name>Box</part-name></score-part></part-list><part id="P1">{}' \
        "</part></score-partwise>"
CHORD = "<harmony><root><root-step>{0}</root-step></root><kind>major</kind></harmony>"
NOTE = "<note><pitch><step>D</step><octave>4</octave></pitch><duration>1</duration></note>"
OFFER = "- {{name: a{}, layout: '120', price: {}, weight: 5 kg}}\n"


def text(content):
    """A maker of one file of this content, a function of no arguments, since some are large."""
    def make(path):
        with open(path, "w", encoding="utf-8") as file:
            file.write(content())
    return make


def long_line(start, unit=b"D"):
    def make(path):
        with open(path, "wb") as file:
            file.write(start)
            for _ in range(1000):
                file.write(unit * (MILLION // len(unit)))
            file.write(b"\n")
    return make


def folder_of_files(path):
    os.mkdir(path)
    for i in range(100000):
        with open(os.path.join(path, f"{i}.yaml"), "w", encoding="utf-8") as file:
            file.write(TUNE.format(i))


def archive_of_tunes(path):
    with zipfile.ZipFile(path, "w") as archive:
        for i in range(100000):
            archive.writestr(f"{i}.yaml", TUNE.format(i))


def tar_of_tunes(path):
    with tarfile.open(path, "w") as archive:
        for i in range(100000):
            content = TUNE.format(i).encode()
            info = tarfile.TarInfo(f"{i}.yaml")
            info.size = len(content)
            archive.addfile(info, io.BytesIO(content))


def bomb(unit):
    """A member of 2 GiB."""
    def make(path):
        with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
            with archive.open("bomb.yaml", "w", force_zip64=True) as member:
                block = unit * ((1 << 24) // len(unit))
                for _ in range(128):
                    member.write(block)
    return make


def gzip_bomb(path):
    """2 GiB of tunes, whose size is not said."""
    block = b'---\ntitle: Weir\nparts: {A: "| D |"}\n' * (1 << 18)
    with gzip.open(path, "wb", 1) as file:
        for _ in range((2 << 30) // len(block)):
            file.write(block)


def symbols():
    """As many different chords as a tune may have, in many bars each."""
    roots = [a + b for a in "CDEFGAB" for b in ("", "#", "b")]
    kinds = ["", "m", "7", "m7", "maj7", "6", "m6", "9", "m9", "11", "13", "dim", "dim7", "aug", "sus4", "7sus4", "m7b5", "7b9", "7#9", "add9"]
    return [r + k + over for r in roots for k in kinds for over in ["", "/C", "/D", "/E", "/F", "/G", "/A", "/B", "/Bb", "/F#"]][:4096]


def wide_board(path):
    """Four thousand different chords, and beside them a board that gives each of them many grips: 34 columns, no hand too small."""
    with open(path, "w", encoding="utf-8") as file:
        file.write('title: Weir\nparts: {A: "| ' + " | ".join(symbols()[:4000]) + ' |"}\n')
    columns = [letter + sign for sign in ("bb", "b", "", "#", "##") for letter in "FCGDAEB"][:34]
    with open(os.path.join(os.path.dirname(path), "written.board.yaml"), "w", encoding="utf-8") as file:
        file.write(f"name: wide\ntitle: wide\nsource: invented\ncolumns: [{', '.join(columns)}]\nrows: [counterbass, fundamental, major, minor, "
                   "seventh, diminished]\nspacing: {column: 16, row: 12.5, slant: 8}\n")


WIDE = ["--on", "OUT.board.yaml", "--reach", "40", "--accept", "E", "--spans", "300,300,300,300,300,300"]


def lines(n, line):
    return lambda: "".join(line.format(i) for i in range(n))


def score_of(n, measure, first=""):
    return lambda: SCORE.format(f'<measure number="0"><attributes><divisions>1</divisions></attributes>{first}</measure>' +
                                "".join(f'<measure number="{i}">{measure.format("DGA"[i % 3])}</measure>' for i in range(n)))


def all_bars(kind, n, unit):
    return text(lambda: BARS[kind](n // (1 + unit.count("|") - 1 or 1), unit))


LONG = all_bars("yaml", 999999, "D | G | A7 | ")
ON = ["--on", "48-8x6"]

# A name, the file's ending, what makes it, and the runs on it: BOOK is the file, OUT a file to write without its ending.
CASES = [
    ("deep YAML", "yaml", text(lambda: "title: x\nparts: " + "[" * MILLION), [["compare", "BOOK"]]),
    ("deep YAML, layout", "yaml", text(lambda: "name: x\nrows: " + "[" * 500000), [["chord", "C", "--on", "BOOK"]]),
    ("aliases, tune", "yaml", text(lambda: "title: &a [x, x]\nkey: &b [" + ",".join(["*a"] * 9) + "]\nparts: &c [" + ",".join(
        ["*b"] * MILLION) + "]\n"), [["compare", "BOOK"]]),
    ("aliases, layout", "yaml", text(lambda: "name: x\ntitle: x\nsource: &a [x, y]\nrows: &b [" + ",".join(["*a"] * 1000) +
                                     "]\ncolumns: [" + ",".join(["*b"] * 200000) + "]\n"), [["layouts", "--check", "BOOK"]]),
    ("million chords in a bar", "yaml", text(lambda: BARS["yaml"](1, "D G " * 500000 + "|")), [["compare", "BOOK"], ["tune", "BOOK", *ON]]),
    ("million chords in a bar", "abc", text(lambda: BARS["abc"](1, '"D"z/4"G"z/4' * 500000 + "|")), [["compare", "BOOK"]]),
    ("100,000 chords in a bar", "yaml", text(lambda: BARS["yaml"](1, "D G " * 50000 + "|")),
     [["compare", "BOOK"], ["tune", "BOOK", *ON], ["sheet", "BOOK", *ON, "-o", "OUT.pdf"],
      ["report", "BOOK", "--sections", "all", "-o", "OUT.pdf"], ["listen", "BOOK", *ON, "-o", "OUT.wav"]]),
    ("million bars", "yaml", LONG, [["compare", "BOOK"], ["tune", "BOOK", *ON], ["tune", "BOOK", *ON, "--format", "json"],
                                    ["keys", "BOOK", *ON], ["heat", "BOOK", *ON], ["sizes", "BOOK"],
                                    ["sheet", "BOOK", *ON, "-o", "OUT.pdf"], ["report", "BOOK", "-o", "OUT.pdf"],
                                    ["report", "BOOK", "--sections", "all", "-o", "OUT.pdf"],
                                    ["listen", "BOOK", *ON, "-o", "OUT.wav"], ["listen", "BOOK", *ON, "-o", "OUT.mid"]]),
    ("million bars", "abc", text(lambda: BARS["abc"](333333, '"D"d|"G"d|"A7"e|')), [["compare", "BOOK"], ["tune", "BOOK", *ON]]),
    ("million repeats", "abc", text(lambda: BARS["abc"](333333, '|:"D"d:|')), [["compare", "BOOK"]]),
    ("endings of endings", "abc", text(lambda: BARS["abc"](200000, '|:"D"d|1"G"d:|2"A7"e:|')), [["compare", "BOOK"]]),
    ("order of orders", "abc", text(lambda: "X:1\nT:Weir\nP:" + "(" * 8 + "A9" + ")9" * 8 + "\nM:4/4\nL:1/1\nK:D\nP:A\n" + '"D"d|' * 5000 + "\n"),
     [["compare", "BOOK"]]),
    ("million leaps", "yaml", text(lambda: 'title: Weir\ntempo: 1/4=300\nparts: {A: "| ' + "Ab E Bb7 G#m7 | " * 250000 + '"}\n'),
     [["tune", "BOOK", "--on", "120"], ["sheet", "BOOK", "--on", "120", "-o", "OUT.pdf"]]),
    ("marked chords in a bar", "yaml", text(lambda: BARS["yaml"](1, "Bm7 F#m " * 300000 + "|")), [["tune", "BOOK", *ON]]),
    ("4096 different chords", "yaml", text(lambda: 'title: Weir\nparts: {A: "| ' + " | ".join(symbols() * 40) + ' |"}\n'),
     [["compare", "BOOK"], ["sizes", "BOOK"], ["keys", "BOOK", *ON], ["tune", "BOOK", *ON],
      ["report", "BOOK", "--sections", "all", "-o", "OUT.pdf"]]),
    ("4000 chords on a wide board", "yaml", wide_board,
     [["tune", "BOOK", *WIDE, "--prefer", "ease"], ["heat", "BOOK", *WIDE, "--prefer", "ease"], ["tune", "BOOK", *WIDE],
      ["keys", "BOOK", *WIDE[:6]], ["sheet", "BOOK", *WIDE, "--prefer", "ease", "-o", "OUT.pdf"]]),
    ("100,000 files", "d", folder_of_files, [["compare", "BOOK"]]),
    ("100,000 tunes", "yaml", text(lambda: "---\n".join(TUNE.format(i) for i in range(100000))),
     [["compare", "BOOK"], ["keys", "BOOK", *ON], ["tune", "BOOK", *ON], ["heat", "BOOK", *ON],
      ["sheet", "BOOK", *ON, "-o", "OUT.pdf"], ["report", "BOOK", "-o", "OUT.pdf"],
      ["report", "BOOK", "--sections", "all", "-o", "OUT.pdf"], ["listen", "BOOK", *ON, "-o", "OUT.mid"]]),
    ("100,000 members", "zip", archive_of_tunes, [["compare", "BOOK"]]),
    ("100,000 members", "tar", tar_of_tunes, [["compare", "BOOK"]]),
    ("bomb of zeros", "zip", bomb(b"\0"), [["compare", "BOOK"]]),
    ("bomb of tunes", "zip", bomb(b'---\ntitle: Weir\nparts: {A: "| D |"}\n'), [["compare", "BOOK"]]),
    ("bomb of tunes", "yaml.gz", gzip_bomb, [["compare", "BOOK"]]),
    ("line of 1 GB", "yaml", long_line(b"title: "), [["compare", "BOOK"]]),
    ("line of 1 GB", "abc", long_line(b"X:1\nT:"), [["compare", "BOOK"]]),
    ("line of 1 GB", "cho", long_line(b"[D]"), [["compare", "BOOK"]]),
    ("line of 1 GB", "musicxml", long_line(b"<score-partwise><work><work-title>"), [["compare", "BOOK"]]),
    ("attribute of 1 GB", "musicxml", long_line(b'<score-partwise version="'), [["compare", "BOOK"]]),
    ("layout of 1 GB", "yaml", long_line(b"name: "), [["chord", "C", "--on", "BOOK"]]),
    ("300,000 columns", "yaml", text(lambda: "name: x\ntitle: x\ncolumns: [" + "C, " * 300000 + "C]\n"), [["layouts", "--check", "BOOK"]]),
    ("300,000 source lines", "yaml", text(lambda: "name: x\ntitle: x\nsource: [" + "x, " * 300000 + "x]\n"), [["layouts", "--check", "BOOK"]]),
    ("60,000 keys", "yaml", text(lines(60000, "key{}: x\n")), [["layouts", "--check", "BOOK"]]),
    ("500 offers", "offers", text(lambda: "currency: EUR\noffers:\n" + "".join(OFFER.format(i, 1000 - i) for i in range(500))),
     [["shop", "BOOK", "corpus"], ["shop", "BOOK", "corpus", "-o", "OUT.pdf"]]),
    ("too many offers", "offers", text(lambda: "currency: EUR\noffers:\n" + "".join(OFFER.format(i, 9) for i in range(15000))),
     [["shop", "BOOK", "corpus"]]),
    ("title of 16 MiB", "yaml", text(lambda: f"title: {'Weir ' * 3300000}\nparts: {{A: '| D | H |'}}\n"),
     [["compare", "BOOK"], ["tune", "BOOK", *ON], ["report", "BOOK", "-o", "OUT.pdf"], ["listen", "BOOK", *ON, "-o", "OUT.mid"]]),
    ("part's name of 16 MiB", "yaml", text(lambda: f"title: Weir\nparts: {{? {'Weir ' * 3300000} : '| D | H |'}}\n"),
     [["compare", "BOOK"], ["tune", "BOOK", *ON], ["sheet", "BOOK", *ON, "-o", "OUT.pdf"]]),
    ("chord of 16 MB", "yaml", text(lambda: f"title: Weir\nparts: {{A: '| {'D' * 16000000} |'}}\n"), [["compare", "BOOK"], ["tune", "BOOK", *ON]]),
    ("million problems", "yaml", text(lambda: "---\n".join(["title: x\n"] * MILLION)), [["compare", "BOOK"], ["compare", "BOOK", "--all-problems"]]),
    ("million unread chords", "yaml", text(lambda: "---\n".join(
        "title: x\nparts: {A: '| " + " | ".join(f"X{i}" for i in range(1000)) + " |'}\n" for _ in range(1000))), [["compare", "BOOK"]]),
    ("4096 unread, at the end", "yaml", text(lambda: "title: x\nparts: {A: '| " + "D | " * 900000 + " | ".join(f"X{i}" for i in range(4000)) + " |'}\n"),
     [["compare", "BOOK"]]),
    ("million measures", "musicxml", text(score_of(MILLION - 2, CHORD + NOTE * 4)), [["compare", "BOOK"], ["tune", "BOOK", *ON]]),
    ("four million notes", "musicxml", text(score_of(200000, CHORD + NOTE * 19)),
     [["compare", "BOOK"], ["listen", "BOOK", *ON, "--with-melody", "-o", "OUT.mid"]]),
    ("too many notes", "musicxml", text(score_of(100000, CHORD + NOTE * 41)), [["listen", "BOOK", *ON, "--with-melody", "-o", "OUT.mid"]]),
    ("16 MB of notes", "abc", text(lambda: "X:1\nT:Weir\nL:1/64\nK:D\n" + '"D"' + ("d" * 64 + "|") * 250000 + "\n"),
     [["compare", "BOOK"], ["listen", "BOOK", *ON, "--with-melody", "-o", "OUT.mid"]]),
    ("100,000 chords in a measure", "musicxml", text(score_of(1, CHORD * 100000)), [["compare", "BOOK"]]),
    ("million attributes", "musicxml", text(lambda: "<score-partwise " + "".join(f'a{i}="x" ' for i in range(MILLION)) + ">"), [["compare", "BOOK"]]),
    ("deep MusicXML", "musicxml", text(lambda: "<score-partwise>" + "<a>" * MILLION), [["compare", "BOOK"]]),
    ("entities", "musicxml", text(lambda: '<!DOCTYPE a [<!ENTITY a "lol">' + "".join(
        f'<!ENTITY b{i} "{"&a;" * 10}">' for i in range(1000)) + "]><score-partwise>&b9;</score-partwise>"), [["compare", "BOOK"]]),
    ("million voices", "abc", text(lambda: "X:1\nT:Weir\nL:1/1\nK:D\n" + "".join(f'[V:{i}]"D"d|\n' for i in range(MILLION))), [["compare", "BOOK"]]),
    ("million fields", "abc", text(lambda: "X:1\nT:Weir\nL:1/1\nK:D\n" + "[K:D][M:3/4][Q:1/4=99]" * 600000 + '"D"d|\n'), [["compare", "BOOK"]]),
    ("tuplets in tuplets", "abc", text(lambda: "X:1\nT:Weir\nL:1/1\nK:D\n" + '"D"(3' * 3 * MILLION + "ddd|\n"), [["compare", "BOOK"]]),
    ("million macros", "abc", text(lambda: "X:1\nT:Weir\nL:1/1\n" + "".join(f"U:{'HIJKLMNOPQRSTUVW'[i % 16]}=!a!\n" for i in range(MILLION)) +
                                   'K:D\n"D"d|\n'), [["compare", "BOOK"]]),
    ("million titles", "abc", text(lambda: "X:1\n" + "T:Weir\n" * MILLION + 'L:1/1\nK:D\n"D"d|\n'), [["compare", "BOOK"], ["tune", "BOOK", *ON]]),
    ("million parts", "abc", text(lambda: "X:1\nT:Weir\nL:1/1\nK:D\n" + "".join(f'P:{"ABCDEFGH"[i % 8]}\n"D"d|\n' for i in range(MILLION))),
     [["compare", "BOOK"]]),
    ("million choruses", "cho", text(lambda: "{title: Weir}\n{soc}\n" + "[D]la [G]la\n" * 1000 + "{eoc}\n" + "{chorus}\n" * MILLION), [["compare", "BOOK"]]),
    ("million cells", "cho", text(lambda: "{title: Weir}\n{sog}\n| " + "D " * MILLION + "|\n{eog}\n"), [["compare", "BOOK"]]),
    ("million grids", "cho", text(lambda: "{title: Weir}\n" + "{sog}\n| D . . . |\n{eog}\n" * 400000), [["compare", "BOOK"], ["tune", "BOOK", *ON]]),
    ("20,000 chords asked for", None, None, [["chord", *["Bm7b5"] * 20000, "--on", "120"], ["listen", *["Bm"] * 1000, "--on", "8", "-o", "OUT.wav"]]),
    ("chord of 100 kB", None, None, [["chord", "D" + "#" * 100000, "--on", "8"]]),
    ("long lists of options", None, None, [["chord", "C", "--on", "120", "--without", "minor:B," * 12000 + "minor:B"],
                                           ["report", "corpus", "--sections", "answer," * 15000 + "answer", "-o", "OUT.pdf"],
                                           ["report", "corpus", "--title", "Weir " * 20000, "-o", "OUT.pdf"]]),
]


def cost(command, folder):
    """Seconds, peak MiB, exit status (None where it took too long) and the first line said of a run."""
    read, write = os.pipe()
    if os.fork() == 0:
        start = time.monotonic()
        try:
            with open(os.path.join(folder, "out"), "wb") as out, open(os.path.join(folder, "err"), "wb") as err:
                status = subprocess.run(command, stdout=out, stderr=err, timeout=5 * SECONDS, check=False).returncode
        except subprocess.TimeoutExpired:
            status = None
        peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
        os.write(write, repr((time.monotonic() - start, peak >> 10, status)).encode())
        os._exit(0)
    os.wait()
    os.close(write)
    with os.fdopen(read) as pipe:
        seconds, mebibytes, status = eval(pipe.read())  # what was written above
    with open(os.path.join(folder, "err"), encoding="utf-8", errors="replace") as err:
        said = err.readline(300).strip().replace(folder + "/", "")
    return seconds, mebibytes, status, said


def short(word):
    return word if len(word) < 30 else word[:20] + "..."


def measure(folder, name, ending, make, runs):
    good = True
    book, out = os.path.join(folder, f"book.{ending}"), os.path.join(folder, "written")
    if make and os.fork() == 0:  # in a child, whose memory is not counted
        make(book)
        os._exit(0)
    if make:
        assert os.wait()[1] == 0
    corpus = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "corpus")
    for run in runs:
        words = {"BOOK": book, "corpus": corpus}
        command = [words.get(word, word.replace("OUT.", out + ".")) for word in run]
        seconds, mebibytes, status, said = cost([ROWCALL, *command], folder)
        fits = status is not None and seconds <= SECONDS and mebibytes <= MEBIBYTES
        good = good and fits and status >= 0
        shown = " ".join(short(word).replace("BOOK", f"*.{ending}").replace("OUT.", "*.") for word in run[:7])
        print(f"| {name} | `{shown}` | {seconds:.1f} | {mebibytes} | {status} | {'' if fits else '**over** '}{said[:110]} |", flush=True)
    return good


def main():
    good = True
    print("| worst case | run | s | MiB | status | first message |\n| --- | --- | ---: | ---: | ---: | --- |", flush=True)
    for name, ending, make, runs in CASES:
        if not WANTED or any(part in name for part in WANTED):
            with tempfile.TemporaryDirectory() as folder:
                good = measure(folder, name, ending, make, runs) and good
    return 0 if good else 1


sys.exit(main())
