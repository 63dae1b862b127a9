# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""Practice sheets measured on paper: what a player reads from a music stand a metre away. Sizes are those of the PDF, as poppler
finds its words and as its pens draw buttons. test_sheet.py ROWCALL CORPUS"""

import json
import os
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET

from rowcall_cli import CORPUS, good, main, run, write

MM = 72 / 25.4
LINE = 1.1635  # of DejaVu Sans: ascent and descent, in parts of its size

SIXTY = """title: Sixty Bars of Withy Drain
key: G
meter: 4/4
tempo: 120
parts:
  A: "| G | C | D7 | G | Em | Am | D7 | G | G | C | D7 | G | Em | Am D7 | G | % |"
  B: "| C | G | D7 | G | C | G | A7 | D7 | C | G | D7 | B7 | Em | Am | D7 | G |"
  Trio: "| C | F | G7 | C | Am | Dm | G7 | C | C | F | G7 | C | Am | Dm G7 | C | %
   | Em | B7 | Em | Am | D7 | G | C#dim | D7 | G | C | D7 | G |"
order: A A B B Trio Trio
"""
LONG = """title: Names Longer than the Lane
key: Db
meter: 4/4
tempo: 90
parts:
  Head: "| Dbmaj7#11 | Ebm7b5/Gb Ab13sus4 | Gbm(maj7) | Bbm7b5 Eb7b9#5 | Dbmaj13#11/F Gb6/9 Abm11 Db7#9b13 | Ebm11b5 |"
  Tail: "| F#m7b5/C B7sus4 | E13#11 A7alt | Dbadd9 | % |"
"""
UPBEAT = """X:1
T:Upbeat at the Lock
M:6/8
L:1/8
R:jig
K:D
P:A
A|"D"d3 f3|"G"g3 b3|"A7"a3 g3|"D"f3 d2 A|"D"d3 f3|"Bm"b3 d'3|"Em"e3 "A7"c3|"D"d3 d2||
P:B
f|"D"a3 f3|"G"b3 g3|"Em"e3 g3|"A7"c3 e2 f|"F#m"a3 f3|"G"b3 g3|"A7"e3 c3|"D"d3 d2|]
"""
SONG = """{title: Lanterns over the Weir}
{key: G}
{start_of_verse}
[G]Down by the [C]lock where the [G]water runs [D7]low
[G]Somebody's [F#7]coming home [A7]late by and [D7]by
{end_of_verse}

