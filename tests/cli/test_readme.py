#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""README.md, RULES.md and the tutorial as a reader follows them: test_readme.py ROWCALL SOURCE. Every command that they show is
run in a copy of the demo books, and must print what is below it; a line of `...` stands for any number of lines."""

import difflib
import os
import re
import shutil
import struct
import subprocess
import sys
import tempfile

ROWCALL, SOURCE = (os.path.abspath(path) for path in sys.argv[1:3])
os.environ["XDG_CONFIG_HOME"] = "/nowhere"  # a reader who has kept no settings
DOCUMENTS = {"README.md": 10, "src/manual/RULES.md": 3, "corpus/TUTORIAL.md": 10}  # and how many commands each shows at least
SHELL = ("apt ", "sh ")  # how the commands begin that install and build; those are not run here


class Block:
    """Lines set apart as code, with the number of the first; of a fence what follows it, such as `yaml NAME`."""

    def __init__(self, line, fence=None):
        self.line, self.fence, self.lines = line, fence, []


def blocks(text):
    found, block, before = [], None, ""
    for number, line in enumerate(text.split("\n"), 1):
        if block and block.fence is not None:
            if line.startswith("```"):
                block = None
            else:
                block.lines.append(line)
        elif line.startswith("```"):
            block = Block(number + 1, line[3:])
            found.append(block)
        elif line.startswith("    ") and (block or not before.strip()):
            if not block:
                block = Block(number)
                found.append(block)
            block.lines.append(line[4:])
        elif block and not line.strip():
            block.lines.append("")
        else:
            block = None
        before = line
    for block in found:
        while block.lines and not block.lines[-1].strip():
            block.lines.pop()
    return found


def commands(block):
    """Each command of a block with its line and what is printed below it."""
    shown = []
    for offset, line in enumerate(block.lines):
        if line.startswith("$ "):
            shown.append((block.line + offset, line[2:], []))
        else:
            shown[-1][2].append(line)
    return shown


def stripped(lines):
    lines = [line.rstrip() for line in lines]
    while lines and not lines[-1]:
        lines.pop()
    return lines


def printed_as(shown, printed):
    """Whether a command that printed the one did what the document shows."""
    pattern = "".join("(?:.*\n)*?" if line == "..." else re.escape(line + "\n") for line in shown)
    return re.fullmatch(pattern, "".join(line + "\n" for line in printed)) is not None


def check_printed_as():
    for shown, printed in (["a", "...", "c"], ["a", "b", "b", "c"]), (["a", "...", "c"], ["a", "c", "b", "c"]), \
            (["...", "b", "...", "c"], ["a", "b", "c"]), (["a", "..."], ["a", "b"]), (["..."], []), ([], []):
        assert printed_as(shown, printed), (shown, printed)
    for shown, printed in (["a"], ["a", "b"]), (["a", "b"], ["a"]), (["a", "...", "c"], ["a", "b"]), ([], ["a"]), \
            (["b", "..."], ["a", "b"]), (["a", "...", "a"], ["a"]), (["...", "b"], ["b", "a"]):
        assert not printed_as(shown, printed), (shown, printed)


def check_command(place, command, shown, folder):
    assert command.startswith("build/src/rowcall "), f"{place}: not a command of this program: {command}"
    done = subprocess.run(["sh", "-c", command], cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                          stdin=subprocess.DEVNULL, env={**os.environ, "LC_ALL": "C.UTF-8"}, timeout=120, check=False)
    shown, printed = stripped(shown), stripped(done.stdout.decode().split("\n"))
    if not printed_as(shown, printed):
        sys.exit("\n".join(difflib.unified_diff(shown, printed, place, command, lineterm="")))
    troubled = any(line.startswith("rowcall: ") for line in shown)
    assert troubled == (done.returncode != 0), f"{place}: {command}: status {done.returncode}"


def check_document(name, folder):
    """Runs what one document shows; what it says to write into a file is written. Returns the commands."""
    with open(os.path.join(SOURCE, name), encoding="utf-8") as file:
        text = file.read()
    run = []
    for block in blocks(text):
        if block.fence is not None:
            kind, _, path = block.fence.partition(" ")
            assert kind, f"{name}:{block.line}: a fence says what it holds"
            if path:
                with open(os.path.join(folder, path), "w", encoding="utf-8") as file:
                    file.write("\n".join(block.lines) + "\n")
        elif not block.lines[0].startswith(SHELL):
            assert block.lines[0].startswith("$ "), f"{name}:{block.line}: output without its command"
            for line, command, shown in commands(block):
                check_command(f"{name}:{line}", command, shown, folder)
                run.append(command)
    check_lists(name, text, folder)
    check_links(name, text)
    check_pages(name, text)
    check_options(name, text)
    check_pictures(name, text, run, folder)
    return run


def check_lists(name, text, folder):
    """Each command within an item of a list does something, and complains of nothing."""
    for item in re.findall(r"^- .*(?:\n  .*)*", text, re.M):
        for command in re.findall(r"`(build/src/rowcall [^`]*)`", item):
            done = subprocess.run(["sh", "-c", command], cwd=folder, capture_output=True, timeout=120, check=False)
            written = re.search(r" -o (\S+)$", command)
            size = os.path.getsize(os.path.join(folder, written[1])) if written else len(done.stdout)
            assert (done.returncode, done.stderr) == (0, b"") and size, f"{name}: {command}: {done}"


def anchors(text):
    headings = re.findall(r"^#+ (.*)$", text, re.M)
    return {"#" + re.sub(r"[^a-z0-9 -]", "", heading.lower()).replace(" ", "-") for heading in headings}


def check_links(name, text):
    for link in re.findall(r"\]\(([^)]+)\)", text):
        if link.startswith("#"):
            assert link in anchors(text), f"{name}: no heading for {link}"
        elif not link.startswith("https://"):
            path = os.path.join(SOURCE, os.path.dirname(name), link.partition("#")[0])
            assert os.path.exists(path), f"{name}: {link} is not there"


def check_pages(name, text):
    """Every page of the manual that is spoken of is there."""
    for page in re.findall(r"\browcall-([a-z]+)\b(?!\.(?:1|5)\w)", text):
        kept = [f"rowcall-{page}.5", f"{page}.mdoc"]
        assert any(os.path.exists(os.path.join(SOURCE, "src/manual", one)) for one in kept), f"{name}: rowcall-{page}"


def check_options(name, text):
    """Every option that is spoken of is one of some command."""
    helped = subprocess.run([ROWCALL, "--help"], capture_output=True, check=True).stdout.decode()
    known = {"--help", "--version"}
    for command in re.findall(r"^  (\w+) ", helped, re.M):
        told = subprocess.run([ROWCALL, command, "--help"], capture_output=True, check=True).stdout.decode()
        known |= set(re.findall(r"--[a-z][a-z-]*", told))
    spoken = set(re.findall(r"(?<![-\w])--[a-z][a-z-]*", text))
    assert spoken <= known, f"{name}: no command has {spoken - known}"


def png_size(path):
    with open(path, "rb") as file:
        head = file.read(24)
    assert head[1:4] == b"PNG", path
    return struct.unpack(">II", head[16:24])


def check_pictures(name, text, run, folder):
    """Each picture is drawn by a command of the document, and as large as the one that ships."""
    for link in re.findall(r"!\[[^]]*\]\(([^)]+)\)", text):
        path = os.path.normpath(os.path.join(os.path.dirname(name), link))
        assert any(f"-o {path}" in command for command in run), f"{name}: no command draws {path}"
        ships, drawn = png_size(os.path.join(SOURCE, path)), png_size(os.path.join(folder, path))
        assert all(abs(a - b) <= a // 50 for a, b in zip(ships, drawn)), f"{name}: {path} is drawn anew: {drawn}"


def main():
    check_printed_as()
    for name, least in DOCUMENTS.items():
        with tempfile.TemporaryDirectory() as folder:
            shutil.copytree(os.path.join(SOURCE, "corpus"), os.path.join(folder, "corpus"))
            os.makedirs(os.path.join(folder, "build", "src"))
            os.symlink(ROWCALL, os.path.join(folder, "build", "src", "rowcall"))
            run = check_document(name, folder)
            assert len(run) >= least, (name, run)
            print(f"{name}: {len(run)} commands print what it shows")


main()
