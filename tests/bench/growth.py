#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""Prints what each command costs on books of 1,000, 10,000 and 100,000 tunes, as the table of DEVELOPERS.md:
growth.py ROWCALL [TUNES...].

The books are YAML, of make_books.py. Seconds are of the processors, user and system together, on one thread, so that other
work on the machine counts little; the median of three. Memory is the peak of the process. `listen` plays the last tune of a
book, since more than 30 minutes of sound are not written. A book too long to be drawn is refused.
"""

import os
import statistics
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True

from cost import cost  # a file beside this one

HERE = os.path.dirname(os.path.abspath(__file__))
CORPUS = os.path.join(HERE, "..", "..", "corpus")
BYTES_A_TUNE, ROUNDS = 210, 3

ON = ["--on", "48-8x6"]

# Each with its arguments after the book and, where it writes one, the ending of its file.
COMMANDS = {"compare": ([], None), "sizes": ([], None), "heat": (ON, None), "page": (ON, "html"), "keys": (ON, None),
            "list": (ON, None), "learn": (ON, None), "tune": (ON, None), "shop": ([], None), "report": ([], "pdf"),
            "listen": (ON, "wav"), "sheet": (ON, "pdf")}
LABELS = {"shop": "`shop`, the demo's offers", "listen": "`listen`, one tune of them"}


def make_book(folder, tunes):
    """The first tunes of an invented book."""
    whole, path = os.path.join(folder, "whole.yaml"), os.path.join(folder, f"{tunes}.yaml")
    subprocess.run([sys.executable, os.path.join(HERE, "make_books.py"), "yaml", str(tunes * BYTES_A_TUNE), whole], check=True)
    found = 0
    with open(whole, encoding="utf-8") as book, open(path, "w", encoding="utf-8") as cut:
        for line in book:
            found += line == "---\n"
            if found > tunes:
                break
            cut.write(line)
    assert found > tunes
    os.remove(whole)
    return path


def make_frame(folder):
    """As large as the browser page, which is built apart from the program."""
    path = os.path.join(folder, "frame.html")
    with open(path, "w", encoding="utf-8") as file:
        file.write('<script type="application/json" id="given"></script>' + "\n" * 1_400_000)
    return path


def measure(rowcall, name, book, tunes, folder):
    """The two cells of a command and a book."""
    options, ending = COMMANDS[name]
    before = [os.path.join(CORPUS, "window.offers")] if name == "shop" else []
    more = {"page": ["--template", make_frame(folder)], "listen": ["--title", f" {tunes}"]}.get(name, [])
    output = ["-o", os.path.join(folder, "output." + ending)] if ending else []
    runs = [cost([rowcall, name, *before, book, *options, *more, "--threads", "1", *output]) for _ in range(ROUNDS)]
    if runs[0][2] >= 2:
        return ["refused", ""]
    return [f"{statistics.median(run[0] for run in runs):.2f}", f"{max(run[1] for run in runs):.0f}"]


def main():
    rowcall = os.path.abspath(sys.argv[1])
    sizes = [int(word) for word in sys.argv[2:]] or [1000, 10000, 100000]
    with tempfile.TemporaryDirectory() as folder:
        books = [make_book(folder, size) for size in sizes]
        print("| command | " + " | ".join(f"{size:,} tunes: s | MiB" for size in sizes) + " |")
        print("| --- |" + " ---: | ---: |" * len(sizes))
        for name in COMMANDS:
            cells = [cell for size, book in zip(sizes, books) for cell in measure(rowcall, name, book, size, folder)]
            print(f"| {LABELS.get(name, f'`{name}`')} | " + " | ".join(cells) + " |", flush=True)


main()
