// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Makes songs.tsv for test_songs.c: the chords of songs/*.cho, songs of our own, as an npm package reads them. In a
// folder of its own:
//
//     npm install chordsheetjs@15.5.2
//     node songs.mjs FOLDER-OF-THIS-FILE > FOLDER-OF-THIS-FILE/songs.tsv

import fs from 'fs';
import path from 'path';
import { createRequire } from 'module';

const require = createRequire(path.join(process.cwd(), 'x.js'));
const { ChordProParser } = require('chordsheetjs');
const version = JSON.parse(fs.readFileSync('node_modules/chordsheetjs/package.json', 'utf8')).version;
const here = process.argv[2];

console.log('# Copyright 2026 the rowcall developers');
console.log('# SPDX-License-Identifier: MIT');
console.log('# The chords of songs/*.cho as written, one after another: made by songs.mjs with chordsheetjs');
console.log(`# ${version}. Song, title, key as written, chords.`);
for (const file of fs.readdirSync(path.join(here, 'songs')).sort()) {
  const song = new ChordProParser().parse(fs.readFileSync(path.join(here, 'songs', file), 'utf8'));
  const chords = song.lines.flatMap((line) => line.items.map((item) => item.chords).filter((text) => text));
  console.log(['song', file, song.title, song.key, chords.join(' ')].join('\t'));
}
