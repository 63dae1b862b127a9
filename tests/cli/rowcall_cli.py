# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""What the tests of the command line share. Each is run as test_NAME.py ROWCALL CORPUS ..."""

import os
import subprocess
import sys
import traceback

ROWCALL, CORPUS = (os.path.abspath(path) for path in sys.argv[1:3])

LANTERN = """title: Lantern at the Weir
key: D
meter: 3/4
tempo: 138
parts:
  A: "| D | Bm | G | A7 |"
  B: "| Em . A7 | % | D | N.C. |"
order: A A B
"""


def run(*arguments, stdin="", env=None, folder=None, **more):
    """The status of a run, what it said on standard output and on standard error."""
    environment = {**os.environ, "LC_ALL": "C.UTF-8", **(env or {})}
    done = subprocess.run([ROWCALL, *arguments], input=stdin if isinstance(stdin, bytes) else stdin.encode(),
                          capture_output=True, env=environment, cwd=folder, timeout=120, check=False, **more)
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def good(*arguments, **more):
    status, out, err = run(*arguments, **more)
    assert status == 0, (status, err)
    assert err == "", err
    return out


def bad(status, *arguments, **more):
    got, out, err = run(*arguments, **more)
    assert got == status, (got, out[:2000], err[:2000])
    assert err.startswith("rowcall: "), err
    return out, err


def write(folder, name, text):
    path = os.path.join(folder, name)
    with open(path, "wb") as file:
        file.write(text if isinstance(text, bytes) else text.encode())
    return path


def read(*path):
    with open(os.path.join(*path), "rb") as file:
        return file.read()


class Skip(Exception):
    """What a test needs is not there; it is left out, and that is said."""


def main(tests):
    """Runs what is called test_... in `tests`, a module's names; the exit status."""
    passed = failed = 0
    for name, test in list(tests.items()):
        if name.startswith("test_"):
            try:
                test()
                passed += 1
            except Skip as reason:
                print(f"left out {name}: {reason}")
            except Exception as reason:  # a failing test must not hide the others
                failed += 1
                line = traceback.extract_tb(reason.__traceback__)[1].lineno
                print(f"FAILED {name}, line {line}: {type(reason).__name__} {str(reason)[:4000]}")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0
