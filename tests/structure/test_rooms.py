#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""The rooms of src against their order, as the linker sees them: test_rooms.py BUILD. An object file may use what its own
room defines and what the rooms above it in DEVELOPERS.md's list define, and nothing of a room below."""

import collections
import glob
import os
import subprocess
import sys

BUILD = sys.argv[1]
# From the top: each uses only those before it.
ROOMS = ["base", "music", "keyboard", "corpus", "coverage", "route", "sound", "study", "draw", "report", "cli"]
# What the command line leaves to the rooms of answers.
NOT_FOR_CLI = {"music", "keyboard", "coverage", "route"}


def room_of(path):
    """The room of an object file such as coverage_grade.c.o; None of what is generated."""
    room = os.path.basename(path).split("_")[0]
    return room if room in ROOMS else None


def symbols(path):
    """The names that an object file defines for others, and those that it takes from others."""
    lines = subprocess.run(["nm", path], capture_output=True, check=True, text=True).stdout.splitlines()
    words = [line.split() for line in lines]
    return {w[-1] for w in words if len(w) == 3 and w[1] in "TDBR"}, {w[-1] for w in words if w[-2] == "U"}


def read_objects():
    """Of each object file its room and the two sets of names."""
    library = glob.glob(os.path.join(BUILD, "src", "librowcall.*.p", "*.o"))
    program = glob.glob(os.path.join(BUILD, "src", "rowcall.p", "*.o"))
    paths = {os.path.basename(path): path for path in sorted(library) + sorted(program)}
    assert len(paths) > 80, f"{len(paths)} object files in {BUILD}"
    return {name: (room_of(path), *symbols(path)) for name, path in paths.items()}


def main():
    objects = read_objects()
    home = {name: room for room, defined, _ in objects.values() if room for name in defined}
    arrows = collections.Counter()
    wrong = []
    used = collections.defaultdict(set)
    for name, (room, _, taken) in objects.items():
        for symbol in taken & home.keys() if room else ():
            arrows[room, home[symbol]] += 1
            if room == "cli" and home[symbol] != "cli":
                used[home[symbol]].add(symbol)
            if ROOMS.index(home[symbol]) > ROOMS.index(room):
                wrong.append(f"{name} uses {symbol} of {home[symbol]}, which is below {room}")
    for symbol in sorted(s for room in NOT_FOR_CLI for s in used[room]):
        wrong.append(f"cli uses {symbol} of {home[symbol]}")
    entries = ", ".join(f"{len(used[room])} of {room}" for room in ROOMS if used[room])
    print(f"{len(objects)} object files, {len(arrows)} arrows between rooms; cli uses {sum(map(len, used.values()))} "
          f"entry points: {entries}")
    print("\n".join(wrong))
    return 1 if wrong else 0


sys.exit(main())
