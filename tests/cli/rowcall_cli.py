# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""What the tests of the command line share. Each is run as test_NAME.py ROWCALL CORPUS ...; a last argument I/N, such as 2/3,
has it run each N-th test from the I-th on, so that a long list of tests can be run in parts at once."""

import atexit
import os
import re
import shutil
import subprocess
import sys
import tempfile
import traceback

ROWCALL, CORPUS = (os.path.abspath(path) for path in sys.argv[1:3])
MAY_LACK = os.environ.get("ROWCALL_MAY_LACK")  # set where pictures and codecs are left out of the build, and so of the tests

# Nobody's settings hold here: the configuration folder is an empty one, for every program that a test runs.
os.environ["XDG_CONFIG_HOME"] = tempfile.mkdtemp(prefix="rowcall-config-")
os.chmod(os.environ["XDG_CONFIG_HOME"], 0o755)  # some tests run the program with fewer rights
atexit.register(shutil.rmtree, os.environ["XDG_CONFIG_HOME"], ignore_errors=True)

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
    if MAY_LACK and (lacking := re.search(r"this build (draws no pictures|writes no sound but.*)", done.stderr.decode())):
        raise Skip(lacking[0])
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


def command_names():
    """The commands that the program says it has."""
    return re.findall(r"^  (\w+)  +\S", good("--help"), re.MULTILINE)


class Skip(Exception):
    """What a test needs is not there; it is left out, and that is said."""


def main(tests):
    """Runs what is called test_... in `tests`, a module's names; the exit status."""
    share = re.fullmatch(r"(\d+)/(\d+)", sys.argv[-1])
    first, step = (int(share[1]) - 1, int(share[2])) if share else (0, 1)
    passed = failed = 0
    for name, test in [item for item in tests.items() if item[0].startswith("test_")][first::step]:
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
