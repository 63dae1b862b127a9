#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""What `meson install` leaves, used as by someone who has no source tree:
test_installed.py MESON BUILD PREFIX SANITIZERS EXAMPLE.C COMPILER..."""

import glob
import json
import os
import re
import subprocess
import sys
import tempfile

MESON, BUILD, PREFIX, SANITIZERS, EXAMPLE, *COMPILER = sys.argv[1:]


def run(*command, **more):
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False, **more)
    assert done.returncode == 0 and not done.stderr, (command, done)
    return done.stdout


def find(root, pattern):
    found = glob.glob(os.path.join(root, pattern), recursive=True)
    assert len(found) == 1, (pattern, found)
    return found[0]


def check_program(root):
    program = find(root, "bin/rowcall")
    corpus = find(root, "share/rowcall/corpus")
    answer = json.loads(run(program, "compare", corpus, "--format", "json"))
    assert answer["tunes"] == 51 and answer["problems"] == 0, answer  # as README.md says
    run(program, "layouts", "--check", find(root, "share/rowcall/layouts/48-8x6.yaml"))
    assert os.path.samefile(find(root, "share/doc/rowcall/corpus"), corpus)
    for page in ("man1/rowcall.1", "man1/rowcall-compare.1", "man5/rowcall-layout.5"):
        with open(find(root, f"share/man/{page}"), encoding="utf-8") as file:
            assert not re.search(r"@\w+@", file.read())  # what the build fills in


def check_library(root, folder):
    """A program outside the source tree, found by pkg-config alone."""
    with open(find(root, "lib*/**/rowcall.pc"), encoding="utf-8") as file:
        text = file.read().replace(f"prefix={PREFIX}\n", f"prefix={root}\n")
    with open(os.path.join(folder, "rowcall.pc"), "w", encoding="utf-8") as file:
        file.write(text)
    env = {**os.environ, "PKG_CONFIG_PATH": folder + ":" + os.environ.get("PKG_CONFIG_PATH", "")}
    shared = find(root, "lib*/**/librowcall.so")
    assert os.readlink(find(root, "lib*/**/librowcall.so.0")).startswith("librowcall.so.0.")
    flags = run("pkg-config", "--cflags", "--libs", "rowcall", env=env).split()
    check_example(root, folder, flags, os.path.dirname(shared))
    private = run("pkg-config", "--print-requires-private", "rowcall", env=env).split()
    static = [shared.removesuffix("so") + "a" if flag == "-lrowcall" else flag for flag in flags]
    check_example(root, folder, static + ["-lm"] + run("pkg-config", "--libs", *private).split(), "/nowhere")


def check_example(root, folder, flags, libraries):
    program = os.path.join(folder, "program")
    sanitizers = [f"-fsanitize={SANITIZERS}"] if SANITIZERS != "none" else []
    run(*COMPILER, EXAMPLE, *sanitizers, *flags, "-o", program)
    said = run(program, "48-8x6", find(root, "share/rowcall/corpus"), env={**os.environ, "LD_LIBRARY_PATH": libraries})
    assert said.count(" chords, ") == 51, said
    assert "Lamps along the Withy Drain: 57 chords, 39 native, 18 with a stand-in\n" in said, said


def main():
    with tempfile.TemporaryDirectory() as folder:
        staged = os.path.join(folder, "staged")
        run(MESON, "install", "-C", BUILD, "--no-rebuild", "--destdir", staged)
        root = staged + PREFIX
        check_program(root)
        check_library(root, folder)


main()
