# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""`heat`: how large what is on its figures is, measured in the PDFs by poppler, and two uses of buttons beside each other."""

import csv
import io
import json
import os
import re
import subprocess
import sys
import tempfile

from rowcall_cli import CORPUS, bad, good, main, write

MM = 72 / 25.4  # points
LETTERS = 1.163  # a line of DejaVu Sans in ems, as pdftotext measures it: its ascent and descent
BOARDS = ["8", "12", "24", "48-8x6", "48-12x4", "120", "push-pull-8-gc"]
REELS, WALTZES = (os.path.join(CORPUS, name) for name in ("jigs-and-reels.yaml", "waltzes.yaml"))


def tool(*command):
    return subprocess.run(command, capture_output=True, check=True).stdout.decode()


def words_of(pdf):
    """The words of a PDF with their sizes and the places of their tops, in points."""
    found = re.findall(r'yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)">(.*?)</word>', tool("pdftotext", "-bbox", pdf, "-"))
    return [(word, (float(bottom) - float(top)) / LETTERS, float(top)) for top, bottom, word in found]


def outlines_of(pdf, folder):
    """The widths, in points, of all round outlines of a PDF's first page."""
    svg = os.path.join(folder, "poppler.svg")
    tool("pdftocairo", "-svg", "-l", "1", pdf, svg)
    with open(svg, encoding="utf-8") as file:
        paths = re.findall(r'<path style="[^"]*stroke-width[^"]*" d="([^"]*C[^"]*)"(?: transform="matrix\(([^)]*)\)")?', file.read())
    widths = []
    for path, matrix in paths:
        scale = float(matrix.split(",")[0]) if matrix else 1
        for outline in re.findall("M[^M]*C[^M]*", path):
            numbers = [float(number) for number in re.findall(r"-?[\d.]+", outline)]
            widths.append((max(numbers[::2]) - min(numbers[::2])) * scale)
    return widths


def names_on(layout):
    """What is written on the buttons of a layout, as a drawing has it."""
    drawn = {"dim": "°", "aug": "+"}
    labels = set()
    for row in csv.DictReader(io.StringIO(good("heat", CORPUS, "--on", layout, "--format", "csv"))):
        label = re.sub(" on (push|pull)$", "", row["sounds"])
        root, kind = re.match("([A-G](?:b+|#+)?)(.*)", label).groups()
        labels.add(root.replace("b", "♭").replace("#", "♯") + drawn.get(kind, kind))
    return labels


def test_names_figures_and_buttons_are_large_enough():
    with tempfile.TemporaryDirectory() as folder:
        pdf = os.path.join(folder, "heat.pdf")
        widths = set()
        for layout in BOARDS:
            for paper in ("a4", "letter"):
                good("heat", CORPUS, "--on", layout, "--paper", paper, "-o", pdf)
                words = words_of(pdf)
                start, end = (next(top for word, _, top in words if word == edge) for edge in ("chin", "alone"))
                figure = [(word, size) for word, size, top in words if start < top < end]
                names = names_on(layout)
                assert {word for word, _ in figure} >= names, (layout, names - {word for word, _ in figure})
                assert all(size > 7.95 for word, size in figure if word in names), layout
                assert min(size for _, size, _ in words) > 6.45, layout
                buttons = [width for width in outlines_of(pdf, folder) if width > 12]  # the others are of the key
                assert len(buttons) >= int(re.search(r"\d+", layout)[0]), (layout, len(buttons))
                assert min(buttons) >= 7 * MM, (layout, min(buttons) / MM)
                widths.add(round(min(buttons), 1))
        assert len(widths) == 1, widths  # on every board the same


def page_sizes(pdf):
    return [tuple(round(float(side)) for side in page)
            for page in re.findall(r"size: +([\d.]+) x ([\d.]+)", tool("pdfinfo", "-l", "99", pdf))]


def test_a_wide_board_lies_on_the_long_side():
    with tempfile.TemporaryDirectory() as folder:
        pdf = os.path.join(folder, "heat.pdf")
        for layout, paper, size in (("120", "a4", (842, 595)), ("120", "letter", (792, 612)), ("48-12x4", "a4", (595, 842)),
                                    ("48-12x4", "letter", (612, 792))):
            good("heat", CORPUS, "--on", layout, "--paper", paper, "-o", pdf)
            assert page_sizes(pdf) == [size], (layout, paper)
        good("report", CORPUS, "--on", "48-8x6", "--sections", "heat,rules", "-o", pdf)
        assert page_sizes(pdf)[:3] == [(595, 842), (842, 595), (595, 842)]  # the 120 lies, what follows stands


def words_on(pdf):
    return [word for word, _, _ in words_of(pdf)]


def test_what_is_on_the_figure():
    with tempfile.TemporaryDirectory() as folder:
        pdf = os.path.join(folder, "heat.pdf")
        good("heat", CORPUS, "--on", "48-8x6", "--without", "minor:D,seventh:E", "-o", pdf)
        words = words_on(pdf)
        for word in ("floor", "bellows", "chin", "never", "counterbass"):
            assert words.count(word) == 1, word
        assert "Dm" in words and "E7" in words, "dead buttons keep their names"
        text = " ".join(words)
        assert "Percent of all playing time in which a button, or any button of a row or a column, is held" in text
        good("heat", CORPUS, "--on", "push-pull-8-gc", "-o", pdf)
        assert words_on(pdf).count("push") >= 2 and words_on(pdf).count("pull") >= 2


# By hand: in A each chord is native and lasts a bar, C and A minor; in B C and G7.
ONE = 'title: Weir\nkey: C\nmeter: 4/4\ntempo: 60\nparts: {A: "| C | Am |"}\n'
OTHER = 'title: Mill\nkey: C\nmeter: 4/4\ntempo: 60\nparts: {A: "| C | G7 |"}\n---\n' \
        'title: Sluice\nkey: C\nmeter: 4/4\ntempo: 60\nparts: {A: "| C | C |"}\n'


