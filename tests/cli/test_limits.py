#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""Each limit of what is read and written, just at it and just over it: test_limits.py ROWCALL CORPUS. What takes long is in
tests/bench/limits.py, which also holds the worst inputs to seconds and memory."""

import io
import json
import os
import sys
import tarfile
import tempfile
import zipfile

sys.dont_write_bytecode = True

from rowcall_cli import CORPUS, LANTERN, bad, good, main, read, run, write

MILLION = 1000000


def counted(text, *more, status=0, ending="yaml", args=()):
    """The chords and tunes counted of a text, and what was said."""
    got, out, err = run("compare", "-", "--from", ending, "--on", "8", "--format", "json", *args, *more, stdin=text)
    assert got == status, (got, err[:1000])
    answer = json.loads(out) if out else {"tunes": 0, "layouts": [{"chords": {"total": 0}}]}
    return answer["layouts"][0]["chords"]["total"], answer["tunes"], err


def refused(text, said, ending="yaml"):
    """The text is left out for a limit, alone and beside a good tune."""
    _, tunes, err = counted(text, status=2, ending=ending)
    assert tunes == 0 and said in err, err[:1000]


def yaml(bars, more=""):
    return f'title: Weir\n{more}parts: {{A: "| {bars}"}}\n'


def abc(body, head=""):
    return f"X:1\nT:Weir\n{head}M:4/4\nL:1/4\nK:D\n{body}\n"


def song(body):
    return "{title: Weir}\n" + body


# --------------------------------------------------------------------------------------------------------- one tune

def test_bytes_of_a_tune():
    size = 16 << 20  # of which readers take pieces, so that the last one may begin below the limit
    for ending, head, tail, said in (("yaml", "note: ", "\n" + yaml("D |"), "-:1: "), ("abc", abc('"D"d4|', "N:"), "", ""),
                                     ("chordpro", song("[D]la\n# "), "\n", "")):
        def filled(length, ending=ending, head=head, tail=tail):
            if ending == "abc":
                return head.replace("N:", "N:" + "x" * (length - len(head)))
            return head + "x" * (length - len(head) - len(tail)) + tail
        assert counted(filled(size - 100000), ending=ending)[:2] == (1, 1), ending
        text = filled(size + 100000)
        _, _, err = counted(text, ending=ending, status=2)
        assert "of more than 16777216 bytes" in err and said in err, err[:300]


def test_a_tune_that_is_too_long_leaves_the_rest():
    text = "note: " + "x" * (17 << 20) + "\n" + yaml("D |") + "---\n" + LANTERN
    assert counted(text, status=1)[1] == 1
    text = abc('"D"d4|', "N:" + "x" * (17 << 20) + "\n") + "\n" + abc('"G"d4|')
    assert counted(text, status=1, ending="abc")[1] == 1


def test_chords_and_bars_of_a_tune():
    said = "the tune is longer than 1000000 chords or 1000000 bars, or has more than 4096 different chords"
    assert counted(yaml("D G " * (MILLION // 2) + "|"))[0] == MILLION
    refused(yaml("D G " * (MILLION // 2) + "D |"), said)
    assert counted(yaml("D | G | " * (MILLION // 2)))[0] == MILLION
    refused(yaml("D | G | " * (MILLION // 2) + "D |"), said)
    many = "the tune has more chords or bars than a tune may have"
    assert counted(abc('"D"d|"G"d|' * (MILLION // 2)), ending="abc")[0] == MILLION
    refused(abc('"D"d|"G"d|' * (MILLION // 2) + '"D"d|"G"d|'), many, "abc")
    assert counted(song("{sog}\n" + "| D | G " * 100 + "|\n{eog}\n"), ending="chordpro")[0] == 200
    refused(song("{sog}\n" + "| D | G | D | G |\n" * (MILLION // 4 + 1) + "{eog}\n"), "the song has more chords or bars", "chordpro")


def test_different_chords_of_a_tune():
    def different(n):  # texts that are no chords count as well
        return " | ".join(f"X{i}" for i in range(n)) + " |"
    assert counted(yaml(different(4096)), status=1)[0] == 4096
    refused(yaml(different(4097)), "more than 4096 different chords")


def test_bars_played():
    assert counted(yaml("D | " * 1000, "order: " + "A " * 1000 + "\n"))[0] == 1  # one D, held
    refused(yaml("D | " * 1000, "order: " + "A " * 1001 + "\n"), "`Weir` plays more than 1000000 bars")
    assert counted(abc('|:"D"d4:|' * (MILLION // 2)), ending="abc")[1] == 1
    refused(abc('|:"D"d4:|' * (MILLION // 2 + 1)), "the tune plays more than 1000000 bars", "abc")
    chorus = "{soc}\n" + "[D]la [G]la\n" * 1000 + "{eoc}\n"
    refused(song(chorus + "{chorus}\n" * 1001), "the song plays more than 1000000 bars", "chordpro")


def test_parts_of_a_tune():
    def parts(n):
        return "title: Weir\nparts:\n" + "".join(f'  P{i}: "| D |"\n' for i in range(n))
    assert counted(parts(1024))[1] == 1
    refused(parts(1025), "more than 1024 parts")


def test_depth_of_yaml():
    said = "more than 64 nested lists"
    for depth, fits in ((50, True), (64, False), (100000, False)):
        _, _, err = counted("title: Weir\nkey: " + "[" * depth + "]" * depth + "\n" + 'parts: {A: "| D |"}\n', status=2)
        assert (said in err) != fits or "a single text is expected" in err, err
    with tempfile.TemporaryDirectory() as folder:
        for depth in (63, 64):
            path = write(folder, "d.yaml", "name: " + "[" * depth + "]" * depth + "\n")
            assert (said in bad(2, "chord", "C", "--on", path)[1]) == (depth == 64)  # the mapping itself is one


def test_aliases_are_not_unfolded():
    bomb = "a: &a [x, x]\n" + "".join(f"{chr(b)}: &{chr(b)} [{', '.join(['*' + chr(b - 1)] * 9)}]\n" for b in range(98, 123))
    counted(bomb, status=2)
    with tempfile.TemporaryDirectory() as folder:
        path = write(folder, "bomb.yaml", bomb)
        assert "unknown key `a`" in bad(2, "layouts", "--check", path)[1]
        assert "unknown key `a`" in bad(2, "shop", path, CORPUS)[1]


def test_length_of_a_chord():
    _, _, err = counted(yaml("D" * 65 + " | G |"), status=1)
    assert "is no chord symbol; it counts as unread" in err
    _, _, err = counted(yaml("D" * MILLION + " | G |"), status=1)
    assert len(err) < 200
    assert len(bad(2, "chord", "D" * 100000, "--on", "8")[1]) < 400


def test_long_titles_do_not_flood():
    title = "Weir " * 100000
    _, _, err = counted(yaml("D |").replace("Weir", title).replace("parts", "pants"), status=2)
    assert len(err) < 3000 and "left out: Weir Weir" in err
    with tempfile.TemporaryDirectory() as folder:
        book = write(folder, "long.yaml", yaml("D | Bm |").replace("Weir", title))
        for command in (["report", book], ["sheet", book, "--on", "8"]):
            good(*command, "-o", os.path.join(folder, "x.pdf"))


# -------------------------------------------------------------------------------------------------------------- ABC

def test_abc():
    def voices(n):
        return abc("".join(f'[V:{i}]"D"d4|\n' for i in range(n)))
    assert counted(voices(1024), ending="abc")[1] == 1
    refused(voices(1026), "the tune has more than 1024 voices", "abc")
    assert counted(abc('"D"' + "d4096" * 16 + "|"), ending="abc")[1] == 1
    refused(abc('"D"' + "d4096" * 16 + "d|"), "the bar that ends here is longer than a bar may be", "abc")


def test_notes_of_a_melody():
    with tempfile.TemporaryDirectory() as folder:
        for n, said in ((400000, "more than 30 minutes of sound"), (400001, "the melody has more notes than a tune may have")):
            book = write(folder, "long.abc", abc('"D"' + "dddddddddd|" * n))
            _, err = bad(2, "listen", book, "--with-melody", "--on", "8", "-o", os.path.join(folder, "x.mid"))
            assert said in err, err
            good("compare", book, "--on", "8")  # where the notes are not kept


def test_orders_of_abc():
    def order(text):
        return good("tune", "-", "--on", "8", stdin=abc('P:A\n"D"d4|"G"d4|\nP:B\n"A7"d4|', f"P:{text}\n"))
    status, out, err = run("compare", "-", "--on", "8", "--format", "json", stdin=abc('P:A\n"D"d4|"G"d4|', "P:A4096\n"))
    assert status == 0 and json.loads(out)["layouts"][0]["chords"]["total"] == 2 * 4096 and err == ""
    for text in ("A5000", "(((((((((A)2)2)2)2)2)2)2)2)2"):
        status, out, err = run("compare", "-", "--on", "8", "--format", "json", stdin=abc('P:A\n"D"d4|"G"d4|', f"P:{text}\n"))
        assert status == 0 and json.loads(out)["layouts"][0]["chords"]["total"] in (2, 2 * 4096, 2 * 512), (text, out)
    assert "Played: A B" in order("AB")


# --------------------------------------------------------------------------------------------------------- ChordPro

def test_chordpro():
    def grid(line):
        return song("{sog}\n" + line + "\n{eog}\n")
    assert counted(grid("| " + "D G " * 32 + "|"), ending="chordpro")[0] == 64
    refused(grid("| " + "D G " * 32 + "D |"), "a bar of more than 64 cells", "chordpro")
    assert counted(song("{capo: 24}\n[D]la\n"), ending="chordpro")[0] == 1
    assert counted(song("{capo: 25}\n[D]la\n"), ending="chordpro")[0] == 1  # passed over, with a note
    assert counted(song("{transpose: -48}\n[D]la\n"), ending="chordpro")[0] == 1
    assert counted(song("{transpose: 49}\n[D]la\n"), ending="chordpro")[0] == 1


# --------------------------------------------------------------------------------------------------------- MusicXML

HARMONY = "<harmony><root><root-step>{}</root-step></root><kind{}>major</kind>{}</harmony>"
REST = "<note><rest/><duration>4</duration></note>"


def score(measure, divisions=1, inside=""):
    return '<score-partwise><part-list><score-part id="P1"><part-name>Box</part-name></score-part></part-list><part id="P1">' \
           f"{inside}<measure number='1'><attributes><divisions>{divisions}</divisions></attributes>{measure}{REST}</measure></part></score-partwise>"


def test_musicxml():
    chord = HARMONY.format("D", "", "")
    for at, over, said in (
            (score(HARMONY.format("D", "", "") * 256), score(chord * 257), "more than 256 chords in a measure"),
            (score(chord, 65536), score(chord, 65537), "found `65537`; expected how many divisions a quarter note has, a number above 0 and at most 65536"),
            (score(chord + "<x>" * 60 + "</x>" * 60), score(chord + "<x>" * 62 + "</x>" * 62), "more than 64 nested elements"),
            (score(chord, inside=f"<!-- {'x' * 900000} -->"), score(chord, inside=f"<!-- {'x' * 1200000} -->"),
             "more than 1048576 bytes of a tag or a comment"),
            (score(f"<x a='{'x' * 900000}'/>" + chord), score(f"<x a='{'x' * 1200000}'/>" + chord),
             "more than 1048576 bytes of a tag or a comment"),
            (score(HARMONY.format("D" + " " * 4000, "", "")), score(HARMONY.format("D" + " " * 5000, "", "")),
             "more than 4096 bytes of text in an element"),
            (score(HARMONY.format("D", "", degrees(16))), score(HARMONY.format("D", "", degrees(17))), "more than 16 degrees of a chord"),
            (score(chord + barline(1023)), score(chord + barline(1024)), "more than 1024 elements in an element of a measure"),
            (score(chord + words(16)), score(chord + words(17)), "more than 65536 bytes of text and attributes in an element")):
        assert run("compare", "-", "--from", "musicxml", "--on", "8", stdin=at)[0] in (0, 1), at[:300]
        refused(over, said, "musicxml")


def barline(n):
    return "<barline>" + "<bar-style>light-light</bar-style>" * n + "</barline>"


def words(n):
    return "<direction><direction-type>" + f"<words>{'x' * 4000}</words>" * n + "</direction-type></direction>"


def degrees(n):
    return "<degree><degree-value>9</degree-value><degree-alter>0</degree-alter><degree-type>add</degree-type></degree>" * n


def test_bars_of_a_score():
    chord = HARMONY.format("D", "", "")
    refused(score(chord + "<note><rest/><duration>65537</duration></note>"), "a measure longer than 65536 quarter notes", "musicxml")
    assert counted(score(chord + "<note><rest/><duration>65532</duration></note>"), ending="musicxml")[0] == 1
    refused(score(chord, inside="<measure/>" * MILLION), "more than 1000000 measures", "musicxml")


# ------------------------------------------------------------------------------------------------------------- files

def test_depth_of_folders():
    with tempfile.TemporaryDirectory() as top:
        folder = top
        for depth in range(1, 40):
            folder = os.path.join(folder, "f")
            os.mkdir(folder)
            if depth in (31, 32, 33):
                write(folder, "lantern.yaml", LANTERN)
        status, out, err = run("compare", top, "--format", "json")
        answer = json.loads(out)
        assert status == 1 and answer["tunes"] == 1 and answer["problems"] == 1, (answer["tunes"], err)
        assert err.endswith("f: folders are nested more than 32 deep\n") and err.count("/f") == 32


def tar_header(name, size=0):
    info = tarfile.TarInfo(name)
    info.size = size
    return info.tobuf()


def test_members_of_an_archive():
    with tempfile.TemporaryDirectory() as folder:
        content = LANTERN.encode()
        tune = tar_header("lantern.yaml", len(content)) + content + b"\0" * (-len(content) % 512)
        for n, status in ((99999, 0), (100000, 1)):
            path = write(folder, "many.tar", tune + tar_header("x.txt") * n + b"\0" * 1024)
            got, out, err = run("compare", path, "--format", "json")
            assert got == status and json.loads(out)["tunes"] == 1, err
            assert ("the archive has more than 100000 members" in err) == (n == 100000), err


def test_bytes_of_a_member():
    with tempfile.TemporaryDirectory() as folder:
        for size, said in (((1 << 30) + 1, "the member is said to hold 1073741825 bytes; at most 1073741824 are unpacked"),
                           (1 << 30, "Truncated")):
            path = write(folder, "big.tar", tar_header("big.yaml", size) + b"\0" * 512)
            assert said in bad(2, "compare", path)[1]


def test_compressed_scores():
    with tempfile.TemporaryDirectory() as folder:
        for size, said in ((64 << 20, "cannot be unpacked"), ((64 << 20) + 1, "is larger than compressed MusicXML may be (67108864 bytes)")):
            path = write(folder, "s.mxl", b"PK\x03\x04")
            os.truncate(path, size)
            _, err = bad(2, "compare", path)
            assert said in err, err
        for spaces, said in ((65000, "names no score"), (66000, "of 65536 bytes or more")):
            packed = io.BytesIO()
            with zipfile.ZipFile(packed, "w") as archive:
                archive.writestr("META-INF/container.xml", "<container>" + " " * spaces + "</container>")
            assert said in bad(2, "compare", write(folder, "s.mxl", packed.getvalue()))[1]


def test_layout_files():
    layout = read(CORPUS, "..", "layouts", "48-8x6.yaml")
    with tempfile.TemporaryDirectory() as folder:
        at = layout + b"#" + b"x" * ((1 << 20) - len(layout) - 2) + b"\n"
        good("chord", "C", "--on", write(folder, "my.yaml", at))
        path = write(folder, "my.yaml", at + b"\n")
        assert f"{path}: is larger than a layout file may be (1048576 bytes)" in bad(2, "chord", "C", "--on", path)[1]
        assert "is larger than a layout file may be" in bad(2, "chord", "C", "--on", "/dev/zero")[1]  # which has no end
        # Every note with a name as a column, every kind of row once: more cannot be written.
        notes = [letter + sign for sign in ("bb", "b", "", "#", "##") for letter in "FCGDAEB"]
        rows = ["counterbass", "fundamental", "minor-third", "major", "minor", "seventh", "diminished", "augmented"]
        for columns, kinds, said in ((notes, rows, ""), (notes + ["C"], rows, "the column `C` is listed twice"),
                                     (notes, rows + ["major"], "the row `major` is listed twice")):
            text = f"name: x\ntitle: x\nsource: none\ncolumns: [{', '.join(columns)}]\nrows: [{', '.join(kinds)}]\n" \
                   "spacing: {column: 19, row: 17}\n"
            status, _, err = run("chord", "C", "--on", write(folder, "wide.yaml", text))
            assert (status, said in err, err == "") == ((2, True, False) if said else (0, True, True)), (said, err)


def test_offers():
    with tempfile.TemporaryDirectory() as folder:
        def shop(text, status=0):
            return run("shop", write(folder, "o.offers", text), write(folder, "l.yaml", LANTERN))
        def offers(n, name="a", price="9", more=""):
            return "currency: EUR\noffers:\n" + "".join(f"- {{name: {name}{i}, layout: '8', price: {price}, weight: 1 kg{more}}}\n" for i in range(n))
        for at, over, said in ((offers(500), offers(501), "more than 500 offers; split the file"),
                               (offers(1, "a" * 79), offers(1, "a" * 80), "`name` has 81 characters; shorten it to 80"),
                               (offers(1, more=", remarks: " + "x" * 2000), offers(1, more=", remarks: " + "x" * 2001),
                                "`remarks` has 2001 characters; shorten it to 2000"),
                               (offers(1, price="1000000"), offers(1, price="1000001"), "found price `1000001`"),
                               (offers(1) + "#" + "x" * ((1 << 20) - len(offers(1)) - 2) + "\n", offers(1) + "#" * (1 << 20),
                                "is larger than an offer file may be (1048576 bytes)")):
            status, _, err = shop(at)
            assert status == 0 and err == "", err[:300]
            status, out, err = shop(over)
            assert status == 2 and out == "" and said in err, err[:300]


# --------------------------------------------------------------------------------------------------------- answers

def test_problems_shown():
    for n in (30, 31, 100000):
        status, _, err = run("compare", "-", stdin="---\n".join(["title: x\n"] * n))
        assert status == 2 and err.count("left out") == 30
        assert (f"and {n - 30} more problem" in err) == (n > 30), err[-200:]
        assert bad(2, "compare", "-", "--all-problems", stdin="---\n".join(["title: x\n"] * n))[1].count("left out") == n


def test_minutes_of_sound():
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "x.mid")
        for bars, status in ((450, 0), (451, 2)):  # of 4 seconds
            text = yaml("D | " * bars, "tempo: 60\n")
            got, _, err = run("listen", write(folder, "long.yaml", text), "--on", "8", "-o", path)
            assert got == status and ("more than 30 minutes of sound" in err) == (status == 2), (bars, err)


def test_pages():
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "x.pdf")
        for n, status in ((2000, 0), (2001, 2)):
            book = write(folder, "book.yaml", "---\n".join("title: W\nparts: {A: '| N.C. |'}\n" for _ in range(n)))
            got, _, err = run("sheet", book, "--on", "8", "-o", path)
            assert got == status and ("more than 2000 pages; take fewer tunes at once" in err) == (status == 2), (n, err)


def test_chords_in_a_bar_of_a_table():
    assert "Bm F#m" in good("tune", "-", "--on", "48-8x6", stdin=yaml("Bm F#m " * 100 + "|"))
    assert "| 202 chords" in good("tune", "-", "--on", "48-8x6", stdin=yaml("Bm F#m " * 101 + "|"))


def test_options():
    book = os.path.join(CORPUS, "waltzes.yaml")
    for option, at, over in (("--reach", "40", "41"), ("--press", "3", "4"), ("--brisk", "60", "61"), ("--tempo", "1/4=1000", "1/4=1001"),
                             ("--threads", "256", "257")):
        assert run("compare", book, option, at, "--on", "8")[0] == 0, option
        assert f"{option} {over}: expected" in bad(2, "compare", book, option, over, "--on", "8")[1]
    # What is no plain number is in no range: neither signs, nor names of what is no number, nor anything after it.
    for option in ("--reach", "--press", "--brisk", "--threads", "--target"):
        for text in ("nan", "inf", "-1", "1e9", "0x1", "1 ", "1.2.3", ""):
            assert f"{option} {text}: expected" in bad(2, "shop", os.path.join(CORPUS, "window.offers"), book, option, text)[1], text


sys.exit(main(globals()))
