#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""Times rowcall beside reference programs on books it invents: run.py ROWCALL LOOPS FOLDER [ROUNDS], LOOPS being the
folder of the programs built for the purpose.

Each pair runs in turn; the median of the ratios counts, since machines differ and drift. Memory is the peak of a process.
Every command runs in a scratch folder with links to its books, for the files that some references leave beside them. It lies
in memory where the machine has such a place, so that a disk flatters nobody; making and removing it is not timed.
"""

import os
import re
import statistics
import subprocess
import sys
import tempfile
import time

sys.dont_write_bytecode = True

from cost import cost  # a file beside this one

ROWCALL, LOOPS, FOLDER = (os.path.abspath(path) for path in sys.argv[1:4])
ROUNDS = int(sys.argv[4]) if len(sys.argv) > 4 else 7
MEMORY = "/dev/shm" if os.access("/dev/shm", os.W_OK) else FOLDER
CORPUS = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "corpus")
HERE = os.path.dirname(os.path.abspath(__file__))


def book(kind, size, first=1):
    path = os.path.join(FOLDER, f"{kind}-{size}-{first}.{kind}")
    if not os.path.exists(path):
        subprocess.run([sys.executable, os.path.join(HERE, "make_books.py"), kind, str(size), path, str(first)], check=True)
    return path


def seconds(command):
    with tempfile.TemporaryDirectory(dir=MEMORY) as scratch:
        books = [path for path in command if os.path.dirname(path) == FOLDER]
        for path in books:
            os.symlink(path, os.path.join(scratch, os.path.basename(path)))
        local = [os.path.basename(word) if word in books else word for word in command]
        start = time.perf_counter()
        subprocess.run(local, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, cwd=scratch, check=True)
        return time.perf_counter() - start


def peak(command):
    """The median peak memory of several runs in KiB, since where libraries lie differs from run to run."""
    return round(1024 * statistics.median(cost(command)[1] for _ in range(ROUNDS)))


def ratio(what, ours, theirs, goal):
    seconds(ours)
    seconds(theirs)
    pairs = [(seconds(ours), seconds(theirs)) for _ in range(ROUNDS)]
    median = statistics.median(a / b for a, b in pairs)
    print(f"{what}: {median:.3f} ({1000 * statistics.median(a for a, _ in pairs):.0f} ms beside "
          f"{1000 * statistics.median(b for _, b in pairs):.0f} ms); goal {goal}", flush=True)


def routes(*books):
    for path in books:
        for how in ([], ["ease"]):
            command = [os.path.join(LOOPS, "route_loop"), path, "120", *how]
            print(f"routes on 120 {' '.join(how)}: {subprocess.run(command, capture_output=True, check=True).stdout.decode().strip()}; "
                  "goal at least 1 million a second", flush=True)


def sheets():
    with tempfile.TemporaryDirectory(dir=MEMORY) as folder:
        path = os.path.join(folder, "sheets.pdf")
        took = statistics.median(seconds([ROWCALL, "sheet", CORPUS, "--on", "48-8x6", "-o", path]) for _ in range(ROUNDS))
        with open(path, "rb") as file:
            pages = len(re.findall(rb"/Type /Page\b", file.read()))
    print(f"sheets: {1000 * took / pages:.1f} ms a page ({pages} pages); goal under 20", flush=True)


def sounds():
    """How many times faster than real time: the demo's waltzes as one file, on one thread."""
    waltzes = os.path.join(CORPUS, "waltzes.yaml")
    with tempfile.TemporaryDirectory(dir=MEMORY) as folder:
        for ending in ("wav", "flac"):
            path = os.path.join(folder, "waltzes." + ending)
            took = statistics.median(seconds([ROWCALL, "listen", waltzes, "--on", "48-8x6", "-o", path]) for _ in range(ROUNDS))
            if ending == "wav":
                heard = (os.path.getsize(path) - 44) / 2 / 44100
            print(f"listen, {ending}: {heard / took:.0f} times real time ({heard:.0f} s in {1000 * took:.0f} ms); goal at least 100",
                  flush=True)


def answers():
    """What has an answer for each tune, or draws, beside `compare` on a book of 5,000 tunes."""
    tunes, frame = book("yaml", 1_000_000), os.path.join(FOLDER, "frame.html")
    with open(frame, "w", encoding="utf-8") as file:  # as large as the browser page
        file.write('<script type="application/json" id="given"></script>' + "\n" * 1_400_000)
    commands = [("list", ["--on", "48-8x6"]), ("report", ["-o", "report.pdf"]), ("sizes", []), ("learn", ["--on", "48-8x6"]),
                ("page", ["--on", "48-8x6", "--template", frame, "-o", "page.html"])]
    for threads in "12":
        for name, options in commands:
            ratio(f"{name} to compare, 5,000 tunes, threads: {threads}", [ROWCALL, name, tunes, "--threads", threads, *options],
                  [ROWCALL, "compare", tunes, "--threads", threads], "under 3")


# The goals for reading on one core. Of ABC 2.0 times `wc -lw` and a quarter of abc2abc's time are about the same; those first
# written, 3 times and a fifth, contradicted each other. abc2midi says no more than abc2abc does, and is left out.
def main():
    os.makedirs(FOLDER, exist_ok=True)
    one = [ROWCALL, "compare", "--threads", "1"]
    layouts = "8 12 24 32 40 48-8x6 48-12x4 60 72 80 96".split()
    on = [argument for name in layouts for argument in ("--on", name)]
    yaml, abc = book("yaml", 12_000_000), book("abc", 25_000_000)
    ratio("YAML, 12 layouts, to libyaml's event loop", one + [yaml], [os.path.join(LOOPS, "yaml_loop"), yaml], "at most 1.5")
    ratio("ABC, 12 layouts, to wc -lw", one + [abc], ["wc", "-lw", abc], "at most 2.0")
    ratio("abc2abc to ABC, 12 layouts", ["abc2abc", abc], one + [abc], "at least 4")
    score = book("musicxml", 25_000_000)
    ratio("MusicXML, 12 layouts, to expat's elements", one + [score], [os.path.join(LOOPS, "expat_loop"), score],
          "at most 1.5")
    ratio("12 layouts to 11", one + on + ["--on", "120", abc], one + on + [abc], "at most 1.03")
    parts = [book("abc", 3_000_000, first) for first in range(1, 17)]
    ratio("one thread to two, 16 files", one + parts, [ROWCALL, "compare", "--threads", "2"] + parts, "at least 1.7")
    for path in (yaml, abc):
        ratio(f"two threads to one, one file, {path.rsplit('.', 1)[1]}", [ROWCALL, "compare", "--threads", "2", path], one + [path],
              "at most 0.6")
    tenth = book("abc", 2_500_000)
    print(f"ten times the tunes: {peak(one + [abc]) - peak(one + [tenth])} KiB more; goal at most 1024")
    scores, fewer = book("tar", 25_000_000), book("tar", 2_500_000)
    print(f"ten times the scores: {peak(one + [scores]) - peak(one + [fewer])} KiB more; goal at most 1024")
    ratio("sizes to compare, the demo", [ROWCALL, "sizes", CORPUS], [ROWCALL, "compare", CORPUS], "at most 3")
    answers()
    routes(yaml, tenth)
    sheets()
    sounds()


main()