{start_of_chorus}
[C]Lanterns, [B7]lan[Em]terns, [Cmaj7]what do you [G]see
{end_of_chorus}
"""


class Word:
    def __init__(self, node):
        self.text = node.text or ""
        self.left, self.top, self.right, self.bottom = (float(node.get(k)) for k in ("xMin", "yMin", "xMax", "yMax"))
        self.points = (self.bottom - self.top) / LINE

    def __repr__(self):
        return f"{self.text} {self.points:.1f} pt at {self.left:.0f}, {self.top:.0f}"


def words_of(path):
    """The words of each page."""
    out = subprocess.run(["pdftotext", "-bbox", path, "-"], capture_output=True, check=True).stdout
    root = ET.fromstring(re.sub(rb"[\x00-\x08\x0b\x0c\x0e-\x1f]", b"", out))
    space = "{http://www.w3.org/1999/xhtml}"
    return [[Word(node) for node in page.iter(space + "word")] for page in root.iter(space + "page")]


def dots_of(path, page):
    """The round dots of a page, which is what buttons and badges are: how wide, and where."""
    svg = subprocess.run(["pdftocairo", "-svg", "-f", str(page), "-l", str(page), path, "-"], capture_output=True, check=True)
    dots = []
    for element in re.findall(r"<path[^>]*>", svg.stdout.decode()):
        wide = re.search(r'stroke-width[:=]"?([\d.]+)', element)
        if not wide or not re.search(r'stroke-linecap[:=]"?round', element):
            continue
        turn = re.search(r'matrix\(([^)]*)\)', element)
        a, _, _, d, e, f = (float(n) for n in turn[1].split(",")) if turn else (1, 0, 0, 1, 0, 0)
        for x, y in re.findall(r"M ([\d.-]+) ([\d.-]+) L \1 \2", element):
            dots.append((float(wide[1]), a * float(x) + e, d * float(y) + f))
    return dots


def sheet(folder, board, text, name="tune.yaml", *more):
    path = os.path.join(folder, "sheet.pdf")
    status, _, err = run("sheet", write(folder, name, text), "--on", board, "-o", path, *more)
    assert status == 0, err
    return path


def legend_of(page):
    """The first word of the line that explains the marks, just under the chart."""
    return next(w for w in page if w.text in ("circle:", "Dark:", "×:", "▸:", "◂:"))


BOARDS = ("8", "12", "24", "48-8x6", "48-12x4", "120", "push-pull-12-gc")


def test_chords_can_be_read_from_a_stand():
    with tempfile.TemporaryDirectory() as folder:
        for board in BOARDS:
            for text, least in ((SIXTY, 11), (LONG, 11)):
                page = words_of(sheet(folder, board, text))[0]
                end = legend_of(page).top
                symbols = {s.replace("#", "♯").replace("b", "♭") for s in re.findall(r"[A-G][^ |]*", text.split("parts:")[1])}
                parts = [w for w in page if w.left < 70 and w.text in ("A", "Head")]
                begin = min(w.top for w in parts) - 10  # below what the heading says of chords
                chart = [w for w in page if w.text in symbols and 70 < w.left and begin < w.bottom < end]
                sizes = [w.points for w in chart]
                assert len(chart) >= 12 and min(sizes) > least - 0.1 and max(sizes) > 17.9, (board, chart)
                assert not any(re.match(r"[A-G][#b]", w.text) for w in page), "signs are set alike"


def test_the_whole_board_is_on_each_sheet():
    with tempfile.TemporaryDirectory() as folder:
        for board in BOARDS[:-1]:  # halves of buttons are no dots; test_figures.c measures those boards
            path = sheet(folder, board, SIXTY)
            pages = words_of(path)
            boards = 0
            for number, page in enumerate(pages, 1):
                dots = [d for d in dots_of(path, number) if abs(d[0] - 14) > 0.01]  # badges of the chart
                assert all(d[0] > 6.5 * MM - 0.6 or abs(d[0] - 17) < 0.01 for d in dots), (board, sorted(dots)[:3])  # an inside
                left = min((x - wide / 2 for wide, x, _ in dots), default=0)
                cards = [y - 9 for wide, _, y in dots if abs(wide - 17) < 0.01]
                above = [d for d in dots if d[2] < min(cards, default=1000)]
                width = max((x + wide / 2 for wide, x, _ in above), default=left) - min((x - w / 2 for w, x, _ in above), default=left)
                boards += 169.5 < width / MM < 170.5
            assert boards == 1, (board, "a board 170 mm wide, once")


def test_fingers_of_cards_are_large():
    with tempfile.TemporaryDirectory() as folder:
        seen = 0
        for board in BOARDS:
            path = sheet(folder, board, SIXTY)
            for number, page in enumerate(words_of(path), 1):
                cards = [y for wide, _, y in dots_of(path, number) if abs(wide - 17) < 0.01]
                for wide, x, y in dots_of(path, number):
                    if abs(wide - 6.6 * MM) > 0.02 or y < min(cards, default=1000):
                        continue
                    inside = [w for w in page if re.fullmatch("[2-5]", w.text) and w.left > x - wide / 2 and w.right < x + wide / 2
                              and y - wide / 2 < w.bottom and w.top < y and w.bottom < y + wide / 2]
                    seen += len(inside)
                    assert all(w.points > 11.9 for w in inside), (board, inside)
        assert seen > 20, seen


def test_one_page_is_the_rule():
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "sheets.pdf")
        good("sheet", CORPUS, "--on", "48-8x6", "-o", path)
        feet = [" ".join(w.text for w in page if w.top > 800) for page in words_of(path)]
        assert all(re.search(r"· 48 basses, 8 columns by 6 rows · \d of \d", foot) for foot in feet), feet[:3]
        pages = [re.search(r"(\d) of (\d)", foot).groups() for foot in feet]
        tunes = json.loads(good("tune", CORPUS, "--on", "48-8x6", "--format", "json"))["tunes"]
        ofs = [of for n, of in pages if n == "1"]
        assert len(ofs) == len(tunes) == 51
        long = [tune["title"] for tune, of in zip(tunes, ofs) if of != "1"]
        assert len(long) <= 3 and all(of in "12" for of in ofs), long
        for board, paper, most in (("48-8x6", "letter", 54), ("12", "a4", 51), ("24", "a4", 51), ("48-12x4", "a4", 51), ("120", "letter", 51)):
            good("sheet", CORPUS, "--on", board, "--paper", paper, "-o", path)
            assert len(words_of(path)) <= most, (board, paper)


def test_four_bars_are_in_a_line():
    # Whatever spares a page: up to 24 bars a line has four, of a longer tune eight where its chords have room.
    bars = "| C6 | F9 | Gm7 | C13 | Am7b5 | D7b9 | G9 | C7#5 "
    tune = "title: The Long Lane\nkey: C\nmeter: 4/4\ntempo: 90\nparts: {{A: \"{bars}|\"}}\n"
    with tempfile.TemporaryDirectory() as folder:
        for n, across in ((24, 4), (32, 8)):
            page = words_of(sheet(folder, "48-8x6", tune.format(n=n, bars=bars * (n // 8))))[0]
            numbers = [w.text for w in page if w.right < 72 and w.text.isdigit() and w.bottom < legend_of(page).top]
            assert numbers == [str(1 + i) for i in range(0, n, across)], numbers


CROWDED = """title: Nineteen Ways through the Fen
key: Eb
meter: 4/4
tempo: 66
parts:
  A: "| F6 | Abdim7 | Gm7 | C7 | Am7b5 | D7b9 | Gm7 C13 | F6 C7#5 |"
  B: "| Cm7 | F9 | Bbmaj7 | Bb6 | Dm7 | G9 | Gm7 | C7 |"
  C: "| F6 | Abdim7 | Gm7 | C7 | Am7b5 | D7b9 | Gm7 C13 | F6/9 |"
