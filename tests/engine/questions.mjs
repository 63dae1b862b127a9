// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the engine and the native program are both asked: every command, in every format of text, about the demo books, the
// examples of Debian's abcmidi and abcm2ps, and files packed and encoded in each way.

import { execFileSync } from "node:child_process";
import { readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const BOARDS = ["8", "12", "24", "32", "40", "48-8x6", "48-12x4", "60", "72", "80", "96", "120"];
const SYMBOLS = ["Bm7b5", "F#m", "Cmaj9", "G7sus4", "Ab", "D/F#", "Edim7", "Caug", "H7", "no chord"];
const ON = ["--on", "48-8x6"];

/** The files of a folder, by their names in the folder @p name. */
function filesOf(folder, name, accept) {
  return Object.fromEntries(readdirSync(folder)
    .filter((file) => accept.test(file) && statSync(join(folder, file)).isFile())
    .map((file) => [`${name}/${file}`, new Uint8Array(readFileSync(join(folder, file)))]));
}

/** A set of files, with what is asked about it. */
function about(files, ...books) {
  const formats = [[], ["--format", "csv"], ["--format", "json"]];
  const asked = [["compare"], ["list", ...ON], ["tune", ...ON], ["keys", ...ON], ["sizes"], ["heat", ...ON], ["learn", ...ON],
    ["tune", "--on", "72", "--prefer", "ease", "--turns-apart", "2"], ["compare", "--by", "chords", "--without", "minor:B", ...ON]];
  return [
    ...asked.flatMap((words) => formats.map((format) => [...words, ...format, ...books])),
    ["compare", "--all-problems", ...books],
    ["tune", "--names", "german", "--tempo", "1/4=90", "--on", "120", ...books],
  ].map((args) => ({ args, files }));
}

function withoutFiles() {
  return [
    [], ["--help"], ["--version"], ["nonsense"], ["compare"], ["compare", "missing.abc"], ["compare", "--bad"], ["layouts"],
    ...["list", "tune", "chord", "keys", "listen", "settings"].map((name) => [name, "--help"]), // others' tell of pictures
    ...BOARDS.flatMap((board) => [["layouts", board], ["layouts", board, "--format", "json"],
      ["chord", "--on", board, ...SYMBOLS], ["chord", "--on", board, "--format", "json", "--key", "D", ...SYMBOLS]]),
    ["listen", "Bm", ...ON, "-o", "bm.mid"], ["listen", "D Bm G A7", ...ON, "-o", "row.wav"],
    ["listen", "Bm", "--wanted", "-o", "bm.wav"], ["listen", "Bm", ...ON, "-o", "bm.mp3"],
  ].map((args) => ({ args, files: {} }));
}

/** @param {string} corpus the folder of the demo books */
export function questions(corpus) {
  const examples = (name) => filesOf(`/usr/share/doc/${name}/examples`, name, /\.abc$/);
  const books = filesOf(corpus, "corpus", /\.(yaml|offers)$/);
  const made = JSON.parse(execFileSync("python3", [fileURLToPath(new URL("made.py", import.meta.url)), corpus],
    { encoding: "utf8", maxBuffer: 1 << 28 }));
  const files = Object.fromEntries(Object.entries(made).map(([name, text]) => [name, new Uint8Array(Buffer.from(text, "base64"))]));
  return [
    ...withoutFiles(),
    ...about(books, "corpus"),
    { args: ["shop", "corpus/window.offers", "corpus"], files: books },
    { args: ["shop", "corpus/window.offers", "--format", "json", "corpus"], files: books },
    { args: ["listen", "corpus", "--title", "Withy", ...ON, "-o", "tune.wav"], files: books },
    { args: ["listen", "corpus", "--title", "Withy", ...ON, "-o", "tune.mid"], files: books },
    { args: ["compare", "-"], files: {}, stdin: books["corpus/waltzes.yaml"] },
    ...about(examples("abcmidi"), "abcmidi"),
    ...about(examples("abcm2ps"), "abcm2ps"),
    ...Object.keys(files).flatMap((name) => [["compare", "--all-problems", name], ["list", "--format", "json", ...ON, name],
      ["tune", "--format", "json", ...ON, name]].map((args) => ({ args, files: { [name]: files[name] } }))),
  ];
}
