#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""The example of DEVELOPERS.md that asks the shared library from Python: test_python.py DEVELOPERS.md LIBRARY TUNES."""

import os
import re
import subprocess
import sys
import tempfile

DOCUMENT, LIBRARY, TUNES = sys.argv[1:]


def main():
    with open(DOCUMENT, encoding="utf-8") as file:
        example, = re.findall(r"^```python\n(.*?)^```", file.read(), re.DOTALL | re.MULTILINE)
    with tempfile.TemporaryDirectory() as folder:
        os.symlink(os.path.abspath(LIBRARY), os.path.join(folder, "librowcall.so.0"))
        env = {**os.environ, "LD_LIBRARY_PATH": folder}
        ended = subprocess.run([sys.executable, "-c", example, TUNES], capture_output=True, text=True, env=env, check=False)
    assert ended.returncode == 0 and not ended.stderr, ended
    board, roll, *tunes = ended.stdout.splitlines()
    assert board == "48 buttons in columns Eb Bb F C G D A E", board
    total, native, playable = map(int, re.fullmatch(r"(\d+) tunes, (\d+) native, (\d+) playable", roll).groups())
    assert total == len(tunes) == 51 and native <= playable <= total, ended.stdout
    chords = [tuple(map(int, re.search(r": (\d+) chords, (\d+) native$", tune).groups())) for tune in tunes]
    assert sum(all_ == own for all_, own in chords) == native, chords
    print(ended.stdout)


main()
