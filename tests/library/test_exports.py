#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""The shared library exports what the public headers declare, and nothing else:
test_exports.py LIBRARY SONAME HEADER..."""

import re
import subprocess
import sys

LIBRARY, SONAME, *HEADERS = sys.argv[1:]


def declared(text):
    """The functions and data that a header declares, without those that are defined in it."""
    text = re.sub(r"//[^\n]*|/\*.*?\*/", "", text, flags=re.DOTALL)
    text = re.sub(r"^\s*#(?:[^\n]*\\\n)*[^\n]*$", "", text, flags=re.MULTILINE)
    text = re.sub(r"\bRC_(BEGIN|END)_API\b", ";", text)
    while "{" in text:
        text = re.sub(r"\{[^{}]*\}", " BODY ", text)
        text = re.sub(r"\bstatic inline\b[^;{}]*? BODY ", ";", text)
    names = set()
    for declaration in text.split(";"):
        words = declaration.split()
        if not words or words[0] in ("typedef", "struct", "enum"):
            continue
        pattern = r"(\w+)\s*(?:\[[^\]]*\])*\s*$" if words[0] == "extern" else r"(\w+)\s*\("
        names.add(re.search(pattern, declaration).group(1))
    return names


def exported():
    """What a program may link to; names that begin with __ are those of sanitizers."""
    lines = subprocess.run(["nm", "--dynamic", "--defined-only", "--format=posix", LIBRARY],
                           capture_output=True, text=True, check=True).stdout.splitlines()
    return {line.split()[0] for line in lines if not line.startswith("__")}


def soname():
    said = subprocess.run(["readelf", "--dynamic", LIBRARY], capture_output=True, text=True, check=True).stdout
    return re.search(r"SONAME.*\[(.*)\]", said).group(1)


def main():
    promised = set()
    for header in HEADERS:
        with open(header, encoding="utf-8") as file:
            promised |= declared(file.read())
    given = exported()
    assert not promised - given, f"declared in a public header, not exported: {sorted(promised - given)}"
    assert not given - promised, f"exported, declared in no public header: {sorted(given - promised)}"
    assert {name for name in given if not name.startswith("rc_")} == set()
    assert soname() == SONAME, soname()
    print(len(given), "symbols")


main()
