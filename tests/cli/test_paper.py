#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""What is drawn, measured with poppler and qpdf: sizes of letters, how full pages are, what a reader aloud finds, and whether
every text is text: test_paper.py ROWCALL CORPUS. Debian has no checker of PDF/UA, so structure trees are walked here."""

import json
import os
import re
import struct
import subprocess
import sys
import tempfile
import xml.etree.ElementTree
import zlib

sys.dont_write_bytecode = True

from rowcall_cli import CORPUS, good, main, write

WALTZES = os.path.join(CORPUS, "waltzes.yaml")
WINDOW = os.path.join(CORPUS, "window.offers")
SECTIONS = "answer,coverage,gains,sizes,index,moves,rules"
PICTURES = {
    "compare": ["compare", CORPUS], "sizes": ["sizes", CORPUS], "shop": ["shop", WINDOW, CORPUS],
    "heat": ["heat", CORPUS, "--on", "48-8x6"], "layouts": ["layouts", "48-8x6"],
}
DOCUMENTS = {
    "report": ["report", CORPUS, "--on", "48-8x6", "--sections", SECTIONS],
    "sheet": ["sheet", WALTZES, "--on", "48-8x6"], "learn": ["learn", CORPUS, "--on", "48-8x6"],
}
EM = 0.928 + 0.235  # from the top of DejaVu Sans to its bottom, in its size: what poppler makes a word's box of
POINT = 25.4 / 72  # mm


def told_by(*command):
    return subprocess.run(command, capture_output=True, check=True).stdout.decode()


def drawn(folder, name, ending, *more):
    path = os.path.join(folder, name + ending)
    good(*{**PICTURES, **DOCUMENTS}[name], *more, "-o", path)
    return path


def words_of(path):
    """Each word of a PDF with the size of its letters, in points: (page, size, word)."""
    page, words = 0, []
    for line in told_by("pdftotext", "-bbox", path, "-").splitlines():
        page += "<page" in line
        found = re.search(r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*)</word>', line)
        if found:
            x0, y0, x1, y1 = map(float, found.groups()[:4])
            upright = y1 - y0 > 2 * (x1 - x0) and len(found[5]) > 1  # set upwards
            across = upright or len(found[5]) == 1 and x1 - x0 > y1 - y0
            words.append((page, ((x1 - x0) if across else (y1 - y0)) / EM, found[5]))
    return words


def test_letters_are_as_large_as_they_should_be():
    with tempfile.TemporaryDirectory() as folder:
        for name in ("report", "compare", "sizes", "shop", "learn"):
            small = [word for word in words_of(drawn(folder, name, ".pdf")) if word[1] < 7.4]
            assert not small, (name, small[:5])  # 7.5 points are 2.6 mm from top to bottom
        for paper in ("a4", "letter"):
            words = words_of(drawn(folder, "report", ".pdf", "--paper", paper))
            assert 7.4 * POINT > 2.6
            for figure in ("96", "40", "48-8x6"):  # read from across a room: 28 points, or 9.9 mm
                assert max(size for page, size, word in words if page == 1 and word == figure) > 27.5, figure
            assert len([word for page, size, word in words if page == 1 and size > 27.5]) == 6  # and "%", "of", "51"


def test_the_figures_of_page_one_are_whole():
    tune = "title: Weir {n}\nkey: C\nmeter: 4/4\ntempo: 60\nparts: {{A: \"| C | F | {chord} | C |\"}}\n"
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "answer.pdf")
        book = "---\n".join(tune.format(n=n, chord="G" if n < 4500 else "F#7") for n in range(5000))
        for name, on, figure in (("many.yaml", "8", "4500"), ("one.yaml", "push-pull-12-gc", "push-pull-12-gc")):
            tunes = write(folder, name, book if name == "many.yaml" else tune.format(n=1, chord="Bb"))
            good("report", tunes, "--on", on, "--target", "90", "--sections", "answer", "-o", path)
            large = [word for page, size, word in words_of(path) if size > (27.5 if figure == "4500" else 14) and page == 1]
            assert figure in large and not any("…" in word for word in large), (on, large)


def test_page_one_says_what_to_do_in_a_line_each():
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "answer.pdf")
        for on in ("8", "12", "24", "32", "40", "48-8x6", "48-12x4", "60", "120", "push-pull-8-gc"):
            good("report", CORPUS, "--on", on, "--sections", "answer", "-o", path)
            text = told_by("pdftotext", "-layout", path, "-")
            assert text.count("\f") == 1, on
            lines = text.splitlines()
            said = [i for i, line in enumerate(lines) if re.match(r"(Learn|Move|Buy) ", line)]
            assert 1 <= len(said) <= 3 and said == list(range(said[0], said[0] + len(said))), (on, lines[said[0]:said[-1] + 2])


def test_page_one_and_the_index_agree_with_list():
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "report.pdf")
        for on in ("8", "32", "48-8x6"):
            tunes = json.loads(good("list", CORPUS, "--on", on, "--format", "json"))["tunes"]
            left = [tune for tune in tunes if tune["verdict"] != "plays"]
            moved = sum(tune["move"] is not None for tune in left)
            good("report", CORPUS, "--on", on, "--sections", "answer,index", "-o", path)
            text = " ".join(told_by("pdftotext", "-layout", path, "-").split())
            some = f"all {moved} tunes left" if moved == len(left) else f"{moved} of the {len(left)} tunes left"
            assert f"Move {some}" in text, (on, some)
            for verdict, words in (("plays", "playable"), ("one short", "one chord short"), ("does not", "lacking more")):
                n = sum(tune["verdict"] == verdict for tune in tunes)
                assert f" {n} {words} " in text, (on, n, words)
            for tune in tunes:
                if tune["verdict"] == "one short":
                    lack = tune["lacks"][0]
                    name = lack["chord"].replace("#", "♯").replace("b", "♭")
                    times = f" ×{lack['times']}" if lack["times"] > 1 else ""
                    assert re.search(rf"{re.escape(tune['title'])} \d+ % lacks {re.escape(name + times)} ", text), (on, tune)


def test_the_tunes_to_move_are_named():
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "report.pdf")
        for on in ("8", "32", "48-8x6", "120"):
            keys = good("keys", CORPUS, "--on", on).split("\n\n")[0].splitlines()[1:]
            moves = [re.match(r"(.{27}) (\S+(?: \w+)?) +[\d.]+ +([^,]+), (.*?) +(native|plays)\b", line) for line in keys]
            moves = [move for move in moves if move]  # not those beside a customary key
            good("report", CORPUS, "--on", on, "--sections", "answer,moves", "-o", path)
            text = " ".join(told_by("pdftotext", "-layout", path, "-").split())
            assert ("Tunes to move" in text) == bool(moves), on
            assert not moves or f"Tunes to move: {len(moves)} more play in other keys" in text, (on, len(moves))
            for move in moves:
                title, _, place, how, there = (part.strip() for part in move.groups())
                signs = place.replace("#", "♯").replace("b", "♭")
                assert re.search(rf"{re.escape(title.rstrip('…').strip())}.*? \d+ % {re.escape(signs)} {how} {there}\b", text), (on, move)
        good("report", CORPUS, "--on", "120", "--sections", "moves", "-o", path)
        assert "none plays in another key" in " ".join(told_by("pdftotext", path, "-").split())


def test_flats_and_sharps_are_set_alike():
    with tempfile.TemporaryDirectory() as folder:
        for name in [*PICTURES, *DOCUMENTS]:
            text = told_by("pdftotext", drawn(folder, name, ".pdf"), "-")
            assert not re.findall(r"\b[A-G](?:#|b(?=m|7|dim|maj|sus|6|9|/|\b))\S*", text), name
        assert "♭" in text or "♯" in text


def boxes_of(path):
    """Of each page the boxes of its words, about as high as their capitals."""
    pages = []
    for line in told_by("pdftotext", "-bbox", path, "-").splitlines():
        if "<page" in line:
            pages.append([])
        if found := re.search(r'xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*)</word>', line):
            left, top, right, bottom = map(float, found.groups()[:4])
            inset = 0.22 * (bottom - top)
            pages[-1].append((left + 0.3, top + inset, right - 0.3, bottom - inset, found[5]))
    return pages


def test_no_word_is_printed_over_another():
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "all.pdf")
        for on, paper in (("48-8x6", "a4"), ("48-8x6", "letter"), ("12", "letter"), ("push-pull-12-gc", "a4")):
            good("report", CORPUS, "--on", on, "--sections", "all", "--paper", paper, "-o", path)
            for number, page in enumerate(boxes_of(path), 1):
                page.sort(key=lambda box: box[1])
                for i, (left, _, right, bottom, word) in enumerate(page):
                    for other in page[i + 1:]:
                        if other[1] >= bottom:
                            break
                        assert other[2] <= left or other[0] >= right, (on, number, word, other)


def grey_pages(path):
    """Width, height and pixels of each page, 36 to an inch."""
    with tempfile.TemporaryDirectory() as folder:
        told_by("pdftoppm", "-gray", "-r", "36", path, os.path.join(folder, "page"))
        for name in sorted(os.listdir(folder)):
            with open(os.path.join(folder, name), "rb") as file:
                head, size, most, pixels = file.read().split(b"\n", 3)
            assert head == b"P5" and most == b"255"
            yield *map(int, size.split()), pixels


def shares_of_blank(path):
    """How much of each page, from its top margin to its foot, is blank at its end."""
    shares = []
    for width, height, pixels in grey_pages(path):
        rows = [min(pixels[y * width:(y + 1) * width]) for y in range(20, height - 24)]  # without the foot
        shares.append(next((i for i, row in enumerate(reversed(rows)) if row < 200), len(rows)) / len(rows))
    return shares


def test_pages_are_blank_only_at_the_end_of_a_chapter():
    with tempfile.TemporaryDirectory() as folder:
        for paper in ("a4", "letter"):
            path = drawn(folder, "report", ".pdf", "--paper", paper)
            pages = told_by("pdftotext", "-layout", path, "-").split("\f")
            for number, share in enumerate(shares_of_blank(path)):
                goes_on = number + 1 < len(pages) and "(continued)" in pages[number + 1][:200]
                assert share < 0.7 or not goes_on, (paper, number + 1, share)
                assert share < 0.9, (paper, number + 1, share)


def edges_of_ink(path):
    """Of each page how far its paper is from the outermost ink, left, top, right and bottom, in points."""
    edges = []
    for width, height, pixels in grey_pages(path):
        rows = [y for y in range(height) if min(pixels[y * width:(y + 1) * width]) < 200]
        columns = [x for x in range(width) if min(pixels[x::width]) < 200]
        edges.append([2 * n for n in (columns[0], rows[0], width - 1 - columns[-1], height - 1 - rows[-1])])
    return edges


def test_nothing_is_drawn_in_the_margins():
    # The index comes after the page of a 120, which lies on its side. Ink is of text and figures; what is drawn beside the
    # paper leaves none, so that words are measured too.
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "report.pdf")
        for paper in ("a4", "letter"):
            good("report", CORPUS, "--on", "48-8x6", "--paper", paper, "-o", path)
            page, wide, high, lying = 0, 0, 0, []
            for line in told_by("pdftotext", "-bbox", path, "-").splitlines():
                if found := re.search(r'<page width="([\d.]+)" height="([\d.]+)"', line):
                    page, wide, high = page + 1, float(found[1]), float(found[2])
                    lying += [page] if wide > high else []
                if found := re.search(r'xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)"', line):
                    left, top, right, bottom = map(float, found.groups())
                    assert left > 44 and right < wide - 44 and top > 36 and bottom < high - 18, (paper, page, line)
            assert len(lying) == 1 and lying[0] < page, (paper, lying, "only the boards of the 120 lie on their side")
            for number, (left, top, right, bottom) in enumerate(edges_of_ink(path), 1):
                assert left >= 42 and right >= 42 and top >= 36 and bottom >= 18, (paper, number, left, top, right, bottom)
            text = told_by("pdftotext", "-f", str(lying[0]), "-l", str(lying[0]), path, "-")
            assert "120: " in text and "tunes are playable" not in text, (paper, "the index begins on a page of its own")


def test_other_grades_are_so_many_of_all_times():
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "report.pdf")
        good("report", CORPUS, "--on", "48-8x6", "--sections", "chords", "-o", path)
        text = " ".join(told_by("pdftotext", "-raw", path, "-").split())
        cards = re.findall(r"(\d+) ×: [^×]*? (?:borrowed|bare|leaner|richer) (\d+) of these (\d+) times\.", text)
        assert cards and all(total == of and 0 < int(some) < int(of) for total, some, of in cards), cards


def test_five_thousand_tunes_are_thirty_pages():
    tune = 'title: {n} Wherry\nkey: {key}\nmeter: 4/4\ntempo: 60\nparts: {{A: "| {key} | Bbm | F#7 | {key} |", B: "| {key} | Ebm7 | B{n} |"}}\n'
    keys = ("C", "G", "D", "A", "F", "Bb", "Am")
    with tempfile.TemporaryDirectory() as folder:
        book = "---\n".join(tune.format(n=n, key=keys[n % len(keys)]).replace(f"B{n} ", "G ") for n in range(5000))
        path = os.path.join(folder, "report.pdf")
        good("report", write(folder, "book.yaml", book), "--on", "12", "-o", path)
        pages = int(re.search(r"Pages:\s+(\d+)", told_by("pdfinfo", path))[1])
        text = " ".join(told_by("pdftotext", path, "-").split())
        assert pages <= 30, pages
        assert "and 2500 more; rowcall list names them all" in text  # none plays


# ------------------------------------------------------------------------------------------------ for those who listen


def objects_of(path):
    return json.loads(told_by("qpdf", "--json=1", path))["objects"]


def is_element(value, *roles):
    return isinstance(value, dict) and value.get("/Type") == "/StructElem" and (not roles or value["/S"][1:] in roles)


def children(objects, element):
    kids = element.get("/K", [])
    return [objects.get(kid) for kid in (kids if isinstance(kids, list) else [kids]) if isinstance(kid, str)]


def test_a_reader_aloud_finds_its_way():
    titles = set()
    with tempfile.TemporaryDirectory() as folder:
        for name in [*PICTURES, *DOCUMENTS]:
            path = drawn(folder, name, ".pdf")
            checked = subprocess.run(["qpdf", "--check", path], capture_output=True, check=False)
            assert checked.returncode == 0, (name, checked.stderr)
            info = told_by("pdfinfo", path)
            titles.add(re.search(r"Title:\s+(.*)", info)[1])
            assert re.search(r"Tagged:\s+yes", info), name
            metadata = xml.etree.ElementTree.fromstring(told_by("pdfinfo", "-meta", path).strip().split("?>", 1)[1].rsplit("<?", 1)[0])
            said = [element.text.strip() for element in metadata.iter() if element.text and element.text.strip()]
            assert said == [re.search(r"Title:\s+(.*)", info)[1], "en", "rowcall"], (name, said)
            objects = objects_of(path)
            catalog = next(value for value in objects.values() if isinstance(value, dict) and value.get("/Type") == "/Catalog")
            assert catalog["/Lang"].removeprefix("u:") == "en" and catalog["/ViewerPreferences"]["/DisplayDocTitle"] is True
            elements = [value for value in objects.values() if is_element(value)]
            assert elements and any(is_element(e, "H1") for e in elements), name
            for element in elements:
                kids = children(objects, element)
                if is_element(element, "Figure"):
                    assert len(element["/Alt"]) > 20, (name, element)
                elif is_element(element, "TH"):
                    assert element["/A"]["/Scope"] in ("/Row", "/Column")
                elif is_element(element, "Table"):
                    assert kids and all(is_element(kid, "TR") for kid in kids), name
                elif is_element(element, "TR"):
                    assert all(is_element(kid, "TH", "TD") for kid in kids), (name, kids)
                elif is_element(element, "L"):
                    assert all(is_element(kid, "LI") for kid in kids), name
            assert name == "learn" or any(is_element(e, "Figure") for e in elements), name
            read = set(told_by("pdfinfo", "-struct-text", path).split('"')[1::2])
            heard = re.sub(r"\s", "", "".join(read))
            silent = [word for word in told_by("pdftotext", "-raw", path, "-").split() if word not in heard]
            assert not silent, (name, silent[:10])
    assert len(titles) == len(PICTURES) + len(DOCUMENTS), titles


def test_text_of_an_svg_is_text():
    with tempfile.TemporaryDirectory() as folder:
        for name in PICTURES:
            space = "{http://www.w3.org/2000/svg}"
            root = xml.etree.ElementTree.parse(drawn(folder, name, ".svg")).getroot()
            assert root.get("role") == "img" and len(root.find(space + "title").text) > 10
            assert len(root.find(space + "desc").text) > 20
            written = " ".join(element.text for element in root.iter(space + "text")).split()
            printed = told_by("pdftotext", "-raw", drawn(folder, name, ".pdf"), "-").split()
            assert sorted(written) == sorted(printed), (name, set(written) ^ set(printed))
            assert not list(root.iter(space + "symbol")), name  # of letters drawn


def test_a_png_knows_its_size():
    with tempfile.TemporaryDirectory() as folder:
        with open(drawn(folder, "compare", ".png"), "rb") as file:
            data = file.read()
    chunks, at = {}, 8
    while at < len(data):
        length, kind = struct.unpack(">I4s", data[at:at + 8])
        body = data[at + 8:at + 8 + length]
        assert struct.unpack(">I", data[at + 8 + length:at + 12 + length])[0] == zlib.crc32(kind + body), kind
        chunks.setdefault(kind, []).append(body)
        at += 12 + length
    assert struct.unpack(">IIB", chunks[b"pHYs"][0]) == (5669, 5669, 1)  # 144 dots an inch: two a point
    assert chunks[b"iTXt"][0].startswith(b"Title\0\0\0\0\0Coverage by size: ") and len(chunks[b"iTXt"]) == 2


sys.exit(main(globals()))
