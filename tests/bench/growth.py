#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""Prints what each command costs on books of 1,000, 10,000 and 100,000 tunes, as a table: growth.py ROWCALL [TUNES...].

The books are YAML, of make_books.py. Seconds are of the processors, user and system together, on one thread, so that other
work on the machine counts little; the median of three. Memory is the peak of the process. A command that draws ends at its
limit of pages where a book is too long for it, and is then marked. Left out are `listen`, which ends at 30 minutes of sound,
and `page`, which carries a book as it is.
"""

import os
import statistics
import subprocess
import sys
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
CORPUS = os.path.join(HERE, "..", "..", "corpus")
BYTES_A_TUNE, ROUNDS = 210, 3

# Each with its arguments after the book and, where it writes one, the ending of its file.
COMMANDS = [("compare", [], None), ("sizes", [], None), ("list", ["--on", "48-8x6"], None), ("keys", ["--on", "48-8x6"], None),
            ("learn", ["--on", "48-8x6"], None), ("heat", ["--on", "48-8x6"], None), ("tune", ["--on", "48-8x6"], None),
            ("shop", [], None), ("report", [], "pdf"), ("sheet", ["--on", "48-8x6"], "pdf")]


def make_book(folder, tunes):
    """The first tunes of an invented book."""
    whole, path = os.path.join(folder, "whole.yaml"), os.path.join(folder, f"{tunes}.yaml")
    subprocess.run([sys.executable, os.path.join(HERE, "make_books.py"), "yaml", str(tunes * BYTES_A_TUNE), whole], check=True)
    found = 0
    with open(whole, encoding="utf-8") as book, open(path, "w", encoding="utf-8") as cut:
        for line in book:  # by lines, since what this process holds counts as the peak of those it starts
            found += line == "---\n"
            if found > tunes:
                break
            cut.write(line)
    assert found > tunes
    os.remove(whole)
    return path


def cost(command):
    """Processor seconds, MiB and exit status of one run."""
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024, process.returncode


def measure(rowcall, name, options, ending, book, folder):
    offers = [os.path.join(CORPUS, "window.offers")] if name == "shop" else []
    output = ["-o", os.path.join(folder, "output." + ending)] if ending else []
    runs = [cost([rowcall, name, *offers, book, *options, "--threads", "1", *output]) for _ in range(ROUNDS)]
    seconds, mebibytes = statistics.median(run[0] for run in runs), max(run[1] for run in runs)
    return f"{seconds:.2f}", f"{mebibytes:.0f}{'' if runs[0][2] < 2 else ' (refused)'}"


def main():
    rowcall = os.path.abspath(sys.argv[1])
    sizes = [int(word) for word in sys.argv[2:]] or [1000, 10000, 100000]
    with tempfile.TemporaryDirectory() as folder:
        books = [make_book(folder, size) for size in sizes]
        print("| command |" + "".join(f" {size:,}: s | MiB |" for size in sizes))
        print("| --- |" + " ---: | ---: |" * len(sizes))
        for name, options, ending in COMMANDS:
            cells = [cell for book in books for cell in measure(rowcall, name, options, ending, book, folder)]
            print(f"| `{name}` | " + " | ".join(cells) + " |", flush=True)


main()
