#!/usr/bin/env python3
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""What goes wrong while files are read and written, each fault caused: test_faults.py ROWCALL CORPUS FAULTS SANITIZE.

FAULTS is the library made of tests/faults/fail_call.c, which makes the n-th call that concerns a file fail, or has a signal
or a change of the file come before it; n goes from 1 on until no call is left. SANITIZE is meson's b_sanitize.
"""

import gzip
import io
import json
import os
import resource
import shutil
import signal
import subprocess
import sys
import tarfile
import tempfile
import time
import zipfile

sys.dont_write_bytecode = True

from rowcall_cli import CORPUS, LANTERN, ROWCALL, bad, good, main, read, run, write

FAULTS = os.path.abspath(sys.argv[3])
SANITIZED = len(sys.argv) > 4 and sys.argv[4] != "none"
NUMBERS = {"ENOSPC": (28, "No space left on device"), "EIO": (5, "Input/output error"), "EINTR": (4, "Interrupted system call")}
FATAL = [signal.SIGINT, signal.SIGTERM, signal.SIGHUP]
NOBODY = 65534
if os.access("/dev/shm", os.W_OK):  # where the thousand files of this test wait for no disk
    tempfile.tempdir = "/dev/shm"


def default_signals():
    for number in FATAL:
        signal.signal(number, signal.SIG_DFL)


def faulty(scratch, call, path, nth, *arguments, stdin="", folder=None, **fault):
    """A run whose nth `call` on `path` goes wrong; None where it made no such call, which is then a good run."""
    told = os.path.join(scratch, "told")
    env = {"LD_PRELOAD": FAULTS, "FAULT_CALL": call, "FAULT_PATH": path, "FAULT_NTH": str(nth), "FAULT_TOLD": told,
           "ASAN_OPTIONS": os.environ.get("ASAN_OPTIONS", "") + ":verify_asan_link_order=0", **fault}
    result = run(*arguments, stdin=stdin, env=env, folder=folder, preexec_fn=default_signals)
    if not os.path.exists(told):
        assert result[0] in (0, 1), result
        return None
    os.remove(told)
    return result


def every(scratch, call, path, *arguments, **more):
    """What came of each such run, from the first call to the last."""
    for nth in range(1, 1000):
        result = faulty(scratch, call, path, nth, *arguments, **more)
        if result is None:
            assert nth > 1, ("no such call", call, path)
            return
        yield result
    raise AssertionError("no end of calls")


# Every kind of output: its name, and how it is asked for.
def outputs(book):
    symbol = ["listen", "Bm", "--on", "48-8x6"]
    return {"answer.txt": ["compare", book, "--on", "48-8x6"], "rows.csv": ["compare", book, "--on", "48-8x6"],
            "rows.json": ["compare", book, "--on", "48-8x6"], "report.pdf": ["report", book, "--sections", "answer"],
            "sheets.pdf": ["sheet", book, "--on", "48-8x6"], "board.svg": ["layouts", "48-8x6"],
            "board.png": ["layouts", "48-8x6"], "bm.wav": symbol, "bm.flac": symbol, "bm.mid": symbol}


class Place:
    """A folder for what is read and one for what is written."""

    def __enter__(self):
        self.scratch = tempfile.TemporaryDirectory()
        self.books = os.path.join(self.scratch.name, "books")
        self.out = os.path.join(self.scratch.name, "out")
        os.mkdir(self.books)
        os.mkdir(self.out)
        self.book = write(self.books, "lantern.yaml", LANTERN)
        return self

    def __exit__(self, *_):
        self.scratch.cleanup()

    def holds(self, name, content):
        assert os.listdir(self.out) == [name], (name, os.listdir(self.out))
        assert read(self.out, name) == content, (name, read(self.out, name)[:80])


# ------------------------------------------------------------------------------------------------------------ writing

WRITING = ("open", "write", "fsync", "close", "rename")


def fail_writing(p, name, call, fault):
    """Has each such call fail in turn; the file is then as it was before, old or not there."""
    path = os.path.join(p.out, name)
    number, said = NUMBERS[fault]
    old = os.path.exists(path)
    for status, _, err in every(p.scratch.name, call, "/out/", *outputs(p.book)[name], "-o", path, FAULT_ERRNO=str(number)):
        if call == "write" and fault == "EINTR":  # tried again
            assert status == 0 and err == "", (name, err)
            continue
        assert status == 2 and err == f"rowcall: {path}: cannot be written: {said}; nothing was written\n", err
        if old:
            p.holds(name, b"old")
        else:
            assert os.listdir(p.out) == [], (name, call)


def test_each_call_of_writing_each_kind_of_file_fails():
    for name in outputs(""):
        with Place() as p:
            for call in WRITING:
                write(p.out, name, "old")
                fail_writing(p, name, call, "ENOSPC")


def test_each_call_of_writing_fails_in_each_way():
    for fault in NUMBERS:
        for call in WRITING:
            with Place() as p:
                fail_writing(p, "board.svg", call, fault)
                write(p.out, "board.svg", "old")
                fail_writing(p, "board.svg", call, fault)


def test_a_file_written_in_pieces_is_whole():
    with Place() as p:
        for name, command in outputs(p.book).items():
            path = os.path.join(p.out, name)
            good(*command, "-o", path)
            whole = read(path)
            for taken in ("1", "7"):
                write(p.out, name, "old")
                status, _, err = faulty(p.scratch.name, "write", "/out/", 1, *command, "-o", path, FAULT_SHORT=taken)
                assert status == 0 and err == "" and read(path) == whole, (name, err)
            os.remove(path)


def test_a_signal_at_each_call_of_writing_a_file():
    with Place() as p:
        for name, number in zip(outputs(p.book), FATAL * 9):
            path = write(p.out, name, "old")
            command = outputs(p.book)[name]
            for call in WRITING:
                for status, _, err in every(p.scratch.name, call, "/out/", *command, "-o", path, FAULT_SIGNAL=str(number.value)):
                    assert status == -number and err == "", (name, call, status, err)
                    p.holds(name, b"old")
                write(p.out, name, "old")  # the last run was a good one
            os.remove(path)


def test_a_signal_in_a_long_run():
    with Place() as p:
        path = write(p.out, "report.pdf", "old")
        copies = [shutil.copytree(CORPUS, os.path.join(p.scratch.name, f"copy-{n}")) for n in range(40)]
        for number in FATAL:
            ended = subprocess.Popen([ROWCALL, "report", *copies, "--sections", "all", "-o", path],
                                     stderr=subprocess.PIPE, preexec_fn=default_signals)
            time.sleep(0.1)
            ended.send_signal(number)
            assert ended.stderr.read() == b"" and ended.wait() == -number, ended.returncode
            ended.stderr.close()
            p.holds("report.pdf", b"old")


def test_nohup_is_minded():
    with Place() as p:
        path = os.path.join(p.out, "a.csv")
        for nth in (1, 2):
            faulty(p.scratch.name, "write", "/out/", nth, "compare", p.book, "-o", path, FAULT_SIGNAL="0")
        env = {**os.environ, "LD_PRELOAD": FAULTS, "FAULT_CALL": "write", "FAULT_PATH": "/out/", "FAULT_NTH": "1", "FAULT_SIGNAL": "1",
               "FAULT_TOLD": os.path.join(p.scratch.name, "told"), "ASAN_OPTIONS": "verify_asan_link_order=0:detect_leaks=0"}
        done = subprocess.run([ROWCALL, "compare", p.book, "-o", path], env=env, capture_output=True, check=False,
                              preexec_fn=lambda: signal.signal(signal.SIGHUP, signal.SIG_IGN))
        assert done.returncode == 0 and read(path).startswith(b"layout,"), done


def test_standard_output_fails():
    with Place() as p:
        for how in ("table", "csv", "json"):
            command = ["compare", p.book, "--format", how]
            whole = good(*command)
            for number, said in NUMBERS.values():
                for status, out, err in every(p.scratch.name, "write", "stdout", *command, FAULT_ERRNO=str(number)):
                    if number == 4:
                        assert (status, out, err) == (0, whole, "")
                    else:
                        assert status == 2 and err == f"rowcall: writing to standard output failed: {said}\n", err
            assert faulty(p.scratch.name, "write", "stdout", 1, *command, FAULT_SHORT="3") == (0, whole, "")


def test_full_device():
    for command in (["compare", CORPUS], ["compare", CORPUS, "--format", "csv"], ["compare", CORPUS, "--format", "json"],
                    ["tune", CORPUS, "--on", "8"], ["layouts"], ["compare", "--help"], ["--help"], ["--version"]):
        with open("/dev/full", "wb") as full:
            done = subprocess.run([ROWCALL, *command], stdout=full, stderr=subprocess.PIPE, check=False)
        assert done.returncode == 2, command
        assert done.stderr.endswith(b"rowcall: writing to standard output failed: No space left on device\n"), done.stderr


def test_file_size_limit():
    with Place() as p:
        for name in ("report.pdf", "bm.wav"):
            path = write(p.out, name, "old")
            _, err = bad(2, *outputs(p.book)[name], "-o", path,
                         preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096)))
            assert "cannot be written: File too large; nothing was written" in err
            p.holds(name, b"old")
            os.remove(path)


def test_full_disk():
    with Place() as p:
        script = 'mount -t tmpfs -o size=16k none "$1" 2>/dev/null || exit 77; cd "$1"; echo old > r.pdf; shift; "$@"; ' \
                 'echo "status $?, $(ls -A), $(cat r.pdf)"'
        done = subprocess.run(["unshare", "-m", "sh", "-c", script, "sh", p.out, ROWCALL, "report", p.book, "-o", "r.pdf"],
                              capture_output=True, check=False)
        if done.returncode:
            print("note: no disk of our own could be mounted; a full one was played by failing calls only")
            return
        assert done.stdout == b"status 2, r.pdf, old\n", done
        assert done.stderr == b"rowcall: r.pdf: cannot be written: No space left on device; nothing was written\n", done


def test_out_of_memory():
    if SANITIZED:
        print("note: memory is not bounded under the sanitizers, which need much of it")
        return
    with Place() as p:
        path = write(p.out, "report.pdf", "old")
        failed = 0
        for mebibytes in (60, 70, 90, 120, 180, 250, 500, 1000, 4000):
            status, _, _ = run("report", CORPUS, "--sections", "all", "-o", path, preexec_fn=lambda: resource.setrlimit(
                resource.RLIMIT_AS, (mebibytes << 20, mebibytes << 20)))
            if status == 0:
                break
            failed += 1
            p.holds("report.pdf", b"old")
        assert failed > 2 and read(path).endswith(b"%%EOF\n")
        assert os.listdir(p.out) == ["report.pdf"]


# --------------------------------------------------------------------------------------------------- pipes and closed

def test_pipe_closed_by_its_reader():
    for command in (["compare", CORPUS, "--format", "json"], ["tune", CORPUS, "--on", "8"], ["layouts"], ["--help"]):
        reader, writer = os.pipe()
        os.close(reader)  # before the program begins, which may be quick
        closed = subprocess.Popen([ROWCALL, *command], stdout=writer, stderr=subprocess.PIPE)
        os.close(writer)
        assert closed.stderr.read() == b"" and closed.wait() == -signal.SIGPIPE
        closed.stderr.close()
    head = subprocess.run(f"'{ROWCALL}' tune '{CORPUS}' --on 8 | head -1", shell=True, capture_output=True, check=True)
    assert head.stdout.count(b"\n") == 1 and head.stderr == b""


def shell(command, *arguments):
    done = subprocess.run(["sh", "-c", command, "sh", ROWCALL, *arguments], capture_output=True, check=False)
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def test_closed_descriptors():
    with Place() as p:
        status, out, err = shell('"$1" compare "$2" >&-', p.book)
        assert status == 2 and err == "rowcall: writing to standard output failed: Bad file descriptor\n", err
        status, out, err = shell('"$1" compare - <&-')
        assert status == 2 and err.startswith("rowcall: -: cannot be read: Bad file descriptor\n"), err
        whole = good("compare", p.book)
        assert shell('"$1" compare "$2" 2>&-', p.book) == (0, whole, "")
        assert shell('"$1" compare "$2" no-such.yaml 2>&-', p.book)[0] == 1
        pipe = os.path.join(p.scratch.name, "pipe")  # which must not be given the number of standard input
        os.mkfifo(pipe)
        status, out, err = shell('(sleep 0.2; cat "$2") > "$3" & "$1" compare --threads 2 --format json "$3" - <&-', p.book, pipe)
        assert status == 1 and json.loads(out)["tunes"] == 1 and err.startswith("rowcall: -: cannot be read: Bad"), (out, err)
        path = os.path.join(p.out, "a.csv")
        good("compare", p.book, "-o", path)
        table = read(path)
        for closed in ("<&-", ">&-", "2>&-", "<&- >&- 2>&-"):  # no message lands in a file that got such a number
            status, out, err = shell(f'"$1" compare "$2" no-such.yaml -o "$3" {closed}', p.book, path)
            assert status == 1 and out == "", (closed, status)
            p.holds("a.csv", table)


# ------------------------------------------------------------------------------------------- what cannot be written to

def refused(p, output, said, *command, status=2):
    out, err = bad(status, *(command or ["compare", p.book]), "-o", output)
    assert said in err and err.count("\n") == 1 and out == "", err


def test_what_is_no_file():
    with Place() as p:
        pipe = os.path.join(p.out, "pipe")
        os.mkfifo(pipe)
        for path in (p.out, pipe, "/dev/null", "/dev/full"):
            refused(p, path, f"{path}: is a folder or a device; name a file to write to")
        assert os.listdir(p.out) == ["pipe"] and os.path.exists("/dev/null")
        refused(p, os.path.join(p.out, "no", "a.csv"), "cannot be written: No such file or directory; nothing was written")
        refused(p, os.path.join(p.book, "a.csv"), "cannot be written: Not a directory; nothing was written")
        refused(p, os.path.join(p.out, "x" * 300), "cannot be written: File name too long; nothing was written")
        assert "this command writes no .pdf" in bad(2, "tune", p.book, "--on", "8", "-o", os.path.join(p.out, "x.pdf"))[1]
        refused(p, os.path.join(p.out, "x.svg"), "a picture shows one layout", "layouts", "8", "12")
        assert os.listdir(p.out) == ["pipe"]
        good("compare", p.book, "-o", os.path.join(p.out, "x" * 255))  # as long as a name may be


def test_links_are_followed():
    with Place() as p:
        link, second, real = (os.path.join(p.out, name) for name in ("link.csv", "second.csv", "real.csv"))
        os.symlink("link.csv", second)
        os.symlink(os.path.join("..", "elsewhere.csv"), link)
        for path in (link, second):
            refused(p, path, "is a link to a file that is not there; remove the link or name another file")
        os.remove(link)
        os.symlink("real.csv", link)
        write(p.out, "real.csv", "old")
        os.chmod(real, 0o640)
        good("compare", p.book, "-o", second)
        assert read(real).startswith(b"layout,") and os.path.islink(link) and os.path.islink(second)
        assert os.stat(real).st_mode & 0o777 == 0o640  # the rights of the old file
        loop = os.path.join(p.out, "loop.csv")
        os.symlink("loop.csv", loop)
        refused(p, loop, "is a link to a file that is not there")


def test_output_that_is_read():
    with Place() as p:
        layout = write(p.books, "my.yaml", good_layout())
        offers = write(p.books, "o.offers", "currency: EUR\noffers:\n- {name: a, layout: '8', price: 1, weight: 1 kg}\n")
        named = write(p.books, "n.offers", "currency: EUR\noffers:\n- {name: a, layout: ./my.yaml, price: 1, weight: 1 kg}\n")
        link = os.path.join(p.scratch.name, "link.yaml")
        os.symlink(p.book, link)
        packed = write(p.books, "p.zip", zipped({"a.yaml": LANTERN}))
        before = {name: read(p.books, name) for name in os.listdir(p.books)}
        lost = "is read as well, and would be lost; name another file to write to"
        for output, command in ((p.book, ["compare", p.book]), (p.book, ["compare", p.books]), (p.book, ["tune", link, "--on", "8"]),
                                (link, ["compare", p.book]), (layout, ["compare", p.book, "--on", layout]),
                                (layout, ["tune", p.book, "--on", layout]), (layout, ["layouts", layout]),
                                (layout, ["layouts", "--check", layout]), (offers, ["shop", offers, p.book]),
                                (p.book, ["shop", offers, p.book]), (layout, ["shop", named, p.book]), (packed, ["compare", packed])):
            bad(2, *command, "-o", output)  # for its ending
            alias = os.path.join(p.out, "alias.txt")
            os.symlink(output, alias)
            refused(p, alias, lost, *command)
            os.remove(alias)
        os.link(p.book, os.path.join(p.out, "same.txt"))
        with open(p.book, "rb") as stdin:
            done = subprocess.run([ROWCALL, "compare", "-", "-o", os.path.join(p.out, "same.txt")], stdin=stdin, capture_output=True,
                                  check=False)
        assert done.returncode == 2 and lost.encode() in done.stderr
        assert before == {name: read(p.books, name) for name in os.listdir(p.books)}


def good_layout():
    return read(CORPUS, "..", "layouts", "48-8x6.yaml").decode()


def as_nobody(*arguments):
    """A run without the rights of root, or None where that is not possible."""
    def become():
        if os.getuid() == 0:
            os.setgroups([])
            os.setgid(NOBODY)
            os.setuid(NOBODY)
    try:
        return run(*arguments, preexec_fn=become)
    except PermissionError:
        return None


def test_rights():
    with Place() as p:
        for path in (p.scratch.name, p.books, p.out):
            os.chmod(path, 0o755)
        os.chmod(p.book, 0o644)
        if as_nobody("compare", p.book) is None:
            print("note: rights are not tested; the program lies where only root can go")
            return
        path = write(p.out, "a.csv", "old")
        os.chmod(path, 0o444)
        os.chmod(p.out, 0o555)
        secret, folder = write(p.books, "secret.yaml", LANTERN), os.path.join(p.books, "shut")
        os.chmod(secret, 0)
        os.mkdir(folder, 0)
        for output in (path, os.path.join(p.out, "new.csv")):
            status, _, err = as_nobody("compare", p.book, "-o", output)
            assert status == 2 and err == f"rowcall: {output}: cannot be written: Permission denied; nothing was written\n", err
        if os.getuid() == 0:
            os.chown(p.out, NOBODY, NOBODY)
        os.chmod(p.out, 0o755)  # the folder would allow it, but the file is marked as one to keep
        assert as_nobody("compare", p.book, "-o", path)[0] == 2
        p.holds("a.csv", b"old")
        status, out, err = as_nobody("compare", p.books, "--format", "json")
        assert status == 1 and json.loads(out)["tunes"] == 1 and json.loads(out)["problems"] == 2, err
        assert f"{secret}: cannot be opened: Permission denied" in err and f"{folder}: the folder cannot be read" in err


# ------------------------------------------------------------------------------------------------------------ reading

def zipped(members):
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_STORED) as archive:
        for name, text in members.items():
            archive.writestr(name, text)
    return packed.getvalue()


def tarred(members):
    packed = io.BytesIO()
    with tarfile.open(fileobj=packed, mode="w") as archive:
        for name, text in members.items():
            info = tarfile.TarInfo(name)
            info.size = len(text)
            archive.addfile(info, io.BytesIO(text.encode()))
    return packed.getvalue()


# Tunes of four chords each, enough of them that a file is read in several pieces.
MANY = 3000
YAML_BOOK = "---\n".join(f"title: Withy {i}\nkey: D\nparts:\n  A: \"| D | G | A7 | Bm |\"\n" for i in range(MANY))
ABC_BOOK = "\n".join(f'X:{i}\nT:Withy {i}\nM:4/4\nL:1/4\nQ:1/4=100\nK:D\n"D"d4|"G"d4|"A7"d4|"Bm"d4|]\n' for i in range(1, MANY + 1))
CHORDPRO_BOOK = "{new_song}\n".join(f"{{title: Withy {i}}}\n{{time: 4/4}}\n{{start_of_grid}}\n| D . . . | G . . . | A7 . . . | Bm . . . |\n"
                                    "{end_of_grid}\n" for i in range(MANY))
SCORE = '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Box</part-name></score-part></part-list>' \
        '<part id="P1">' + "".join(
            f'<measure number="{i}"><attributes><divisions>1</divisions></attributes><harmony><root><root-step>{"DG"[i % 2]}</root-step>'
            '</root><kind>major</kind></harmony><note><rest/><duration>4</duration></note></measure>\n' for i in range(1, 1001)) + \
        "</part></score-partwise>\n"


def packed_score():
    return zipped({"META-INF/container.xml": '<container><rootfiles><rootfile full-path="s.musicxml"/></rootfiles></container>',
                   "s.musicxml": SCORE})


BOOKS = {"book.yaml": YAML_BOOK, "book.abc": ABC_BOOK, "book.cho": CHORDPRO_BOOK, "book.musicxml": SCORE, "book.mxl": packed_score(),
         "book.zip": zipped({"a.yaml": YAML_BOOK}), "book.tar": tarred({"a.yaml": YAML_BOOK}),
         "book.yaml.gz": gzip.compress(os.urandom(0) + YAML_BOOK.encode(), 0)}


def test_each_reading_call_fails():
    for name, content in BOOKS.items():
        with Place() as p:
            path = write(p.books, name, content)
            calls = 0
            for status, out, err in every(p.scratch.name, "read", name, "compare", path, p.book, "--on", "8", "--format", "json",
                                          FAULT_ERRNO="5"):
                calls += 1
                if status == 0:  # the packed text was there already, or a zip was read the second time
                    assert name.endswith((".gz", ".zip")) and json.loads(out)["tunes"] == 1 + MANY, (name, out)
                    continue
                assert status == 1 and err.startswith(f"rowcall: {path}"), (name, calls, err)
                assert any(said in err for said in ("cannot be read: I", "reading failed: ", "cannot be unpacked: ",
                                                    "is damaged and left out whole: ")), err
                answer = json.loads(out)
                assert answer["problems"] >= 1 and 1 <= answer["tunes"] <= 1 + MANY, (name, answer)
            assert calls >= 2, (name, calls)


def test_a_tune_that_is_cut_does_not_count():
    # Each tune has 4 different chords, of 4 quarter notes; a tune cut in two would be seen in their number.
    with Place() as p:
        for name in ("book.yaml", "book.abc", "book.cho"):
            path = write(p.books, name, BOOKS[name])
            for status, out, err in every(p.scratch.name, "read", name, "compare", path, "--on", "8", "--format", "json",
                                          FAULT_ERRNO="5"):
                if status == 2:
                    assert "nothing was read" in err
                    continue
                answer = json.loads(out)
                chords = answer["layouts"][0]["chords"]["total"]
                assert status == 1 and chords == 4 * answer["tunes"] <= 4 * MANY, (name, answer)


def test_opening_fails():
    with Place() as p:
        for name, content in BOOKS.items():
            path = write(p.books, name, content)
            for status, _, err in every(p.scratch.name, "open", name, "compare", path, "--on", "8", FAULT_ERRNO="5"):
                if status == 0:  # a zip was opened the second time
                    assert name.endswith(".zip"), name
                    continue
                assert status == 2 and err.startswith(f"rowcall: {path}: cannot be ") and "nothing was read" in err, err


def test_standard_input_fails():
    with Place() as p:
        for status, out, err in every(p.scratch.name, "read", "stdin", "compare", "-", p.book, "--on", "8", "--format", "json",
                                      stdin=YAML_BOOK, FAULT_ERRNO="5"):
            assert status == 1 and "-:" in err and "Input/output error" in err, err
            assert json.loads(out)["tunes"] < MANY + 1


def test_layouts_and_offers_that_cannot_be_read():
    with Place() as p:
        layout = write(p.books, "my.layout.yaml", good_layout())
        offers = write(p.books, "o.offers", read(CORPUS, "window.offers"))
        for call in ("open", "read"):
            for path, command in ((layout, ["chord", "C", "--on", layout]), (layout, ["layouts", "--check", layout]),
                                  (offers, ["shop", offers, p.book])):
                for status, out, err in every(p.scratch.name, call, os.path.basename(path), *command, FAULT_ERRNO="5"):
                    assert status == 2 and out == "" and err == f"rowcall: {path}: cannot be read: Input/output error\n", err
        refused(p, os.path.join(p.out, "a.csv"), "cannot be read: Is a directory", "chord", "C", "--on", p.books + "/")


def test_files_that_change_while_they_are_read():
    tune = YAML_BOOK.split("---\n")[0]
    changes = {"grows": f"printf -- '---\\n{tune.replace(chr(10), chr(92) + 'n')}' >> $F", "vanishes": "rm $F",
               "shrinks": "truncate -s 70000 $F", "is emptied": "truncate -s 0 $F", "is replaced": "cp $B $F.new; mv $F.new $F"}
    for name in ("book.yaml", "book.musicxml", "book.mxl", "book.zip"):
        for what, command in changes.items():
            for call in ("open", "read"):
                for nth in (1, 2):
                    with Place() as p:
                        path = write(p.books, name, BOOKS[name])
                        result = faulty(p.scratch.name, call, name, nth, "compare", path, p.book, "--on", "8", "--format", "json",
                                        FAULT_DO=f"F='{path}' B='{p.book}'; {command}")
                        if result is None:
                            break
                        status, out, err = result
                        answer = json.loads(out)
                        assert status in (0, 1) and 1 <= answer["tunes"] <= MANY + 2, (name, what, call, nth, result)
                        assert (status == 0) == (err == ""), (name, what, err)
                        if call == "open" and nth == 1 and what == "vanishes":
                            assert f"{path}: cannot be opened: No such file or directory" in err and answer["tunes"] == 1


def test_pipes_are_read_whole():
    with Place() as p:
        pipe = os.path.join(p.scratch.name, "pipe")
        os.mkfifo(pipe)
        whole = good("compare", p.book, "--format", "json")
        for path, how in (("/dev/stdin", '"$1" compare --format json /dev/stdin < "$2"'),
                          ("/dev/stdin", 'cat "$2" | "$1" compare --format json /dev/stdin'),
                          (pipe, 'cat "$2" > "$3" & "$1" compare --format json "$3"')):
            status, out, err = shell(how, p.book, pipe)
            assert status == 0 and out == whole and err == "", (path, how, err)
        packed = write(p.books, "p.zip", zipped({"a.yaml": LANTERN}))
        for how in ('"$1" compare - < "$2"', 'cat "$2" | "$1" compare /dev/stdin'):
            status, _, err = shell(how, packed)
            assert status == 2 and "is an archive or compressed, which is read from files only; save it and name the file" in err, err


def test_what_lies_in_a_folder():
    with Place() as p:
        os.symlink("..", os.path.join(p.books, "round"))
        os.symlink(".", os.path.join(p.books, "self"))
        os.symlink("nowhere.yaml", os.path.join(p.books, "gone.yaml"))
        os.mkfifo(os.path.join(p.books, "pipe.yaml"))  # nobody ever writes to it
        os.symlink("/dev/zero", os.path.join(p.books, "zero.abc"))
        status, out, err = run("compare", p.books, "--format", "json")
        assert status == 1 and json.loads(out)["tunes"] == 1 and json.loads(out)["files"] == 1, out
        assert err == f"rowcall: {p.books}/gone.yaml: cannot be opened: No such file or directory; check the name and its rights\n", err


sys.exit(main(globals()))
