#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""The manual pages and the completions against the program: test_manual.py ROWCALL CORPUS FOLDER, FOLDER being where
they were made. What needs a tool that is not there is left out, and that is said."""

import glob
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True

from rowcall_cli import CORPUS, Skip, command_names, good, main

FOLDER = os.path.abspath(sys.argv[3])
COMMANDS = command_names()


def need(tool):
    if not shutil.which(tool):
        raise Skip(f"{tool} is not installed")


def run(*command, env=None, folder=None):
    done = subprocess.run(command, capture_output=True, env={**os.environ, "LC_ALL": "C.UTF-8", **(env or {})}, cwd=folder,
                          timeout=120, check=False)
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def read(name):
    with open(os.path.join(FOLDER, name), encoding="utf-8") as file:
        return file.read()


def pages(section):
    found = sorted(glob.glob(os.path.join(FOLDER, f"*.{section}")))
    assert found
    return found


# -------------------------------------------------------------------------------------------------------------- pages


def help_options(command):
    """The options of a command's help, read apart from how the pages are made."""
    listed = good(command, "--help").split("Options:\n")[1].split("\n\n")[0]
    return set(re.findall(r"(?<!\S)--?[a-z][\w-]*", " ".join(line[:24] for line in listed.splitlines())))


def test_every_command_has_a_page_with_its_options():
    assert len(COMMANDS) >= 11, COMMANDS
    for command in COMMANDS:
        items = re.findall(r"^\.It (.*)$", read(f"rowcall-{command}.1").split(".Sh OPTIONS")[1].split(".El")[0], re.MULTILINE)
        options = {"-" * (1 + bool(second)) + name for item in items for second, name in re.findall(r"\bFl (Fl )?(\w[\w-]*)", item)}
        assert options == help_options(command) and len(options) > 3, (command, options ^ help_options(command))
        assert f".Xr rowcall-{command} 1" in read("rowcall.1")


def test_options_named_in_prose_are_there():
    known = set().union(*(help_options(command) for command in COMMANDS)) | {"--version"}
    for path in pages(1) + pages(5):
        for name in re.findall(r"\bFl Fl ([\w\\-]+)", read(path)):
            assert "--" + name.replace("\\-", "-") in known, (path, name)


def test_pages_refer_to_pages_there_are():
    there = {os.path.basename(path) for path in pages(1) + pages(5)}
    for path in pages(1) + pages(5):
        for name, section in re.findall(r"\.Xr (\S+) (\d)", read(path)):
            assert f"{name}.{section}" in there, (path, name)


def test_pages_lint():
    need("mandoc")
    for path in pages(1) + pages(5):
        said = run("mandoc", "-T", "lint", "-W", "style", path)[1].splitlines()
        assert not [line for line in said if "referenced manual not found" not in line], said


def test_pages_format():
    need("groff")
    for path in pages(1) + pages(5):
        status, out, err = run("groff", "-Kutf8", "-Tutf8", "-mdoc", "-ww", path)
        assert status == 0 and not err and len(out) > 500, (path, err)


def test_quotes_are_closed_before_others_open():
    need("mandoc")
    for path in pages(1) + pages(5):
        text = re.sub(r"\x1b\[[\d;]*m|.\x08", "", run("mandoc", "-T", "utf8", path)[1])
        assert not re.search(r"‘[^’]*‘", text), (path, re.search(r"‘[^’]*‘", text)[0])


# ----------------------------------------------------------------------------------------------- examples of section 5


def examples(kind):
    """The example blocks of section 5 of a kind, as a reader sees them."""
    found = []
    for path in pages(5):
        for block in re.findall(rf'^\.\\" example: {kind}\n\.Bd[^\n]*\n(.*?)^\.Ed', read(path), re.MULTILINE | re.DOTALL):
            found.append(re.sub(r"\\(.)", lambda sign: {"e": "\\", "-": "-", "&": ""}[sign[1]], block))
    return found


def test_tunes_of_the_pages_are_read():
    for kind, ending, least in (("tunes", "yaml", 2), ("abc", "abc", 2), ("chordpro", "cho", 1), ("musicxml", "musicxml", 1),
                               ("words", "txt", 1)):
        texts = examples(kind)
        assert len(texts) == least, kind
        for text in texts:
            with tempfile.TemporaryDirectory() as folder:
                with open(os.path.join(folder, f"page.{ending}"), "w", encoding="utf-8") as file:
                    file.write(text)
                answer = json.loads(good("compare", "--on", "120", "--format", "json", folder))
                chords = answer["layouts"][0]["chords"]
                assert answer["problems"] == 0 and chords["total"] > 1 and chords["unread"] == 0, (text, answer)