"""


def test_what_is_pressed_alike_is_shown_once():
    # On the 48 F6 and F6/9 are both F and D minor, and C13 is played as C7: a teacher says so in a word.
    with tempfile.TemporaryDirectory() as folder:
        pages = words_of(sheet(folder, "48-8x6", CROWDED))
        assert len(pages) == 1
        below = [w for w in pages[0] if w.top > legend_of(pages[0]).bottom + 20]
        flat = " ".join(w.text for w in below)
        for said in ("F6, F6/9 ", "C13 as C7", "C7♯5 as C7", "F9 as F7", "G9 as G7"):
            assert flat.count(said) == 1, (said, flat)
        numbers = [w for w in below if w.text.isdigit() and abs(w.points - 17 * 0.66) < 0.1]  # of cards
        assert 4 <= len(numbers) <= 10, numbers


def test_nothing_is_too_small_to_be_read():
    with tempfile.TemporaryDirectory() as folder:
        for board in BOARDS:
            for text, paper in ((SIXTY, "a4"), (CROWDED, "a4"), (CROWDED, "letter"), (LONG, "letter")):
                pages = words_of(sheet(folder, board, text, "tune.yaml", "--paper", paper))
                small = [w for page in pages for w in page if w.points < 6.95]
                assert not small, (board, paper, small)


def test_only_marks_that_occur_are_explained():
    with tempfile.TemporaryDirectory() as folder:
        flat = " ".join(w.text for page in words_of(sheet(folder, "120", SIXTY)) for w in page)
        assert "in a circle" not in flat and "×" not in flat and "push" not in flat and "stretch" not in flat, flat[-600:]
        assert "Frame: second bass of an alternating bass" in flat
        flat = " ".join(w.text for page in words_of(sheet(folder, "8", SIXTY)) for w in page)
        assert "×: no grip" in flat and "A number in a circle: see below." in flat and re.search(r"Leave out: .*C♯dim, bar 55 \(Trio\)", flat), flat[-900:]
        wide = " ".join(w.text for page in words_of(sheet(folder, "48-8x6", SIXTY, "t.yaml", "--spans", "60,45,60,70,70,90"))
                        for w in page)
        assert wide.count("stop if it hurts") <= 1, wide


def test_only_felt_marks_of_the_board_are_named():
    # The fundamental row of the 12 runs from B♭ to A, that of the 24 from E♭ to E: of C, E and A♭ they have one, and two.
    with tempfile.TemporaryDirectory() as folder:
        for board, names in (("12", "C"), ("24", "C and E"), ("120", "A♭, C and E")):
            flat = " ".join(w.text for page in words_of(sheet(folder, board, SIXTY)) for w in page)
            assert re.search(rf"Inner ring: {names}, to be felt\.", flat), (board, flat[-900:])
            report = os.path.join(folder, "report.pdf")
            good("report", write(folder, "t.yaml", SIXTY), "--on", board, "--sections", "chords", "-o", report)
            flat = " ".join(w.text for page in words_of(report) for w in page)
            assert board == "120" or f"A ring within a button marks {names}, which you feel." in flat, (board, flat[-600:])


def test_german_names_are_explained():
    tune = "title: Weir\nkey: Dm\nmeter: 4/4\ntempo: 60\n{names}parts: {{A: \"| Dm | {chord} | A7 | Dm |\"}}\n"
    with tempfile.TemporaryDirectory() as folder:
        for names, chord, told in (("names: german\n", "B", True), ("names: german\n", "Hm", True), ("names: german\n", "G", False),
                                   ("", "Bb", False), ("", "Bm", False), ("", "B♭", False)):
            flat = " ".join(w.text for w in words_of(sheet(folder, "48-8x6", tune.format(names=names, chord=chord)))[0])
            assert ("H is B on the keyboard, B is B♭" in flat) == told, (names, chord, flat)


def test_a_sheet_says_at_its_top_that_the_tune_does_not_play():
    two, one, none = (f"title: Weir\nkey: C\nmeter: 4/4\ntempo: 60\nparts: {{A: \"| C | {a} | C | {b} |\"}}\n"
                      for a, b in (("C#dim", "F#7"), ("C#dim", "G"), ("F", "G")))
    with tempfile.TemporaryDirectory() as folder:
        for text, verdict in ((two, "Does not play on the 8: no grip for "), (one, "One short on the 8: no grip for C♯dim.")):
            page = words_of(sheet(folder, "8", text))[0]
            flat = " ".join(w.text for w in page if w.bottom < legend_of(page).top)
            assert verdict in flat and flat.index(verdict) < flat.index("A 1 C C♯dim"), flat
            assert "C♯dim" in flat[flat.index(verdict):flat.index("A 1 C C♯dim")], flat
        flat = " ".join(w.text for page in words_of(sheet(folder, "8", none)) for w in page)
        assert " on the 8" not in flat, flat
        path = os.path.join(folder, "unread.pdf")
        run("sheet", write(folder, "unread.yaml", none.replace("F", "Hmpf")), "--on", "8", "-o", path)
        flat = " ".join(w.text for w in words_of(path)[0])
        assert "Does not play on the 8: not understood: Hmpf." in flat, flat


def test_bars_are_numbered_from_the_first_whole_one():
    with tempfile.TemporaryDirectory() as folder:
        page = words_of(sheet(folder, "48-8x6", UPBEAT, "up.abc"))[0]
        end = legend_of(page).top
        numbers = [w.text for w in page if w.right < 72 and w.bottom < end and w.text.isdigit()]
        assert numbers == ["1", "5", "9", "13"], numbers
        first = min((w for w in page if w.text == "D" and w.points > 15 and w.bottom < end), key=lambda w: w.top)
        below = min((w for w in page if w.text == "D" and w.points > 15 and first.bottom < w.top < end), key=lambda w: w.top)
        assert 10 < first.left - below.left < 40, (first, below, "the pickup before it is narrow")
        flat = " ".join(w.text for w in words_of(sheet(folder, "8", UPBEAT, "up.abc"))[0])
        assert "Leave out: A7, bars 3, 7, 12, 15; F♯m, bar 13 (B)." in flat, flat


def test_a_song_has_its_words_under_its_chords():
    with tempfile.TemporaryDirectory() as folder:
        song = write(folder, "song.cho", SONG)
        report = os.path.join(folder, "report.pdf")
        good("report", song, "--on", "48-8x6", "--sections", "sheets", "-o", report)
        for path in (sheet(folder, "48-8x6", SONG, "song.cho"), report):
            page = words_of(path)[0]
            word = next(w for w in page if w.text == "coming")
            chord = next(w for w in page if w.text == "F♯7")
            assert abs(chord.left - word.left) < 1 and 0 < word.top - chord.top < 30, (chord, word)
            assert chord.points > 10.9 and word.points > 10.4, (chord, word)


def check_apart(page, top, bottom):
    """That no word between these heights is on another."""
    spots = [(w.left, w.top, w.right, w.bottom, w.text) for w in page if top < w.top < bottom]
    for i, a in enumerate(spots):
        for b in spots[:i]:
            assert a[2] < b[0] + 0.5 or b[2] < a[0] + 0.5 or a[3] - 5 < b[1] or b[3] - 5 < a[1], (a, b)


def test_a_long_song_is_set_in_two_columns():
    with tempfile.TemporaryDirectory() as folder:
        verse = """
{start_of_verse}
[G]Up at the [C]mill where the [G]miller's in [D7]bed
[G]Flour on his [Em]pillow and [Am]flour on his [D7]head
[G]Lanterns, oh [G7]lanterns and [C]set it down [Cm]low
[G]Somebody's [F#7]coming home [A7]tired and [D7]slow
{end_of_verse}
"""
        pages = words_of(sheet(folder, "24", "{title: Weir}\n{key: G}\n" + 3 * verse, "song.cho"))
        assert len(pages) == 1, len(pages)
        lefts = [round(w.left) for w in pages[0] if w.text == "Lanterns,"]
        tops = [w.top for w in pages[0] if w.text == "Lanterns,"]
        assert len(lefts) == 3 and len(set(lefts)) == 2 and max(tops) < 500, (lefts, tops)
        check_apart(pages[0], 80, max(tops) + 20)
        # A word that is wider than a column has the whole page's width.
        wide = "[C]Steamboathelmsmanswidowspensioncounterclerksapprentices [G]sing\n"
        for times in (1, 2, 3):
            page = words_of(sheet(folder, "24", "{title: Weir}\n{key: G}\n" + times * (verse + wide), "song.cho"))[0]
            check_apart(page, 80, max(w.top for w in page if w.text == "Lanterns,") + 20)


def test_words_run_as_they_are_read():
    with tempfile.TemporaryDirectory() as folder:
        hebrew = "{title: Weir}\n{key: G}\n[G]אור על [C]המים [D7]בלילה [Em]שקט\n"
        page = words_of(sheet(folder, "48-8x6", hebrew, "song.cho"))[0]
        chords = [next(w for w in page if w.text == name and w.points > 15) for name in ("G", "C", "D7", "Em")]
        assert all(one.left > other.right for one, other in zip(chords, chords[1:])), chords
        assert chords[0].right > 545, "the line begins at the right"
        wide = "{title: Weir}\n{key: G}\n[Em]誰かが[F#7]帰る [Am7]夜の[D7]道\n"
        cut = "{title: Weir}\n{key: G}\n[Em]Lan[Cmaj7]terns\n"
        for words, dashes in ((wide, 0), (cut, 1)):
            page = words_of(sheet(folder, "48-8x6", words, "song.cho"))[0]
            assert sum(w.text == "-" for w in page) == dashes, words


def test_a_verse_is_not_torn():
    verse = "{start_of_verse}\n" + "[G]Lanterns, oh [C]lanterns and [D7]set it down [G]low\n" * 5 + "{end_of_verse}\n\n"
    with tempfile.TemporaryDirectory() as folder:
        pages = words_of(sheet(folder, "24", "{title: Weir}\n{key: G}\n" + 5 * verse, "song.cho"))
        lines = [sum(w.text == "Lanterns," for w in page) for page in pages]
        assert len(pages) == 2 and sum(lines) == 25 and all(n % 5 == 0 for n in lines), lines


def test_each_file_has_a_title_of_its_own():
    with tempfile.TemporaryDirectory() as folder:
        titles = set()
        for name in ("weir.yaml", "lane.yaml"):
            path = sheet(folder, "24", SIXTY, name)
            info = subprocess.run(["pdfinfo", path], capture_output=True, check=True).stdout.decode()
            titles.add(re.search(r"Title: +(.*)", info)[1])
        assert len(titles) == 2 and all("24 basses" in title for title in titles), titles


sys.exit(main(globals()))
