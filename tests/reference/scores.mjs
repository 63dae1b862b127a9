// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Makes scores.tsv and scores/*.musicxml for test_scores.c: invented scores, read and written again by a notation
// program, and the order in which it plays their bars. In a folder of its own:
//
//     npm install webmscore@1.2.1
//     node scores.mjs FOLDER-OF-THIS-FILE
//
// Each bar has one chord and its root as a note, others in each bar of a score, so that the MIDI file that the program
// writes tells in which order the bars are played, and how each sounds.

import fs from 'fs';
import path from 'path';
import { createRequire } from 'module';

delete globalThis.fetch; // the package reads its own files with it where there is one
const require = createRequire(path.join(process.cwd(), 'x.js'));
const webmscore = require('webmscore/webmscore.nodejs.cjs');
const here = process.argv[2];

const opens = '<barline location="left"><repeat direction="forward"/></barline>';
const closes = (times) => `<barline location="right"><repeat direction="backward"${times ? ` times="${times}"` : ''}/></barline>`;
const ending = (n, last) => `<barline location="left"><ending number="${n}" type="start"/></barline>@<barline location="right">` +
  `<ending number="${n}" type="${last ? 'discontinue' : 'stop'}"/>${last ? '' : '<repeat direction="backward"/>'}</barline>`;
const words = (text, sound) => `@<direction><direction-type><words>${text}</words></direction-type><sound ${sound}/></direction>`;
const segno = '<direction><direction-type><segno/></direction-type><sound segno="s"/></direction>';
const coda = '<direction><direction-type><coda/></direction-type><sound coda="c"/></direction>';
const fine = words('Fine', 'fine="yes"');
const dacapo = (text) => words(text, 'dacapo="yes"');
const dalsegno = (text) => words(text, 'dalsegno="s"');
const tocoda = words('To Coda', 'tocoda="c"');

// Name, bars with what comes before and after (@) their music, transposition of the part in semitones.
const scores = [
  ['straight', ['', '', '']],
  ['repeat', [opens, '@' + closes(), '']],
  ['repeat-from-start', ['', '@' + closes(), opens, '@' + closes()]],
  ['three-times', [opens, '@' + closes(3), '']],
  ['endings', [opens, '', ending(1), ending(2, true), '']],
  ['endings-twice', [opens, ending(1), ending(2, true), opens, ending(1), ending(2, true)]],
  ['da-capo', ['', '', dacapo('D.C.')]],
  ['da-capo-al-fine', ['', fine, '', dacapo('D.C. al Fine')]],
  ['dal-segno', ['', segno, '', dalsegno('D.S.')]],
  ['dal-segno-al-fine', ['', segno, fine, dalsegno('D.S. al Fine')]],
  ['dal-segno-al-coda', ['', segno, tocoda, '', dalsegno('D.S. al Coda'), coda, '']],
  ['da-capo-al-coda', ['', tocoda, dacapo('D.C. al Coda'), coda]],
  ['repeats-and-fine', [opens, '@' + closes(), opens, '@' + closes() + fine.slice(1), '', dacapo('D.C. al Fine')]],
  ['endings-and-fine', [opens, ending(1), ending(2, true) + fine.slice(1), '', dacapo('D.C. al Fine')]],
  ['b-flat', ['', '', ''], -2],
  ['e-flat', ['', '', ''], -9],
];

const steps = ['C', 'D', 'E', 'F', 'G', 'A', 'B'];
const kinds = ['major', 'minor', 'dominant', 'minor-seventh', 'major-seventh', 'diminished', 'augmented'];
const transpose = (n) => n ? `<transpose><diatonic>${n === -2 ? -1 : -5}</diatonic><chromatic>${n}</chromatic></transpose>` : '';

function score([name, bars, semitones]) {
  const first = `<attributes><divisions>1</divisions><key><fifths>0</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time>` +
    `<clef><sign>G</sign><line>2</line></clef>${transpose(semitones)}</attributes>`;
  const measures = bars.map((marks, i) => {
    const [before, after] = marks.includes('@') ? marks.split('@') : [marks, ''];
    return `<measure number="${i + 1}">${i ? '' : first}${before}` +
      `<harmony><root><root-step>${steps[i]}</root-step></root><kind>${kinds[i]}</kind></harmony>` +
      `<note><pitch><step>${steps[i]}</step><octave>4</octave></pitch><duration>4</duration><voice>1</voice><type>whole</type></note>` +
      `${after}</measure>`;
  });
  return `<?xml version="1.0" encoding="UTF-8"?><score-partwise version="4.0"><work><work-title>${name}</work-title></work>` +
    '<part-list><score-part id="P1"><part-name>Accordion</part-name></score-part></part-list>' +
    `<part id="P1">${measures.join('')}</part></score-partwise>`;
}

// What begins to sound at each time, in the order of the times: sets of pitch classes, such as 0+4+7.
function played(midi) {
  const sounding = new Map();
  let at = 14;
  while (at < midi.length) {
    const end = at + 8 + midi.readUInt32BE(at + 4);
    let status = 0;
    let time = 0;
    at += 8;
    const number = () => { let n = 0, byte; do { byte = midi[at++]; n = n * 128 + (byte & 127); } while (byte & 128); return n; };
    while (at < end) {
      time += number();
      if (midi[at] & 128) status = midi[at++];
      if (status === 0xFF) { at++; const n = number(); at += n; }
      else if (status >= 0xF0) { const n = number(); at += n; }
      else {
        if ((status & 0xF0) === 0x90 && midi[at + 1]) {
          if (!sounding.has(time)) sounding.set(time, new Set());
          sounding.get(time).add(midi[at] % 12);
        }
        at += (status & 0xF0) === 0xC0 || (status & 0xF0) === 0xD0 ? 1 : 2;
      }
    }
    at = end;
  }
  const times = [...sounding.keys()].sort((a, b) => a - b);
  return times.map((time) => [...sounding.get(time)].sort((a, b) => a - b).join('+'));
}

await webmscore.default.ready;
const rows = ['# Copyright 2026 the rowcall developers', '# SPDX-License-Identifier: MIT',
  '# In which order a notation program plays the bars of scores/*.musicxml, which it wrote: made by scores.mjs with',
  `# webmscore ${require('webmscore/package.json').version}. The pitch classes of each bar as it sounds: 0+4+7 is C E G.`];
fs.mkdirSync(path.join(here, 'scores'), { recursive: true });
for (const spec of scores) {
  const loaded = await webmscore.default.load('xml', Buffer.from(score(spec)));
  const xml = (await loaded.saveXml()).replace(/<encoding-date>[^<]*<\/encoding-date>/, '');
  fs.writeFileSync(path.join(here, 'scores', spec[0] + '.musicxml'), xml);
  rows.push(['score', spec[0], played(Buffer.from(await loaded.saveMidi(true, false))).join(' ')].join('\t'));
}
fs.writeFileSync(path.join(here, 'scores.tsv'), rows.join('\n') + '\n');
process.exit(0);
