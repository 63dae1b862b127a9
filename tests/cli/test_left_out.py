# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""A build without pictures or sound says so, does nothing else, and answers in words as ever.

Usage: test_left_out.py PROGRAM CORPUS pictures|sound|flac...
"""

import os
import subprocess
import sys
import tempfile

PROGRAM, CORPUS, *LEFT_OUT = sys.argv[1:]
ON = ["--on", "48-8x6"]
DRAWN = (["compare", CORPUS], ["sizes", CORPUS], ["heat", CORPUS, *ON], ["sheet", CORPUS, *ON], ["layouts", "48-8x6"],
         ["shop", f"{CORPUS}/window.offers", CORPUS], ["report", CORPUS],
         ["learn", CORPUS, *ON])


def run(*words):
    done = subprocess.run([PROGRAM, *words], capture_output=True, text=True, check=False)
    return done.returncode, done.stdout, done.stderr


def is_written(words, ending, left_out, message):
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "x" + ending)
        status, out, err = run(*words, "-o", path)
        if left_out:
            assert (status, out) == (2, "") and message in err and err.count("\n") == 1, (words, status, out, err)
        else:
            assert status < 2, (words, err)
        assert os.path.exists(path) != left_out, words


for words in DRAWN:
    is_written(words, ".pdf", "pictures" in LEFT_OUT, "this build draws no pictures")
    if words[0] not in ("sheet", "report"):
        assert run(*words)[0] < 2, words
HEARD = ["listen", "Bm", *ON]
is_written(HEARD, ".wav", "sound" in LEFT_OUT, "this build writes no sound but MIDI")
is_written(HEARD, ".flac", bool({"sound", "flac"} & set(LEFT_OUT)), "this build writes no sound but ")
is_written(HEARD, ".mid", False, "")
