#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""Mutates well-formed files by their structure and gives them to every command: mutate.py ROWCALL [SECONDS [SEED [FORMAT...]]].

ROWCALL is a build with the address and undefined-behaviour sanitizers. The byte fuzzers beside this script learn a format
from nothing; this one begins with whole files of each format (the demo, and what other tests read), takes them apart into
lines and elements, and swaps, drops, doubles, moves and nests these, puts extreme numbers in place of numbers, and writes the
result in odd encodings, packed or not. A run is good where it ends in time with status 0 to 2, says what it says in lines
that begin with "rowcall: ", says something where the status is 2, prints nothing that a terminal obeys, and JSON that is
JSON. What is not is left in ./findings-mutate with the command, and the script fails at the end; it prints how much was tried
of each format. The same seed makes the same cases on one core.
"""

import bz2
import concurrent.futures
import glob
import gzip
import io
import json
import lzma
import os
import random
import re
import shlex
import subprocess
import sys
import tarfile
import tempfile
import time
import zipfile

ROOT = os.path.abspath(os.path.join(os.path.dirname(__file__), "..", ".."))
LONGEST = 60  # seconds of one command
MOST_BYTES = 200_000  # of a mutated file
HIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]|\r(?!\n)")
NOISE = re.compile("AddressSanitizer|runtime error|LeakSanitizer|-CRITICAL|-WARNING|Assertion|terminate")

# ------------------------------------------------------------------------------------------------------------ the files

SEEDS = {
    "yaml": ["corpus/*.yaml"],
    "abc": ["tests/corpus_abc/good/*.abc", "tests/fuzz/seeds/tunes/*.abc"],
    "chordpro": ["tests/reference/songs/*.cho", "tests/fuzz/seeds/chordpro/*"],
    "musicxml": ["tests/reference/scores/*.musicxml", "tests/fuzz/seeds/musicxml/*.musicxml"],
    "mxl": ["tests/reference/scores/*.musicxml"],
    "layout": ["layouts/*.yaml", "tests/fuzz/seeds/layout/*"],
    "offers": ["corpus/*.offers", "tests/fuzz/seeds/offers/*"],
}
ENDINGS = {"yaml": ".yaml", "abc": ".abc", "chordpro": ".cho", "musicxml": ".musicxml", "mxl": ".mxl", "layout": ".yaml",
           "offers": ".offers"}

# Where a file of several tunes divides: in one of them a change is sooner felt.
DIVIDES = {"yaml": re.compile(r"^---\n", re.M), "abc": re.compile(r"^(?=X:)", re.M)}

# What a line of a format consists of: quoted texts, tags, fields, words, signs.
ELEMENTS = {
    "yaml": re.compile(r'"[^"\n]*"|[\w#/]+|\||[:%.{}\[\],-]|\s+'),
    "abc": re.compile(r'"[^"\n]*"|^[A-Za-z]:|\[[A-Za-z]:[^\]]*\]|\|[:|\]]?|:\||[_^=]*[A-Ga-gz][,\']*[0-9/]*|[(){}\[\]<>!+&~]|\S|\s+', re.M),
    "chordpro": re.compile(r"\{[^}\n]*\}|\[[^\]\n]*\]|\||\S+|\s+"),
    "musicxml": re.compile(r"<[^>]*>|[^<]+"),
    "layout": re.compile(r'"[^"\n]*"|[\w#]+|[:%.{}\[\],-]|\s+'),
    "offers": re.compile(r'"[^"\n]*"|[\w#]+|[:%.{}\[\],-]|\s+'),
}
ELEMENTS["mxl"] = ELEMENTS["musicxml"]

# Whole elements, each with what lies within it: they are moved into others, and doubled with all they hold.
NESTED = re.compile(r"<([\w-]+)(?:\s[^>]*)?(?<!/)>.*?</\1>|\{[^{}]*\}|\[[^\[\]]*\]", re.S)

NUMBER = re.compile(r"\d+(?:\.\d+)?")
NUMBERS = ["0", "-1", "1", "2", "127", "255", "256", "65535", "65536", "2147483647", "2147483648", "4294967296", "1e9", "1e308", "1e999",
           "-9223372036854775808", "18446744073709551616", "9" * 40, "0.0000001", "1/0", "0/1", "nan", "inf", "0x7fffffff", "1,5", "007"]
TEXTS = ["\x1b[31m", "\u202e", "\u2028", "\x00", "\\0", "\\x00", "&#x9b;", "&#0;", "&amp;amp;", "&lt;", "\t", "\r", "\ufeff", "\U0001f3b5",
         "é" * 40, "A" * 5000, "A" * 40, "[]", "{}", "[x]", "=1+1", "%s%n", "../../etc/x", "{{", "}}", "[[", '"', "'", "---\n", "...", "&a", "*a", "<<: ", "!!binary ", "|", "%",
         "N.C.", "Cmaj7#11/Gb", "H", "(((((", "-", "|:", ":|", "::", "[1", "[2", "D.S. al Coda"]


def load_seeds():
    seeds = {}
    for kind, patterns in SEEDS.items():
        paths = sorted(path for pattern in patterns for path in glob.glob(os.path.join(ROOT, pattern)))
        assert paths, kind
        seeds[kind] = []
        for path in paths:
            with open(path, "rb") as file:
                text = file.read().decode("utf-8", "replace")
            if len(text) < MOST_BYTES:
                seeds[kind].append(text)
                seeds[kind] += DIVIDES[kind].split(text)[1:9] if kind in DIVIDES else []
    return seeds


# -------------------------------------------------------------------------------------------------------- the mutations

def shuffled(draw, parts):
    """One change of a list of parts: swap, drop, double, move, or a run of one of these."""
    parts = list(parts)
    if not parts:
        return parts
    said = [i for i, part in enumerate(parts) if not part.isspace()] or range(len(parts))
    one, other = draw.choice(said), draw.choice(said)
    length = draw.choice([1, 1, 1, 2, 5, 20])
    what = draw.randrange(6)
    if what == 0:
        parts[one], parts[other] = parts[other], parts[one]
    elif what == 1:
        del parts[one:one + length]
    elif what == 2:
        parts[one:one] = parts[one:one + length] * draw.choice([1, 1, 2, 50, 1000])
    elif what == 3:
        moved = parts[one:one + length]
        del parts[one:one + length]
        parts[other:other] = moved
    elif what == 4:
        parts[one:one] = parts[other:other + length]
    else:
        del parts[one:]  # cut off
    return parts


def change_lines(draw, kind, text, others):
    return "".join(shuffled(draw, text.splitlines(keepends=True)))


def change_elements(draw, kind, text, others):
    return "".join(shuffled(draw, ELEMENTS[kind].findall(text)))


def nest(draw, kind, text, others):
    """Puts a whole element into, or in place of, another, or many times into itself."""
    found = [match.span() for match in NESTED.finditer(text)]
    if not found:
        return change_lines(draw, kind, text, others)
    one, other = draw.choice(found), draw.choice(found)
    inner = text[slice(*one)]
    if draw.random() < 0.3:  # deep
        start = re.match(r"<[^>]*>|.", inner, re.S).group()
        end = re.search(r"</[^>]*>$|.$", inner, re.S).group()
        depth = draw.choice([2, 30, 70, 500])
        inner = start * depth + inner + end * depth
    first = re.match(r"<[^>]*>|.", text[slice(*other)], re.S).end()
    place = draw.choice([other[0], other[0] + first, other[1]])  # before it, in it, after it
    return text[:place] + inner + text[(other[1] if draw.random() < 0.3 and place == other[0] else place):]


def change_number(draw, kind, text, others):
    found = list(NUMBER.finditer(text))
    if not found:
        return change_lines(draw, kind, text, others)
    match = draw.choice(found)
    return text[:match.start()] + draw.choice(NUMBERS) + text[match.end():]


def insert_text(draw, kind, text, others):
    """A text before an element or in place of one."""
    places = [match.span() for match in ELEMENTS[kind].finditer(text) if not match.group().isspace()] or [(0, 0)]
    start, end = draw.choice(places)
    return text[:start] + draw.choice(TEXTS) + text[(start if draw.random() < 0.5 else end):]


def cross(draw, kind, text, others):
    """The beginning of one file and the end of another of its kind."""
    lines, more = text.splitlines(keepends=True), draw.choice(others).splitlines(keepends=True)
    return "".join(lines[:draw.randrange(len(lines) + 1)] + more[draw.randrange(len(more) + 1):])


CHANGES = [change_lines, change_elements, nest, change_number, change_number, insert_text, cross]


def encoded(draw, text):
    """Mostly UTF-8 as it should be."""
    text = text[:MOST_BYTES]
    what = draw.randrange(24)
    data = text.encode("utf-8", "replace")
    if what == 0:
        return b"\xef\xbb\xbf" + data
    if what == 1:
        return text.encode(draw.choice(["utf-16", "utf-16-be", "utf-16-le", "utf-32"]), "replace")
    if what == 2:
        return text.encode("latin-1", "replace")
    if what == 3:
        return data.replace(b"\n", draw.choice([b"\r\n", b"\r", b"\n\n", b"\x0b", b"\xc2\x85"]))
    if what == 4 and data:  # bytes that are no text, cut or too long
        place = draw.randrange(len(data))
        return data[:place] + draw.choice([b"\xff", b"\xc3", b"\xe2\x99", b"\xc0\x80", b"\xed\xa0\x80", b"\xf5\x90\x80\x80", b"\x00"]) + data[place:]
    if what == 5 and data:
        return data[:draw.randrange(len(data))]
    return data


def zipped(members):
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return packed.getvalue()


def as_container(draw, data):
    names = [b"score.xml", b"score.xml", b"score.xml", b"", b"../score.xml", b"other.xml", b"META-INF/container.xml"]
    listing = b'<?xml version="1.0"?><container><rootfiles><rootfile full-path="' + draw.choice(names) + b'"/></rootfiles></container>'
    if draw.random() < 0.1:
        listing = draw.choice([b"", listing[:40], listing * 2, listing.replace(b"rootfile ", b"file "), b"\xff" + listing])
    return zipped({"META-INF/container.xml": listing, "score.xml": data})


def damaged(draw, data):
    """Now and then a byte of what is packed is another."""
    if draw.random() < 0.4:
        place = draw.randrange(len(data))
        return data[:place] + bytes([draw.randrange(256)]) + data[place + 1:]
    return data


def as_packed(draw, name, data):
    """The file as it is, or packed; the name with its ending."""
    what = draw.randrange(16)
    if what < 3:
        pack, ending = ((gzip.compress, ".gz"), (bz2.compress, ".bz2"), (lzma.compress, ".xz"))[what]
        return name + ending, damaged(draw, pack(data))
    if what == 3:
        members = {member: data for member in draw.sample(["a.yaml", "b.abc", "c.cho", "d.musicxml", "\x1b[7m.abc", "x/../y.yaml"], 2)}
        return name + ".zip", damaged(draw, zipped({**members, name: data}))
    if what == 4:
        packed = io.BytesIO()
        with tarfile.open(fileobj=packed, mode="w") as archive:
            entry = tarfile.TarInfo(name)
            entry.size = len(data)
            archive.addfile(entry, io.BytesIO(data))
        return name + ".tar", damaged(draw, packed.getvalue())
    return name, data


def mutated(draw, kind, seeds):
    text = draw.choice(seeds[kind])
    for _ in range(draw.choice([1, 1, 2, 3, 6])):
        text = draw.choice(CHANGES)(draw, kind, text[:MOST_BYTES], seeds[kind])
    data = encoded(draw, text)
    if kind == "mxl":
        return "mutant.mxl", damaged(draw, as_container(draw, data)) if draw.random() < 0.3 else as_container(draw, data)
    name = "mutant" + ENDINGS[kind]
    return as_packed(draw, name, data) if kind in ("yaml", "abc", "chordpro", "musicxml") else (name, data)


# --------------------------------------------------------------------------------------------------------- the commands

FORMATS = ["table", "csv", "json"]
PICTURES = ["pdf", "svg", "png"]
SOUNDS = ["wav", "mid"]
BOARDS = ["8", "12", "48-8x6", "120"]
OPTIONS = [[], [], ["--no-melody"], ["--names", "german"], ["--accept", "B"], ["--tempo", "none"], ["--press", "1"], ["--reach", "40"],
           ["--all-problems"], ["--threads", "1"]]


def listed_commands(rowcall):
    out = subprocess.run([rowcall, "--help"], capture_output=True, text=True, check=True).stdout
    return re.findall(r"^  (\w+) +\w", out, re.M)


def command_for(draw, kind, name, path, output):
    """What is asked: `name` of the file `path`; files written begin with `output`. A command not named here is asked as
    most are."""
    board = ["--on", draw.choice(BOARDS)]
    tunes = path
    if kind == "layout":
        board, tunes = ["--on", path], os.path.join(ROOT, "corpus", "waltzes.yaml")
    if kind == "offers" or name == "shop":
        offers = path if kind == "offers" else os.path.join(ROOT, "corpus", "window.offers")
        more = draw.choice([["--format", draw.choice(FORMATS)], ["-o", f"{output}.{draw.choice(PICTURES)}"]])
        return ["shop", offers, os.path.join(ROOT, "corpus", "waltzes.yaml") if kind == "offers" else tunes, *more]
    text = ["--format", draw.choice(FORMATS)]
    picture = ["-o", f"{output}.{draw.choice(PICTURES)}"]
    options = draw.choice(OPTIONS)
    if name == "layouts":
        return ["layouts", *draw.choice([["--check", path], [path, *text], [path, *picture]])]
    if name == "chord":
        return ["chord", "Bm7b5", "F#/A#", *board, *text]
    if name in ("compare", "sizes"):
        on = board if name == "compare" and draw.random() < 0.5 or kind == "layout" and name == "compare" else []
        return [name, tunes, *on, *options, *draw.choice([text, picture])]
    if name == "heat":
        return [name, tunes, *board, *options, *draw.choice([text, picture])]
    if name == "sheet":
        return [name, tunes, *board, *options, "-o", f"{output}.pdf"]
    if name == "report":
        return [name, tunes, *board, *options, "--sections", draw.choice(["answer", "coverage", "all"]), "-o", f"{output}.pdf"]
    if name == "listen":
        return [name, tunes, *board, *draw.choice([[], ["--wanted"], ["--with-melody"]]), "-o", f"{output}.{draw.choice(SOUNDS)}"]
    return [name, tunes, *board, *options, *text]


# ------------------------------------------------------------------------------------------------------------- a case

def run(rowcall, words):
    """The status of a run, what it said, and what was wrong with it, or None."""
    environment = {**os.environ, "LC_ALL": "C.UTF-8", "UBSAN_OPTIONS": "halt_on_error=1:print_stacktrace=1", "G_SLICE": "always-malloc",
                   "ASAN_OPTIONS": "detect_leaks=1:exitcode=99", "LSAN_OPTIONS": f"suppressions={ROOT}/tests/leaks.supp:print_suppressions=0"}
    try:
        done = subprocess.run([rowcall, *words], stdin=subprocess.DEVNULL, capture_output=True, env=environment, timeout=LONGEST, check=False)
    except subprocess.TimeoutExpired:
        return None, "", f"no end within {LONGEST} s"
    return done.returncode, done.stderr.decode("utf-8", "replace"), judged(words, done)


def judged(words, done):
    try:
        out, err = done.stdout.decode(), done.stderr.decode()
    except UnicodeDecodeError:
        return "printed what is no UTF-8"
    if done.returncode not in (0, 1, 2):
        return f"status {done.returncode}"
    if NOISE.search(err):
        return "a sanitizer or a library complained"
    if any(not line.startswith("rowcall: ") for line in err.split("\n")[:-1]):
        return "a message of more than one line, or of somebody else"
    if done.returncode == 2 and not err:
        return "status 2 without a word"
    if HIDDEN.search(out) or HIDDEN.search(err):
        return "printed what a terminal obeys"
    if words[-2:] == ["--format", "json"] and out:
        try:
            json.loads(out)
        except ValueError as reason:
            return f"JSON that is none: {reason}"
    return None


def try_case(rowcall, commands, seeds, seed, folder):
    draw = random.Random(seed)
    kind = draw.choice(list(seeds))
    name, data = mutated(draw, kind, seeds)
    with tempfile.TemporaryDirectory(dir=folder) as place:
        path = os.path.join(place, name)
        with open(path, "wb") as file:
            file.write(data)
        words = command_for(draw, kind, draw.choice(commands), path, os.path.join(place, "out"))
        status, err, wrong = run(rowcall, words)
    if wrong:
        keep_finding(seed, name, data, words, path, wrong, err)
    return kind, words[0], status, wrong


def keep_finding(seed, name, data, words, path, wrong, err):
    folder = os.path.join("findings-mutate", str(seed).replace(":", "-"))
    os.makedirs(folder, exist_ok=True)
    with open(os.path.join(folder, name), "wb") as file:
        file.write(data)
    with open(os.path.join(folder, "told"), "w", encoding="utf-8", errors="replace") as file:
        file.write(f"rowcall {shlex.join(word.replace(path, name) for word in words)}\n{wrong}\n{err[-20000:]}")
    where = re.search(r"#\d+ 0x[0-9a-f]+ in (rc_\w+|\w+) [^\n]*/src/[^\n]*|[^\n]*runtime error[^\n]*", err)
    print(f"FOUND {folder}: {words[0]}: {wrong}{': ' + where.group()[-160:] if where else ''}", flush=True)


def main():
    rowcall = os.path.abspath(sys.argv[1])
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else 60
    seed = sys.argv[3] if len(sys.argv) > 3 else "1"
    commands, seeds = listed_commands(rowcall), load_seeds()
    seeds = {kind: texts for kind, texts in seeds.items() if kind in sys.argv[4:] or len(sys.argv) < 5}
    counts, statuses, asked, found = dict.fromkeys(seeds, 0), {}, {}, dict.fromkeys(seeds, 0)
    end = time.monotonic() + seconds
    with tempfile.TemporaryDirectory() as folder, concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        waiting, number = set(), 0
        while waiting or time.monotonic() < end:
            while len(waiting) < 2 * os.cpu_count() and time.monotonic() < end:
                waiting.add(pool.submit(try_case, rowcall, commands, seeds, f"{seed}:{number}", folder))
                number += 1
            done, waiting = concurrent.futures.wait(waiting, return_when=concurrent.futures.FIRST_COMPLETED)
            for kind, name, status, wrong in (future.result() for future in done):
                counts[kind] += 1
                found[kind] += wrong is not None
                statuses[status] = statuses.get(status, 0) + 1
                asked[name] = asked.get(name, 0) + 1
    print(f"{'format':10} {'files':>7} {'findings':>9}")
    for kind, count in counts.items():
        print(f"{kind:10} {count:7} {found[kind]:9}")
    print("commands: " + ", ".join(f"{name} {asked.get(name, 0)}" for name in commands))
    print("statuses: " + ", ".join(f"{status} {count} times" for status, count in sorted(statuses.items(), key=str)))
    print(f"{sum(counts.values())} files, {sum(found.values())} findings, seed {seed}")
    return 1 if sum(found.values()) else 0


sys.exit(main())