def test_two_repertoires_on_one_board():
    with tempfile.TemporaryDirectory() as folder:
        one, other = write(folder, "one.yaml", ONE), write(folder, "other.yaml", OTHER)
        pair = ("heat", one, "--against", other, "--on", "32")
        out = good(*pair)
        assert max(map(len, out.splitlines())) <= 80
        assert "2 buttons in both, 2 only in A, 2 only in B." in out
        assert "Only A touches the minor row and the A column." in " ".join(out.split())
        assert "Only B touches the seventh row and the G column." in " ".join(out.split())
        assert "A: one.yaml, 1 tune on 32\nB: other.yaml, 2 tunes on 32\n" in out
        assert re.search(r"^C +50\.0 +75\.0 +-25\.0$", out, re.M), out
        assert re.search(r"^minor +50\.0 +- +\+50\.0$", out, re.M), out
        assert "  G seventh, 25.0 %: Mill\n" in out and "  A minor, 50.0 %: Weir\n" in out
        assert "C major, 50.0 % in A, 75.0 % in B; in B it is held longest in Sluice" in " ".join(out.split())
        answer = json.loads(good(*pair, "--format", "json"))
        assert answer["a"]["tunes"] == "one.yaml" and answer["b"]["quarters"]["total"] == 16
        differences = {(d["row"], d["column"]): d["difference"] for d in answer["differences"]}
        assert len(differences) == 32 and differences[("major", "C")] == -25 and differences[("minor", "A")] == 50
        assert differences[("minor", "D")] == 0
        only = [(own["button"]["row"], own["button"]["column"], own["tunes"]) for own in answer["only_b"]]
        assert only == [(row, "G", [{"title": "Mill", "presses": 1}]) for row in ("fundamental", "seventh")]
        rows = {(row["row"], row["column"]): row for row in csv.DictReader(io.StringIO(good(*pair, "--format", "csv")))}
        assert len(rows) == 32 and rows[("seventh", "G")]["pressed_in"] == "B" and rows[("seventh", "G")]["tunes"] == "Mill"
        assert rows[("major", "C")]["difference"] == "-25.00" and rows[("major", "C")]["pressed_in"] == "both"


def test_each_side_says_what_it_says_alone():
    pair = json.loads(good("heat", REELS, "--against", WALTZES, "--on", "48-8x6", "--format", "json"))
    for side, book in (("a", REELS), ("b", WALTZES)):
        alone = json.loads(good("heat", book, "--on", "48-8x6", "--format", "json"))
        assert pair[side].pop("tunes") == os.path.basename(book)
        assert pair[side] == alone


def test_a_title_is_asked_of_the_first_tunes_alone():
    out = good("heat", WALTZES, "--title", "lamps", "--against", REELS, "--on", "48-8x6")
    assert "A: waltzes.yaml, 1 tune on 48-8x6" in out and "B: jigs-and-reels.yaml, 10 tunes on 48-8x6" in out


def test_one_repertoire_on_two_boards():
    with tempfile.TemporaryDirectory() as folder:
        one = write(folder, "one.yaml", ONE)
        pair = ("heat", one, "--on", "12", "--on", "24")
        out = good(*pair)
        assert "A: one.yaml, 1 tune on 12" in out and "B: one.yaml, 1 tune on 24" in out
        assert "A minor, 50.0 %: Weir" in out  # a 12 has no minor row
        answer = json.loads(good(*pair, "--format", "json"))
        assert len(answer["differences"]) == 12  # the buttons of a 12, all of which a 24 has
        rows = list(csv.DictReader(io.StringIO(good(*pair, "--format", "csv"))))
        assert len(rows) == 24 and [row["presses_a"] for row in rows].count("") == 12
        none = good("heat", one, "--on", "24", "--on", "push-pull-8-gc")
        assert "no button in a row and a column of the same names" in " ".join(none.split())
        assert "A less B, before rounding\n\n" not in none
        dead = good("heat", one, "--on", "24", "--on", "24", "--without", "minor:A")
        assert "A: one.yaml, 1 tune on 24-less-1\nB: one.yaml, 1 tune on 24\n" in dead


def test_a_pair_is_drawn():
    with tempfile.TemporaryDirectory() as folder:
        pdf = os.path.join(folder, "pair.pdf")
        for boards in (("--on", "48-8x6", "--against", WALTZES), ("--on", "48-8x6", "--on", "120")):
            good("heat", REELS, *boards, "-o", pdf)
            assert min(size for _, size, _ in words_of(pdf)) > 6.45
            assert words_on(pdf).count("bellows") == 3  # two boards and their difference
            text = " ".join(words_on(pdf))
            assert "Round and +: held longer in A. Square and −: held longer in B." in text
            assert re.search(r" \+\d", text) and re.search(r" −\d", text)
            for ending in ("svg", "png"):
                good("heat", REELS, *boards, "-o", os.path.join(folder, "pair." + ending))


def test_what_cannot_be_set_beside_each_other():
    assert "two keyboards at most" in bad(2, "heat", REELS, "--on", "8", "--on", "12", "--on", "24")[1]
    assert "name one keyboard" in bad(2, "heat", REELS, "--on", "8", "--on", "12", "--against", WALTZES)[1]
    assert "name the keyboard with --on" in bad(2, "heat", REELS, "--against", WALTZES)[1]
    assert "nothing was read" in bad(2, "heat", REELS, "--on", "8", "--against", "/dev/null")[1]


if __name__ == "__main__":
    sys.exit(main(globals()))
