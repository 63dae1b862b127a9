# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""Rooms use only the rooms above them, and the command line only study, report, sound, corpus and base.

Told from the object files: what one leaves undefined is looked up in the room that defines it.
Usage: test_rooms.py BUILD/src [ROOM LEFT OUT...]
"""

import collections
import glob
import os
import re
import subprocess
import sys

ROOMS = ["base", "music", "keyboard", "corpus", "coverage", "route", "sound", "study", "draw", "report", "cli"]
CLOSED = {"cli": {"music", "keyboard", "coverage", "route", "draw"}}  # besides what is below a room


def room_of(path):
    return re.match(r"[a-z]+", os.path.basename(path))[0]


def read_symbols(paths):
    """Of each symbol of ours: the object file, and whether it is defined there."""
    lines = subprocess.run(["nm", "-A", "-g", *paths], capture_output=True, text=True, check=True).stdout.splitlines()
    for line in lines:
        path, rest = line.split(":", 1)
        *_, kind, name = rest.split()
        if name.startswith("rc_"):
            yield path, name, kind != "U"


def main():
    folder = sys.argv[1]
    paths = [path for part in ("librowcall.so.*.p", "rowcall.p") for path in glob.glob(os.path.join(folder, part, "*.o"))
             if room_of(path) in ROOMS]
    missing = set(ROOMS) - {room_of(path) for path in paths}
    assert missing == set(sys.argv[2:]), f"rooms without object files: {missing}"
    symbols = list(read_symbols(paths))
    home = {name: room_of(path) for path, name, defined in symbols if defined}
    wrong = []
    used = set()
    for path, name, defined in symbols:
        room = room_of(path)
        at = home.get(name, room)
        if not defined and (ROOMS.index(at) > ROOMS.index(room) or at in CLOSED.get(room, set())):
            wrong.append(f"{os.path.basename(path)} of {room} uses {name} of {at}")
        if room == "cli" and at != "cli":
            used.add((at, name))
    assert not wrong, "\n".join(wrong)
    counts = collections.Counter(at for at, _ in used)
    print(f"the command line uses {len(used)} entry points:", ", ".join(f"{n} of {room}" for room, n in sorted(counts.items())))


main()
