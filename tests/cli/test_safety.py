#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""Files made by others, and careless words on the command line: test_safety.py ROWCALL CORPUS FAULTS, as test_faults.py."""

import bz2
import csv
import fcntl
import gzip
import io
import json
import lzma
import os
import re
import subprocess
import sys
import tarfile
import tempfile
import time
import zipfile

sys.dont_write_bytecode = True

from rowcall_cli import CORPUS, LANTERN, ROWCALL, bad, good, main, read, run, write

FAULTS = os.path.abspath(sys.argv[3])

# ------------------------------------------------------------------------------- what a terminal obeys is never printed

# ESC colours or moves, CSI as one character, bell, delete, and what turns the direction of writing.
ESCAPES = {"\x1b": r"\x1b", "\x9b": r"\x9b", "\x07": r"\x07", "\x7f": r"\x7f", "\u202e": r"\u202e", "\u2066": r"\u2066",
           "\u200f": r"\u200f"}
HIDDEN = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]")
HOSTILE = "Weir" + "".join(ESCAPES)
SHOWN = "Weir" + "".join(ESCAPES.values())
COMMANDS = [["compare"], ["tune", "--on", "8"], ["keys", "--on", "8"], ["heat", "--on", "8"], ["sizes"]]


def yaml_quoted(text):
    return json.dumps(text)  # whose escapes are YAML's


def hostile_books(folder):
    """A tune in each format whose title, part and one chord hold all of ESCAPES, as far as the format lets them."""
    quoted = yaml_quoted(HOSTILE)
    xml = "Weir&#x9b;\u202e\u2066\u2028\u200f\x7f"
    yield write(folder, "a.yaml", f"title: {quoted}\nkey: D\nparts:\n  A: \"| D | Bm7b9b5 |\"\n  {yaml_quoted('B' + HOSTILE)}: "
                f"\"| D | Q{quoted[1:-1]} |\"\n")
    yield write(folder, "a.abc", f"X:1\nT:{HOSTILE}\nM:3/4\nL:1/4\nK:D\n\"D\"d3|\"Q{HOSTILE}\"d3|\n")
    yield write(folder, "a.cho", f"{{title: {HOSTILE}}}\n[D]One [Q{HOSTILE}]two\n")
    yield write(folder, "a.musicxml", f"<score-partwise version='4.0'><work><work-title>{xml}</work-title></work><part-list>"
                "<score-part id='P1'><part-name>P</part-name></score-part></part-list><part id='P1'><measure number='1'>"
                "<harmony><root><root-step>D</root-step></root><kind>major</kind></harmony><note><rest/>"
                f"<duration>4</duration></note></measure><measure number='2'><harmony><kind>{xml}</kind></harmony></measure>"
                "</part></score-partwise>")
    yield write(folder, f"file{HOSTILE}.yaml", LANTERN + "what: now\n")
    path = os.path.join(folder, "z.zip")
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(f"member{HOSTILE}.abc", "X:1\nT:Weir\nM:3/4\nL:1/4\nK:D\n\"D\"d3|\"Qx\"d3|\n")
    yield path


def test_what_a_terminal_obeys_is_never_printed():
    with tempfile.TemporaryDirectory() as folder:
        for path in hostile_books(folder):
            seen = ""
            for command in COMMANDS:
                for form in ("table", "csv", "json"):
                    status, out, err = run(*command, "--format", form, "--all-problems", path)
                    assert status < 3, (path, command)
                    text = out.replace("\r\n", "\n") if form == "csv" else out
                    for what in (text, err):
                        assert not HIDDEN.search(what), (path, command, form, HIDDEN.search(what), what[:1000])
                    seen += out + err
            assert r"\x9b" in seen and r"\u202e" in seen, (path, seen[:2000])


def test_names_on_the_command_line_and_bytes_that_are_no_text_are_shown_as_letters():
    with tempfile.TemporaryDirectory() as folder:
        board = write(folder, f"board{HOSTILE}.yaml", "name: [\n")
        for words in ([f"x{HOSTILE}"], ["compare", f"{folder}/no{HOSTILE}.yaml"], ["compare", f"--no{HOSTILE}"],
                      ["tune", "--on", HOSTILE, CORPUS], ["tune", "--on", board, CORPUS], ["chord", HOSTILE, "--on", "8"],
                      ["compare", CORPUS, "-o", f"{folder}/no{HOSTILE}/x.txt"], ["compare", CORPUS, "--accept", HOSTILE]):
            _, err = bad(2, *words)
            assert not HIDDEN.search(err) and SHOWN in err, (words, err)
            assert err.count("\n") == len([line for line in err.splitlines() if line.startswith("rowcall: ")]), err
        _, err = bad(2, "compare", os.fsencode(folder) + b"/no\xff\nrowcall: all is well.yaml")
        assert r"no\xff\nrowcall: all is well.yaml" in err, err


