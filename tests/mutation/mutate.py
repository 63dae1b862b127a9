# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""Changes the source in one place at a time and asks whether a test notices.

    mutate.py TREE BUILD ROOM... [--most N] [--seed N] [--jobs N] [--list]

TREE is a copy of the sources that may be written to, BUILD its build folder. A ROOM is a folder of src or one file.
Each change (a mutant) swaps an operator, moves a number by one, turns a condition round or leaves out a statement. The
tests that cover the room, and hold the changed file, run until one fails; those of the command line come last. What none
notices survives and is printed as FILE:LINE, before and after.
tests/mutation/equivalent.tsv lists survivors that change nothing a test could see, each with its reason. A line that is
in a file more than once is named with its function, FILE:FUNCTION, and with its place among those of the function, from 1,
where that has it more than once: FILE:FUNCTION:2.
"""

import argparse
import collections
import concurrent.futures
import functools
import glob
import os
import random
import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time

HERE = os.path.dirname(os.path.abspath(__file__))
SECONDS, TIMES = 5, 10  # of the processor, and times what a test takes without a change: else it loops, and is noticed
CLOCK_TIMES = 30  # as much by the clock on a busy machine: else it waits for ever, as does
QUIET = 20  # a program that takes no time of the processor for so many seconds

# The tests of a room, quick ones first. The first word is the program in BUILD/tests, or a script in TREE/tests that is
# given BUILD/src/rowcall; the rest are arguments.
TESTS = {
    "base": ["unit_visible", "unit_load", "unit_tasks", "unit_notes", "unit_layouts", "unit_chordpro", "unit_study", "unit_offers", "unit_tunes"],
    "music": ["unit_notes", "unit_stretches", "test_kinds", "test_keys", "test_chord_tables", "unit_answers",
              "unit_rules", "unit_key_guess", "unit_doubts", "test_songs", "unit_chordpro", "unit_musicxml",
              "unit_abc", "test_scores", "unit_symbols", "unit_tunes", "unit_routes", "test_recount"],
    "keyboard": ["unit_layouts", "test_sizes", "test_buttons", "unit_answers", "test_fingers", "unit_figures",
                 "test_boards", "test_combinations", "unit_offers", "unit_sweep", "unit_routes", "test_recount"],
    "coverage": ["unit_coverage", "unit_rules", "unit_rolls", "unit_answers", "test_weights", "unit_doubts",
                 "test_known_results", "unit_study", "unit_musicxml", "unit_abc", "test_combinations", "test_models", "unit_offers", "whole 40 1",
                 "unit_sweep", "unit_tunes", "test_recount"],
    "route": ["unit_uses", "unit_cards", "test_questions", "test_fingers", "unit_hands", "unit_ways", "unit_charts",
              "unit_figures", "whole 40 1", "unit_tunes", "unit_routes", "test_recount"],
    "study": ["unit_cards", "unit_uses", "unit_ladder", "unit_beside", "unit_listening", "unit_lists", "unit_doubts",
              "test_questions", "test_weights", "unit_answers", "unit_study", "unit_recounted", "whole 40 1",
              "unit_crew", "unit_offers", "unit_pieces",
              "cli/test_heat.py corpus", "cli/test_readme.py .", "cli/test_cli.py corpus"],
    "sound": ["test_sound"],
}

# What is swapped for what. A name before each says what kind of change it is.
SWAPS = [
    ("comparison", r"(?<![<>=!\-])<(?![<=])", "<="),
    ("comparison", r"(?<![<])<=", "<"),
    ("comparison", r"(?<![\->])>(?![>=])", ">="),
    ("comparison", r"(?<![>])>=", ">"),
    ("comparison", r"==", "!="),
    ("comparison", r"!=", "=="),
    ("logic", r"&&", "||"),
    ("logic", r"\|\|", "&&"),
    ("sum", r"(?<=[\w)\]] )\+(?= [\w(])", "-"),
    ("sum", r"(?<=[\w)\]] )-(?= [\w(])", "+"),
    ("sum", r"\+=", "-="),
    ("bounds", r"\bMIN\(", "MAX("),
    ("bounds", r"\bMAX\(", "MIN("),
    ("truth", r"\bTRUE\b", "FALSE"),
    ("truth", r"\bFALSE\b", "TRUE"),
    ("number", r"(?<![\w.\"#])(\d+)(?![\w.\"])", lambda m: str(int(m.group(1)) + 1)),
    ("condition", r"\bif \((.*)\) \{$", lambda m: f"if (!({m.group(1)})) {{"),
]
STATEMENT = re.compile(r"^\s+(?!return|break|continue|case|goto|const |static |else|enum |gboolean |guint |int |char |double )"
                       r"[\w(*+\-].*;$")
# Memory that is never freed is sought by tests/valgrind.sh and the sanitizers, not by what tests read; nor does a test
# see whether an array ends with a zero or has room to spare.
FREES = re.compile(r"^\s+(g_free|g_strfreev|g_clear_pointer|g_clear_object|\w+_free|\w+_free_full|\w+_unref|\w+_delete|"
                   r"g_(cond|mutex)_clear|rc_(code_map|gains|known_codes|set_counts|wants)_clear)\(")
MEMORY = {
    "truth": re.compile(r"g_array_new\(|g_array_sized_new\(|_free\(.*, TRUE\)"),
    "number": re.compile(r"\bg_new0?\(|_sized_new\("),
    "bounds": re.compile(r"\bg_new0?\("),
    "sum": re.compile(r"\bg_new0?\(|_sized_new\("),
}
DECLARATION = re.compile(r"^\s+(const |static )?(struct |unsigned )?\w+ \**\w+( = |;|\[)")


def code_of(line):
    """The line with its strings, characters and comment blanked out, so that nothing in them is changed; nor the place of
    a message about no file, which is never shown."""
    line = line.replace("(RcPlace){ NULL, 0, 0 }", "_" * len("(RcPlace){ NULL, 0, 0 }"))
    line = re.sub(r'"(\\.|[^"\\])*"', lambda m: '"' + "_" * (len(m.group(0)) - 2) + '"', line)
    line = re.sub(r"'(\\.|[^'\\])'", lambda m: "'" + "_" * (len(m.group(0)) - 2) + "'", line)
    return re.sub(r"//.*", lambda m: " " * len(m.group(0)), line)


def changes_of(line):
    """Yields each kind of change and the line with it."""
    code = code_of(line)
    if not code.startswith(" ") or code.lstrip().startswith(("#", "/", "*", "g_assert")) or code.endswith("\\"):
        return
    for kind, pattern, swap in SWAPS:
        if kind in MEMORY and MEMORY[kind].search(code):
            continue
        for match in re.finditer(pattern, code):
            new = swap(match) if callable(swap) else swap
            if kind == "condition":  # the text of the condition, not its blanked form
                inner = line[match.start() + 4:match.end() - 3]
                new = f"if (!({inner})) {{"
            yield kind, line[:match.start()] + new + line[match.end():]
    if STATEMENT.match(code) and not DECLARATION.match(code) and not FREES.match(code):
        yield "statement", re.match(r"\s*", line).group(0) + ";"


def lines_of(tree, path):
    """The lines of a file, and for each the function that it is in, or None."""
    with open(os.path.join(tree, path), encoding="utf-8") as file:
        lines = file.read().split("\n")
    functions = []
    for line in lines:
        begun = re.match(r"(\w+)\(", line)
        functions.append(begun.group(1) if begun else functions[-1] if functions else None)
    return lines, functions


def mutants_of(tree, path):
    """All mutants of a file: its path, the line from 1, the kind, and the line before and after."""
    for number, line in enumerate(lines_of(tree, path)[0], 1):
        for kind, new in changes_of(line):
            yield path, number, kind, line, new


def files_of(tree, room):
    """The C files of a room, or the one that is named."""
    if room.endswith(".c"):
        return [room]
    folder = os.path.join(tree, "src", room)
    return [os.path.join("src", room, name) for name in sorted(os.listdir(folder)) if name.endswith(".c")]


def known_equivalents(tree):
    """The mutants that change nothing: (path, line from 1, line after without its indentation). A row that fits no line,
    or several, names none of them and is shown."""
    known = set()
    with open(os.path.join(HERE, "equivalent.tsv"), encoding="utf-8") as file:
        rows = [row.split("\t") for row in file.read().splitlines() if row and not row.startswith("#")]
    for place, before, after, _ in rows:
        path, function, nth = (place.split(":") + ["", ""])[:3]
        lines, functions = lines_of(tree, path)
        numbers = [number for number, line in enumerate(lines, 1)
                   if line.strip() == before and function in ("", functions[number - 1])]
        numbers = numbers[int(nth) - 1:int(nth)] if nth else numbers
        if len(numbers) == 1:
            known.add((path, numbers[0], after))
        else:
            print(f"equivalent.tsv: {place} has this line {len(numbers)} times: {before}", file=sys.stderr)
    return known


def is_script(test):
    return ".py" in test


@functools.cache
def symbols_of(path, *flags):
    """The names of what a program or an object file defines."""
    listed = subprocess.run(["nm", "--defined-only", *flags, path], capture_output=True, text=True, check=True)
    return {line.split()[-1] for line in listed.stdout.splitlines()}


def processor_time(pid):
    """The ticks that all threads of a process have taken of the processor."""
    try:
        with open(f"/proc/{pid}/stat", encoding="ascii", errors="replace") as file:
            return sum(map(int, file.read().rpartition(")")[2].split()[11:13]))
    except FileNotFoundError:
        return 0


def await_end(process, seconds, quiet):
    """The exit status of a process; None where it took longer, or waited as long as `quiet` unless that is None, and was
    ended."""
    used, since, end = 0, time.monotonic(), time.monotonic() + seconds
    while True:
        try:
            return process.wait(1)
        except subprocess.TimeoutExpired:
            taken = processor_time(process.pid)
            used, since = (used, since) if taken == used else (taken, time.monotonic())
        if time.monotonic() > end or (quiet and time.monotonic() > since + quiet):
            process.kill()
            process.wait()
            return None


class Bench:
    """A copy of the tree with its build, in which one mutant at a time is tried."""

    noticed = collections.Counter()  # by file and test, over all benches
    limits = {}  # seconds of the processor, by test
    built = None  # the build folder in which all tests were measured

    def __init__(self, tree, build):
        self.tree = tree
        self.build = build
        self.folder = tempfile.TemporaryDirectory()  # what a change makes a test write is no part of any tree

    def programs(self, room, path=None):
        """The tests of a room, those first that noticed most changes of a file, without those that do not hold it."""
        tests = sorted(TESTS[room], key=lambda test: (is_script(test), -Bench.noticed[path, test]))  # a stable order
        return [test.split() for test in tests if not path or is_script(test) or self.holds(test.split()[0], path)]

    @staticmethod
    def holds(program, path):
        """Whether a program, into which the library is linked, holds anything that a file defines."""
        name = path[len("src/"):].replace("/", "_") + ".o"
        object_file = glob.glob(os.path.join(Bench.built, "src", "librowcall.*.p", name))[0]
        return bool(symbols_of(object_file, "--extern-only") & symbols_of(os.path.join(Bench.built, "tests", program)))

    def make(self, test):
        """Builds one test; what changed in the library is compiled with the first."""
        target = "src/rowcall" if is_script(test[0]) else f"tests/{test[0]}"
        return subprocess.run(["ninja", "-C", self.build, target], capture_output=True, check=False).returncode == 0

    def command(self, test):
        if not is_script(test[0]):
            return [os.path.join(self.build, "tests", test[0]), *test[1:]]
        script, source = test
        return [sys.executable, os.path.join(self.tree, "tests", script), os.path.join(self.build, "src", "rowcall"),
                os.path.join(self.tree, source)]

    def passes(self, test):
        environment = dict(os.environ, ROWCALL_TEST_DATA=os.path.join(self.tree, "tests"),
                           ROWCALL_TEST_CORPUS=os.path.join(self.tree, "corpus"), G_DEBUG="fatal-warnings",
                           MALLOC_PERTURB_="165")  # what is read after an array's end is no zero, and may be noticed
        limit = Bench.limits.get(test[0], 600)
        command = ["prlimit", f"--cpu={limit}", *self.command(test)]
        with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=environment,
                              cwd=self.folder.name) as process:
            # what a script waits for is its children, whose time is not its own
            return await_end(process, CLOCK_TIMES * limit, None if is_script(test[0]) else QUIET) == 0

    def measure(self, test):
        """Whether a test is built and passes without any change; notes how long it may take with one."""
        if not self.make(test):
            return False
        before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
        good = self.passes(test)
        taken = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before
        Bench.limits[test[0]] = SECONDS + round(TIMES * taken)
        return good

    def run(self, programs):
        """What came of the tests, in turn until one fails, and which it was: "broken" (it does not compile), "noticed" or
        "survived"."""
        for test in programs:
            if not self.make(test):
                return "broken", test
            if not self.passes(test):
                return "noticed", test
        return "survived", None

    def attempt(self, room, mutant):
        """What came of a mutant, and which test noticed it, as run() tells."""
        path, number, _, _, new = mutant
        full = os.path.join(self.tree, path)
        with open(full, encoding="utf-8") as file:
            old = file.read()
        lines = old.split("\n")
        lines[number - 1] = new
        try:
            with open(full, "w", encoding="utf-8") as file:
                file.write("\n".join(lines))
            result, test = self.run(self.programs(room, path))
            if result == "noticed":
                Bench.noticed[path, " ".join(test)] += 1
            return result, test
        finally:
            with open(full, "w", encoding="utf-8") as file:
                file.write(old)


def make_benches(tree, build, jobs):
    """As many copies of tree and build as there are jobs; the first is the one that was given."""
    Bench.built = build
    benches = [Bench(tree, build)]
    for job in range(1, jobs):
        copy = f"{tree}-{job}"
        shutil.rmtree(copy, ignore_errors=True)
        shutil.copytree(tree, copy, ignore=shutil.ignore_patterns("build*", ".git"))
        subprocess.run(["meson", "setup", f"{copy}/build", copy, "-Dbuildtype=plain", "-Dc_args=-O1"],
                       capture_output=True, check=True)
        benches.append(Bench(copy, f"{copy}/build"))
    return benches


def choose(tree, room, most, seed):
    """The mutants to try of a room, at most so many, drawn by the seed."""
    mutants = [m for path in files_of(tree, room) for m in mutants_of(tree, path)]
    if most and len(mutants) > most:
        mutants = random.Random(f"{seed} {room}").sample(mutants, most)
    return sorted(mutants)


def without_equivalent(mutants, known):
    """Those that change something. They are drawn first, so that a seed draws the same while the list grows."""
    return [m for m in mutants if (m[0], m[1], m[4].strip()) not in known]


def try_room(benches, room, mutants):
    """Tries all mutants, shows those that survive and those that only the command line's tests notice, and returns how
    many came to what."""
    counts = {"noticed": 0, "survived": 0, "broken": 0}
    key = room.split("/")[1] if room.endswith(".c") else room
    for test in benches[0].programs(key):
        if not benches[0].measure(test):
            sys.exit(f"{room}: {' '.join(test)} is not built or fails without any change")
    free = list(benches)

    def one(mutant):
        bench = free.pop()
        try:
            return mutant, bench.attempt(key, mutant)
        finally:
            free.append(bench)

    with concurrent.futures.ThreadPoolExecutor(len(benches)) as pool:
        for (path, number, kind, before, after), (result, test) in pool.map(one, mutants):
            counts[result] += 1
            if result == "survived" or (result == "noticed" and is_script(test[0])):
                seen = f", noticed by {test[0]} alone" if test else ""
                print(f"{path}:{number}: {kind}{seen}\n  - {before.strip()}\n  + {after.strip()}", flush=True)
    return counts


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("tree")
    parser.add_argument("build")
    parser.add_argument("rooms", nargs="+")
    parser.add_argument("--most", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--list", action="store_true")
    options = parser.parse_args()
    known = known_equivalents(options.tree)
    chosen = {room: without_equivalent(choose(options.tree, room, options.most, options.seed), known)
              for room in options.rooms}
    if options.list:
        for room, mutants in chosen.items():
            print(f"{room}: {len(mutants)} mutants")
        return
    benches = make_benches(options.tree, options.build, options.jobs)
    for room, mutants in chosen.items():
        counts = try_room(benches, room, mutants)
        tried = counts["noticed"] + counts["survived"]
        share = 100 * counts["survived"] / tried if tried else 0
        print(f"{room}: {tried} mutants, {counts['survived']} survived ({share:.1f} %), "
              f"{counts['broken']} did not compile", flush=True)


if __name__ == "__main__":
    main()