def test_what_the_pages_say_of_their_tunes():
    """Worked out by hand from the pages: what is played, joined where a chord is held or written again."""
    expected = {"The Lantern Waltz": (18, 42.0),  # 4 and 5 chords, twice each; 14 bars sound
                "Am Kanal entlang": (4, 16.0), "The Quince Ladder": (9, 24.0), "Buttons for the Baker": (6, 12.0),
                "Two Bars by the Lock": (2, 6.0)}
    seen = set()
    for kind, ending in (("tunes", "yaml"), ("abc", "abc"), ("musicxml", "xml")):
        for text in examples(kind):
            with tempfile.TemporaryDirectory() as folder:
                path = os.path.join(folder, f"page.{ending}")
                with open(path, "w", encoding="utf-8") as file:
                    file.write(text)
                for tune in json.loads(good("tune", "--on", "120", "--format", "json", path))["tunes"]:
                    if tune["title"] in expected:
                        seen.add(tune["title"])
                        counts = (tune["chords"]["total"], tune["quarters"]["total"])
                        assert counts == expected[tune["title"]], (tune["title"], counts)
    assert seen == set(expected)


def test_layouts_of_the_pages_are_sound():
    texts = examples("layout")
    assert len(texts) == 3
    for text in texts:
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "page.yaml")
            with open(path, "w", encoding="utf-8") as file:
                file.write(text)
            good("layouts", "--check", path)


def test_offers_of_the_page_are_read():
    (text,) = examples("offers")
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "page.offers")
        with open(path, "w", encoding="utf-8") as file:
            file.write(text)
        answer = json.loads(good("shop", path, CORPUS, "--format", "json"))
        assert [offer["offer"] for offer in answer["offers"]] == ["Hayloft 48", "The tinker's fifty"]
        assert answer["offers"][1]["cost"] == 519.48  # 444 at 1.17


def test_chords_of_the_page_are_read():
    (text,) = examples("chords")
    answers = json.loads(good("chord", *text.split(), "--on", "120", "--format", "json"))
    assert [answer["verdict"] for answer in answers].count("silent") == 1
    assert len(answers) == len(text.split()) == 26


def test_every_key_of_an_answer_is_described():
    def keys(answer):
        if isinstance(answer, list):
            return set().union(*(keys(item) for item in answer), set())
        return set(answer) | keys(list(answer.values())) if isinstance(answer, dict) else set()

    page = read("rowcall-json.5")
    described = set(re.findall(r"\w+", " ".join(re.findall(r"^(?:\.It|.*\bIc) .*$", page, re.MULTILINE))))
    window = os.path.join(CORPUS, "window.offers")
    for command in (["compare", CORPUS], ["chord", "Bm", "--on", "8"], ["tune", CORPUS, "--on", "48-8x6"], ["layouts"],
                    ["tune", CORPUS, "--on", "push-pull-8-gc"], ["heat", CORPUS, "--on", "push-pull-8-gc"], ["sizes", CORPUS],
                    ["heat", CORPUS, "--on", "8", "--on", "48-8x6"],
                    ["keys", CORPUS, "--on", "8"], ["list", CORPUS, "--on", "8", "--against", "12"], ["learn", CORPUS, "--on", "32"], ["shop", window, CORPUS], ["layouts", "push-pull-8-gc"]):
        missing = keys(json.loads(good(*command, "--format", "json"))) - described
        assert not missing, (command, missing)


# -------------------------------------------------------------------------------------------------------- completions

# What is asked, and some of what must be and must not be offered.
CASES = [
    ("rowcall ", {"compare", "tune", "layouts", "report"}, {"48-8x6"}),
    ("rowcall co", {"compare"}, {"chord", "tune"}),
    ("rowcall compare --o", {"--on", "--output"}, {"--accept"}),
    ("rowcall layouts --", {"--check", "--format", "--output"}, {"--on", "--title"}),
    ("rowcall tune --on 48", {"48-8x6", "48-12x4"}, {"72"}),
    ("rowcall tune waltzes.yaml --on push-pull-8-", {"push-pull-8-gc"}, {"push-pull-12-gc"}),
    ("rowcall compare --accept ", {"A", "B", "C", "D", "E"}, {"F"}),
    ("rowcall compare -f ", {"table", "csv", "json"}, {"a4"}),
    ("rowcall compare --by ", {"time", "chords"}, {"ease"}),
    ("rowcall sheet --paper ", {"a4", "letter"}, {"csv"}),
    ("rowcall sheet --prefer ", {"sound", "ease"}, {"csv"}),
    ("rowcall tune --school ", {"4-3", "3-2"}, {"csv"}),
    ("rowcall tune --names ", {"english", "german"}, {"csv"}),
    ("rowcall tune --from ", {"abc", "chordpro", "musicxml", "words", "yaml"}, {"csv"}),
    ("rowcall report --sections ", {"answer", "coverage", "rules", "all"}, {"csv"}),
    ("rowcall layouts 48", {"48-8x6", "48-12x4"}, {"72"}),
    ("rowcall compare our", {"our-waltzes.yaml"}, {"compare", "--on"}),
    ("rowcall tune --on our", {"our-waltzes.yaml"}, {"compare"}),
]