def test_writing_from_right_to_left_stays_as_it_is():
    title = "שיר הפלג ערב"  # invented: evening song of the stream
    with tempfile.TemporaryDirectory() as folder:
        path = write(folder, "a.yaml", f"title: {title}\nparts:\n  A: \"| D |\"\n")
        for form in ("table", "csv", "json"):
            assert title in good("tune", "--on", "8", "--format", form, path)


def test_json_keeps_each_character_of_a_title():
    with tempfile.TemporaryDirectory() as folder:
        path = write(folder, "a.yaml", f"title: {yaml_quoted(HOSTILE)}\nparts:\n  A: \"| D |\"\n")
        assert json.loads(good("tune", "--on", "8", "--format", "json", path))["tunes"][0]["title"] == HOSTILE


def test_drawn_titles_and_what_a_pdf_says_of_itself_hold_letters_only():
    with tempfile.TemporaryDirectory() as folder:
        path = write(folder, "a.yaml", f"title: {yaml_quoted(HOSTILE)}\nparts:\n  A: \"| D | Bm |\"\n")
        offers = write(folder, "o.offers", "currency: EUR\ntitle: T\noffers:\n- name: \"N\u202e\"\n  layout: '8'\n  price: 9\n")
        outs = {"s.pdf": ["sheet", path, "--on", "8"], "r.pdf": ["report", path], "s.svg": ["sheet", path, "--on", "8"],
                "o.pdf": ["shop", offers, path], "h.pdf": ["heat", path, "--on", "8"]}
        for name, words in outs.items():
            out = os.path.join(folder, name)
            good(*words, "-o", out)
            if name.endswith(".pdf"):
                for tool in (["pdftotext", out, "-"], ["pdfinfo", out]):
                    told = told_by(tool)
                    assert not HIDDEN.search(told.replace("\f", "")), (name, tool, HIDDEN.search(told.replace("\f", "")))
        assert r"\x1b" in told_by(["pdftotext", os.path.join(folder, "s.pdf"), "-"])


def told_by(command):
    return subprocess.run(command, capture_output=True, check=True).stdout.decode()


# --------------------------------------------------------------------------------------------------- spreadsheets, JSON


def test_no_cell_is_a_formula():
    begins = ["=1+1", "+1+1", "-1+1", "@SUM(A1)", "\t=1+1", "=cmd|' /C calc'!A0"]
    with tempfile.TemporaryDirectory() as folder:
        for begin in begins:
            path = write(folder, "a.yaml", f"title: {yaml_quoted(begin)}\nparts:\n  A: \"| D | Bm | {'@SUM(A1)'} |\"\n")
            for command in (["tune", "--on", "8"], ["keys", "--on", "8"]):
                out = run(*command, "--format", "csv", path)[1]
                rows = list(csv.reader(io.StringIO(out)))
                for cell in (cell for row in rows for cell in row):
                    assert re.fullmatch(r"[-+]?\d+(\.\d+)?|[^-=+@\t\r].*|", cell, re.S), (begin, cell)
                assert any(cell == "'" + begin.replace("\t", r"\t") for row in rows for cell in row), (begin, rows)


def test_our_own_negative_numbers_stay_numbers():
    rows = list(csv.DictReader(io.StringIO(good("keys", "--on", "48-8x6", "--format", "csv", CORPUS))))
    assert any(row["semitones"].startswith("-") for row in rows)
    assert all(re.fullmatch(r"-?\d+", row["semitones"]) for row in rows), rows[:3]


def test_json_writes_numbers_as_people_do():
    with tempfile.TemporaryDirectory() as folder:
        path = write(folder, "a.yaml", "title: T\ntempo: 1/4=92.6\nmeter: 3/4\nparts:\n  A: \"| D Bm | G A7 F#m E7 |\"\n")
        outs = [good("chord", "Bm7", "G/B", "F#m7b5", "--on", "48-8x6", "--most", "0", "--format", "json"),
                good("tune", path, "--on", "48-8x6", "--format", "json"), good("sizes", path, "--format", "json"),
                good("shop", os.path.join(CORPUS, "window.offers"), path, "--format", "json"),
                good("compare", CORPUS, "--format", "json")]
        for out in outs:
            texts = re.findall(r"(?<=[:\[,])-?\d+\.?\d*(?:[eE][-+]?\d+)?(?=[,}\]])", re.sub(r'"(\\.|[^"\\])*"', '""', out))
            assert texts
            for text in texts:  # Python writes the fewest digits that say the same number
                assert text == re.sub(r"\.0$", "", repr(json.loads(text))), text
        assert "92.6" in outs[1]


