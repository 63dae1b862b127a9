# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""Writes the table of layouts that is built into the program: table.py LAYOUT.yaml... OUTPUT.c"""

import os
import sys

*LAYOUTS, OUTPUT = sys.argv[1:]


def literal(line):
    """A line of text as a C string. Bytes beyond ASCII are octal, which the next character cannot join."""
    escapes = {0x22: '\\"', 0x5C: "\\\\", 0x0A: "\\n"}
    return '"' + "".join(escapes.get(c, chr(c) if 0x20 <= c < 0x7F else f"\\{c:03o}") for c in line) + '"'


def main():
    out = ['#include "keyboard/shipped.h"\n\nconst RcShippedLayout rc_shipped_layouts[] = {\n']
    for path in sorted(LAYOUTS, key=os.path.basename):
        with open(path, "rb") as file:
            text = file.read()
        lines = "\n    ".join(literal(line) for line in text.splitlines(keepends=True))
        out.append(f'  {{ "{os.path.basename(path)[:-len(".yaml")]}", {len(text)},\n    {lines} }},\n')
    out.append("  { NULL, 0, NULL },\n};\n")
    with open(OUTPUT, "w", encoding="ascii") as file:
        file.write("".join(out))


main()
