// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Writes abcjs-chords.tsv, the chord symbols that the npm package abcjs finds in the example files of Debian's packages
// abcmidi and abcm2ps, for test_abc_examples.c. Only numbers and digests are written, nothing of the files themselves.
//
// Usage, in an empty scratch folder outside the source tree, both packages being installed:
//
//   npm install --no-save --no-package-lock abcjs@6.7.2
//   node TREE/tests/reference/abcjs-chords.mjs > TREE/tests/reference/abcjs-chords.tsv
//
// where TREE is the source tree. abcjs is looked for in the current folder; other versions are refused.

import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const PARSER = { name: "abcjs", version: "6.7.2" };
const PACKAGES = ["abcmidi", "abcm2ps"];

// As Debian 12 has them; the test compares the digest of each file before it compares anything else.
const VERSIONS = "abcmidi 20230208+ds1-1 and abcm2ps 8.14.14-1";

function fail(message) {
  process.stderr.write(`${message}\n`);
  process.exit(1);
}

function requireVersion({ name, version }) {
  const found = JSON.parse(readFileSync(join("node_modules", name, "package.json"), "utf8")).version;
  if (found !== version) fail(`${name} is ${found}, the table is made with ${version}`);
}

function digest(bytes) {
  return createHash("sha256").update(bytes).digest("hex");
}

function exampleFiles(name) {
  const folder = `/usr/share/doc/${name}/examples`;
  const names = readdirSync(folder).filter((entry) => entry.endsWith(".abc")).sort();
  return names.map((entry) => ({ label: `${name}/${entry}`, bytes: readFileSync(join(folder, entry)) }));
}

// Texts in one place are joined by line breaks there. Annotations have another position, or none.
function chordTexts(element) {
  const chords = (element.chord ?? []).filter((chord) => chord.position === "default");
  return chords.flatMap((chord) => chord.name.split("\n")).map((text) => text.trim()).filter((text) => text !== "");
}

// The chord texts of a tune, voice by voice, in written order.
function textsOf(tune) {
  const voices = new Map();
  for (const line of tune.lines) {
    for (const [staffIndex, staff] of (line.staff ?? []).entries()) {
      for (const [voiceIndex, elements] of staff.voices.entries()) {
        const key = `${staffIndex} ${voiceIndex}`;
        voices.set(key, [...(voices.get(key) ?? []), ...elements.flatMap(chordTexts)]);
      }
    }
  }
  return [...voices.values()].flat();
}

// `%%freegchord` keeps abcjs from writing signs for b and #.
function parse(library, text) {
  const [tune] = library.parseOnly(text.replace("\n", "\n%%freegchord 1\n"));
  return tune;
}

function tuneRows(library, { label, bytes }) {
  const book = new library.TuneBook(bytes.toString("utf8"));
  const tunes = book.tunes.filter((tune) => /^X:/.test(tune.pure));
  return tunes.map((tune, index) => {
    const texts = textsOf(parse(library, tune.pure));
    const number = /^X: *(\d*)/.exec(tune.pure)[1];
    return ["tune", label, index + 1, number, texts.length, digest(texts.join("\n"))];
  });
}

function header() {
  return [
    "# Copyright 2026 the rowcall developers",
    "# SPDX-License-Identifier: MIT",
    `# Chord symbols that the npm package ${PARSER.name} ${PARSER.version} finds in the examples of Debian's`,
    `# ${VERSIONS}. Made by abcjs-chords.mjs; do not edit.`,
    "# Columns of file: package and file, SHA-256 of its bytes, of tune: package and file, which tune of the file, its",
    "# number X, number of chord symbols, SHA-256 of their texts joined by line breaks.",
  ];
}

requireVersion(PARSER);
const library = createRequire(join(process.cwd(), "scratch.cjs"))(PARSER.name);
const files = PACKAGES.flatMap(exampleFiles);
const fileRows = files.map(({ label, bytes }) => ["file", label, digest(bytes)]);
const rows = [...fileRows, ...files.flatMap((file) => tuneRows(library, file))];
process.stdout.write([...header(), ...rows.map((row) => row.join("\t"))].join("\n") + "\n");
