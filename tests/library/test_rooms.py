# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""Rooms use only the rooms above them, and the command line only study, report, sound, corpus and base.

Told from the object files: what one leaves undefined is looked up in the room that defines it.
Usage: test_rooms.py BUILD/src
"""

import collections
import glob
import os
import re
import subprocess
import sys

ROOMS = ["base", "music", "keyboard", "corpus", "coverage", "route", "sound", "study", "draw", "report", "cli"]
CLOSED = {"cli": {"music", "keyboard", "coverage", "route", "draw"}}  # besides what is below a room


def symbols(path, *options):
    lines = subprocess.run(["nm", *options, path], capture_output=True, text=True, check=True).stdout.splitlines()
    return {line.split()[-1] for line in lines if line.split() and line.split()[-1].startswith("rc_")}


def main():
    folder = sys.argv[1]
    objects = collections.defaultdict(list)
    for path in glob.glob(os.path.join(folder, "librowcall.so.*.p", "*.o")) + glob.glob(os.path.join(folder, "rowcall.p", "*.o")):
        room = re.match(r"[a-z]+", os.path.basename(path))[0]
        if room in ROOMS:
            objects[room].append(path)
    assert sorted(objects) == sorted(ROOMS), f"rooms without object files: {set(ROOMS) ^ set(objects)}"
    home = {name: room for room in ROOMS for path in objects[room] for name in symbols(path, "-g", "--defined-only")}
    wrong = []
    used = set()
    for room in ROOMS:
        for path in objects[room]:
            for name in sorted(symbols(path, "-u")):
                at = home.get(name, room)
                if ROOMS.index(at) > ROOMS.index(room) or at in CLOSED.get(room, set()):
                    wrong.append(f"{os.path.basename(path)} of {room} uses {name} of {at}")
                if room == "cli" and at != "cli":
                    used.add((at, name))
    assert not wrong, "\n".join(wrong)
    counts = collections.Counter(at for at, _ in used)
    print(f"the command line uses {len(used)} entry points:", ", ".join(f"{n} of {room}" for room, n in sorted(counts.items())))


main()