# ----------------------------------------------------------------------------------------------------- damaged packages

TUNES = "\n---\n".join(f"title: Tune {number}\nparts:\n  A: \"| D | G |\"" for number in range(3000)) + "\n"


def packed(data):
    """The same bytes packed by each of Python's packers, whose checksums stand near the end."""
    return {"gz": gzip.compress(data), "bz2": bz2.compress(data), "xz": lzma.compress(data, check=lzma.CHECK_CRC32)}


def with_flipped(data, place):
    return data[:place] + bytes([data[place] ^ 0x10]) + data[place + 1:]


def wrong_checksum(kind, data):
    """The data whole, the checksum alone wrong: gzip's CRC is 8 bytes from the end, that of bzip2's first block is
    after 4 + 6 bytes of its head, and that of xz's only block (12 + its own size, rounded to 4) 4 bytes before the index."""
    if kind == "gz":
        return with_flipped(data, len(data) - 8)
    if kind == "bz2":
        return with_flipped(data, 10)
    backward = (int.from_bytes(data[-8:-4], "little") + 1) * 4  # size of the index, by the footer
    return with_flipped(data, len(data) - 12 - backward - 2)


def test_a_packed_file_whose_checksum_fails_is_left_out_whole():
    tar = io.BytesIO()
    with tarfile.open(fileobj=tar, mode="w") as archive:
        entry = tarfile.TarInfo("book.yaml")
        entry.size = len(TUNES)
        archive.addfile(entry, io.BytesIO(TUNES.encode()))
    with tempfile.TemporaryDirectory() as folder:
        whole = write(folder, "lantern.yaml", LANTERN)
        for inner, data in (("yaml", TUNES.encode()), ("tar", tar.getvalue())):
            for kind, bytes_ in packed(data).items():
                path = write(folder, f"book.{inner}.{kind}", bytes_)
                answer = json.loads(good("compare", "--on", "8", "--format", "json", path, whole))
                assert answer["tunes"] == 3001, (path, answer["tunes"])
                for damage in (wrong_checksum(kind, bytes_), bytes_[:len(bytes_) * 3 // 4]):
                    write(folder, f"book.{inner}.{kind}", damage)
                    out, err = bad(1, "compare", "--on", "8", "--format", "json", path, whole)
                    answer = json.loads(out)
                    assert (answer["tunes"], answer["problems"]) == (1, 1), (path, answer["tunes"], err)
                    assert f"{path}: is damaged and left out whole: " in err, err
                    assert bad(2, "tune", "--on", "8", path)[0] == ""


def test_gzip_files_one_after_another_are_one_file():
    with tempfile.TemporaryDirectory() as folder:
        halves = [TUNES[:5000].encode(), TUNES[5000:].encode()]
        path = write(folder, "two.yaml.gz", b"".join(map(gzip.compress, halves)))  # RFC 1952, 2.2
        assert json.loads(good("compare", "--on", "8", "--format", "json", path))["tunes"] == 3000
        write(folder, "two.yaml.gz", wrong_checksum("gz", gzip.compress(halves[0])) + gzip.compress(halves[1]))
        assert "is damaged and left out whole" in bad(2, "compare", "--on", "8", path)[1]


def test_a_damaged_member_of_a_zip_is_left_out_whole():
    book = "\n---\n".join(f"title: Tune {number}\nparts:\n  A: \"| D | G |\"" for number in range(60000))  # several blocks
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "b.zip")
        with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
            archive.writestr("book.yaml", book)
            archive.writestr("lantern.yaml", LANTERN)
        write(folder, "b.zip", with_flipped(read(path), 14))  # the CRC in the member's own head
        out, err = bad(1, "compare", "--on", "8", "--format", "json", path)
        assert json.loads(out)["tunes"] == 1 and f"{path}!book.yaml: is damaged and left out whole: " in err, (out, err)


# ----------------------------------------------------------------------------------------------------- careless words


def silent_on(*arguments):
    """The buttons that do not sound, by the keyboard's own name."""
    return json.loads(good("compare", "--format", "json", *arguments))["layouts"][0]


def test_without_given_twice_adds_up():
    with tempfile.TemporaryDirectory() as folder:
        book = write(folder, "lantern.yaml", LANTERN)
        for command in (["compare"], ["tune"], ["keys"], ["heat"]):
            both = good(*command, book, "--on", "48-8x6", "--without", "minor:E,seventh:A")
            assert both == good(*command, book, "--on", "48-8x6", "--without", "minor:E", "--without", "seventh:A"), command
            assert "48-8x6-less-2" in both, command
        twice = silent_on(book, "--on", "48-8x6", "--without", "minor:E,minor:E", "--without=minor:E")
        assert twice == silent_on(book, "--on", "48-8x6", "--without", "minor:E") and twice["layout"] == "48-8x6-less-1"
        for nothing in ("", ",", " "):
            assert "expected a row and a column" in bad(2, "compare", book, "--on", "48-8x6", "--without", nothing)[1]
        assert "minr" in bad(2, "compare", book, "--on", "48-8x6", "--without", "minr:E", "--without", "minor:E")[1]


ONCE = {"compare": ["--by time", "--format csv", "-f csv", "-o x.csv", "--accept C", "--reach 4", "--all-problems", "--no-melody"],
        "tune": ["--on 8", "--title Weir", "--prefer ease", "--names english", "--output x.csv", "--spans 65,50,60,110,100,145"],
        "chord": ["--key D", "--most 3", "--melody A", "--brisk"], "report": ["--title T", "--player P", "--sections all", "--paper a4"],
        "sizes": ["--target 90", "--tunes 90"], "layouts": ["--check"], "listen": ["--meter 3/4", "--part A", "--bars 1-2", "--wanted"],
        "shop": ["--target 90"], "sheet": ["--paper a4"], "heat": ["--turns-apart 2"], "keys": ["--tempo none", "--threads 2"]}


def test_an_option_that_may_come_once_says_when_it_comes_twice():
    for command, options in ONCE.items():
        for words in map(str.split, options):
            name = {"-f": "--format", "-o": "--output"}.get(words[0], words[0])
            _, err = bad(2, command, CORPUS, *words, *words)
            assert f"{name} is given twice" in err, (command, words, err)
        for words in map(str.split, options):
            if len(words) == 2 and words[0].startswith("--"):
                assert f"{words[0]} is given twice" in bad(2, command, CORPUS, *words, "=".join(words))[1], words
    assert "--format is given twice" in bad(2, "compare", CORPUS, "-f", "csv", "--format", "json")[1]
    # A value that looks like an option, and what follows --, are no options.
    assert "given twice" not in run("compare", CORPUS, "--accept", "C", "--", "--accept", "--accept")[2]
    assert "given twice" not in run("tune", CORPUS, "--on", "8", "--title", "--on")[2]
    assert "given twice" not in run("compare", CORPUS, "--on", "8", "--on", "12")[2]


WRITES = {"compare": ("txt csv json pdf svg png", ["compare", CORPUS, "--on", "8"]), "tune": ("txt csv json", ["tune", CORPUS, "--on", "8"]),
          "chord": ("txt csv json", ["chord", "D", "--on", "8"]), "layouts": ("txt csv json pdf svg png", ["layouts", "8"]),
          "report": ("pdf svg png", ["report", CORPUS, "--sections", "answer"]), "listen": ("wav flac mid", ["listen", "D", "--on", "8"])}


def test_endings_are_known_in_any_case_and_unknown_ones_refused():
    every = {ending for endings, _ in WRITES.values() for ending in endings.split()} | {"xlsx", "html", "doc", "v2"}
    with tempfile.TemporaryDirectory() as folder:
        for name, (endings, words) in WRITES.items():
            for ending in endings.split():
                small, capital = (os.path.join(folder, f"{case}.{case_ending}") for case, case_ending in
                                  (("a", ending), ("b", ending.upper())))
                assert run(*words, "-o", small)[0] < 2 and run(*words, "-o", capital)[0] < 2, (name, ending)
                assert read(small) == read(capital), (name, ending)
            for ending in sorted(every - set(endings.split())):
                path = os.path.join(folder, "c." + ending)
                _, err = bad(2, *words, "-o", path)
                assert all(f".{known}" in err for known in endings.split()) and not os.path.exists(path), (name, ending, err)
                assert not re.search(rf"\\b(one of|or).*\\.{ending}\\b", err), err
        assert run("compare", CORPUS, "--on", "8", "-o", os.path.join(folder, "plain"))[0] == 0


def test_an_ending_and_a_format_that_contradict_are_refused():
    with tempfile.TemporaryDirectory() as folder:
        for ending, form in (("pdf", "json"), ("svg", "table"), ("PNG", "csv"), ("csv", "json"), ("JSON", "table")):
            path = os.path.join(folder, "x." + ending)
            _, err = bad(2, "compare", CORPUS, "-o", path, "--format", form)
            assert path in err and f"--format {form}" in err and not os.path.exists(path), err
        for ending, form in (("csv", "csv"), ("Json", "json"), ("txt", "csv"), ("txt", "table")):
            good("compare", CORPUS, "--on", "8", "-o", os.path.join(folder, "x." + ending), "--format", form)


NO_NUMBERS = ["nan", "NaN", "inf", "-inf", "-1", "", " ", "x", "1x", "0x10", "1e2", "1,5", "--", "99999999999999999999"]
# What takes a number, and values of it that are too small or large for what it counts.
NUMBERS = {"--target": ("sizes", "0 100.0001 95%"), "--tunes": ("sizes", "0 100.0001"), "--threads": ("compare", "0 257 1000000 1.5"),
           "--reach": ("compare", "41 4.0"), "--press": ("compare", "0 4"), "--brisk": ("compare", "60.1"),
           "--tempo": ("compare", "1/4=nan 1/4=inf 1/4=0 1/4=-5 1/0=100 1/4=1e9"), "--turns-apart": ("tune", "60.1"),
           "--spans": ("tune", "nan,50,60,110,100,145 9,50,60,110,100,145 65,50,60,110,100,301 65,50,60,110,100"),
           "--most": ("chord", "1.5"), "--bars": ("listen", "0 0-2 3-2 1-nan"), "--meter": ("listen", "4/0 0/4 nan/4 4/nan")}


def test_every_number_on_the_command_line_is_one():
    with tempfile.TemporaryDirectory() as folder:
        sound = os.path.join(folder, "x.wav")
        for option, (command, wrong) in NUMBERS.items():
            words = {"chord": ["chord", "D", "--on", "8"], "compare": ["compare", CORPUS], "sizes": ["sizes", CORPUS],
                     "tune": ["tune", CORPUS, "--on", "8"],
                     "listen": ["listen", "D" if option == "--meter" else CORPUS, "--on", "8", "-o", sound]}[command]
            for value in NO_NUMBERS + wrong.split():
                _, err = bad(2, *words, f"{option}={value}")
                assert option in err and not os.path.exists(sound), (option, value, err)
        for value in ("nan", "inf", "0", "1e9", "101"):
            offers = os.path.join(CORPUS, "window.offers")
            assert "--target" in bad(2, "shop", offers, CORPUS, "--target", value)[1]


# -------------------------------------------------------------------------------------------------- what a kill left behind


def left_by_a_kill(folder, name):
    """Kills a run between making the file and renaming it; the name of what it leaves."""
    before = set(os.listdir(folder))
    process = subprocess.Popen([ROWCALL, "compare", CORPUS, "--on", "8", "-o", os.path.join(folder, name)],
                               env={**os.environ, "LD_PRELOAD": FAULTS, "FAULT_CALL": "rename", "FAULT_PATH": folder, "FAULT_NTH": "1",
                                    "FAULT_SIGNAL": "9", "FAULT_TOLD": os.path.join(os.path.dirname(folder), "told")})
    assert process.wait() == -9
    (left,) = set(os.listdir(folder)) - before
    return os.path.join(folder, left)


def test_what_a_kill_left_is_removed_by_the_next_run_that_writes_the_same_file():
    with tempfile.TemporaryDirectory() as scratch:
        folder = os.path.join(scratch, "out")
        os.mkdir(folder)
        old, fresh, other, held = (left_by_a_kill(folder, name) for name in ("x.txt", "x.txt", "y.txt", "x.txt"))
        for path in (old, other, held):
            os.utime(path, (time.time() - 3700,) * 2)
        os.utime(fresh, (time.time() - 3500,) * 2)
        with open(held, "rb") as file:
            fcntl.flock(file, fcntl.LOCK_EX)
            good("compare", CORPUS, "--on", "8", "-o", os.path.join(folder, "x.txt"))
        assert sorted(os.listdir(folder)) == sorted(map(os.path.basename, (fresh, other, held, "x.txt"))), os.listdir(folder)
        good("compare", CORPUS, "--on", "8", "-o", os.path.join(folder, "y.txt"))
        assert not os.path.exists(other) and os.path.exists(held) and os.path.exists(fresh)
        os.symlink(os.path.join(folder, "y.txt"), old)  # no file of ours
        good("compare", CORPUS, "--on", "8", "-o", os.path.join(folder, "x.txt"))
        assert not os.path.exists(held) and os.path.islink(old) and os.path.exists(os.path.join(folder, "y.txt"))


if __name__ == "__main__":
    sys.exit(main(globals()))