def check_cases(complete):
    with tempfile.TemporaryDirectory() as folder:
        with open(os.path.join(folder, "our-waltzes.yaml"), "w", encoding="ascii"):
            pass
        for line, wanted, unwanted in CASES:
            offered = complete(line, folder)
            assert wanted <= offered and not unwanted & offered, (line, sorted(offered))


BASH = """
source "$1"
COMP_WORDS=($2)
[[ $2 == *' ' ]] && COMP_WORDS+=('')
COMP_CWORD=$((${#COMP_WORDS[@]} - 1))
_rowcall
printf '%s\\n' "${COMPREPLY[@]}"
"""


def bash_words(line, folder):
    status, out, err = run("bash", "-c", BASH, "bash", os.path.join(FOLDER, "rowcall"), line, folder=folder)
    assert status == 0 and not err, err
    return set(out.split("\n"))


def test_bash():
    need("bash")
    check_cases(bash_words)
    with tempfile.TemporaryDirectory() as folder:  # bash divides at `=`
        assert {"48-8x6", "48-12x4"} <= bash_words("rowcall tune --on = 48", folder)
        assert "letter" in bash_words("rowcall sheet --paper =", folder)
        assert {"answer,heat", "answer,sheets"} <= bash_words("rowcall report --sections answer,", folder)


def test_fish():
    need("fish")
    script = f"source {FOLDER}/rowcall.fish; complete -C $argv[1]"

    def complete(line, folder):
        status, out, err = run("fish", "--no-config", "-c", script, line, folder=folder, env={"HOME": folder, "TERM": "dumb"})
        assert status == 0 and not err, err
        return {offer.split("\t")[0] for offer in out.splitlines()}

    check_cases(complete)


# A shell within the shell, at whose prompt the line is typed and completed; it prints what it would offer.
ZSH = r"""
zmodload zsh/zpty || exit 9
zpty -b z zsh -f
zpty -w z "PS1=; cd $3; fpath=($1 \$fpath); autoload -Uz compinit; compinit -u -d $3/.dump; bindkey -e; setopt no_beep
compadd() { local -a found; builtin compadd -O found \"\$@\"; (( \$#found )) && print -l \"<\$^found[@]>\"; builtin compadd \"\$@\" }
print REA''DY"
zpty -r z ready '*READY*'
zpty -w z "$2"$'\t\C-u'"print DO''NE"
zpty -r z text '*DONE*'
print -r -- "$text"
zpty -d z
"""


def test_zsh():
    need("zsh")
    status, _, err = run("zsh", "-n", os.path.join(FOLDER, "_rowcall"))
    assert status == 0 and not err, err

    def complete(line, folder):
        status, out, err = run("zsh", "-f", "-c", ZSH, "zsh", FOLDER, line, folder, env={"TERM": "dumb"})
        if status == 9:
            raise Skip("zsh has no module zpty")
        if "pseudo terminal" in err:
            raise Skip("no terminal can be had")
        assert status == 0, err
        return set(re.findall(r"<([^<>\r\n]*)>", out))

    check_cases(complete)


def test_offered_values_are_accepted():
    """Every value that completion offers for an option is one the program takes."""
    answers = {"chord": ["Bm", "--on", "48-8x6"], "layouts": ["8"]}
    for command in ("compare", "tune", "chord", "sizes", "layouts"):
        plain = answers.get(command) or [CORPUS] + (["--on", "48-8x6"] if command in ("compare", "tune") else [])
        for option in sorted(help_options(command)):
            with tempfile.TemporaryDirectory() as folder:
                for value in bash_words(f"rowcall {command} {option} ", folder) - {""}:
                    if value.startswith("-") or option in ("--on", "--check", "--no-melody", "--all-problems", "--brisk", "-h", "--help"):
                        continue
                    good(command, *plain, option, value)


sys.exit(main(globals()))
