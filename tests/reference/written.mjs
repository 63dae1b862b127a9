// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Makes written/*.musicxml for written.py: invented tunes that a general music library writes as MusicXML, in its own
// ways (bar lines at the end of their measure, endings without an end, 960 divisions). In a folder of its own:
//
//     npm install musicxml-io@0.9.6
//     node written.mjs FOLDER-OF-THIS-FILE
//
// Half of them are tunes in ABC made by chance from a fixed seed; the others are measures with what ABC does not have.

import fs from 'fs';
import path from 'path';
import { createRequire } from 'module';

const require = createRequire(path.join(process.cwd(), 'x.js'));
const { parse, parseAbc, serialize } = require('musicxml-io');
const folder = path.join(process.argv[2], 'written');

let state = 20261125;
const random = (n) => { state = (state * 1103515245 + 12345) % 2147483648; return Math.floor(state / 65536) % n; };
const pick = (items) => items[random(items.length)];

// ---------------------------------------------------------------------------------------------------------- tunes

const roots = ['C', 'D', 'E', 'F', 'G', 'A', 'B', 'Bb', 'Eb', 'F#'];
const kinds = ['', '', '', 'm', 'm', '7', '7', 'm7', 'maj7', 'dim', 'aug', 'sus4', '6', '9', 'm6', 'dim7'];
const keys = ['C', 'G', 'D', 'A', 'F', 'Bb', 'Am', 'Em', 'Dm', 'Gm'];
const notes = ['C', 'D', 'E', 'F', 'G', 'A', 'B', 'c', 'd', 'e'];
const meters = { '3/4': [6, [[6], [2, 4], [4, 2], [2, 2, 2]]], '4/4': [8, [[8], [4, 4], [2, 6], [6, 2]]], '6/8': [6, [[6], [3, 3]]] };

const chord = () => `"${pick(roots)}${pick(kinds)}${random(6) ? '' : '/' + pick(['C', 'E', 'G', 'A'])}"`;
const note = (n) => pick(notes) + (n === 1 ? '' : n);
const bar = (meter) => pick(meters[meter][1]).map((n) => (random(5) ? chord() : '') + (n === 4 && !random(3) ? `(3${note(2)}${note(2)}${note(2)}` : note(n))).join('');
const stretch = (meter, n) => Array.from({ length: n }, () => bar(meter)).join('|');

function section(meter) {
  switch (random(4)) {
    case 0: return `|:${stretch(meter, 2)}|[1 ${stretch(meter, 1 + random(2))}:|[2 ${stretch(meter, 1)}||`;
    case 1: return `|:${stretch(meter, 3)}:|`;
    case 2: return `|:${stretch(meter, 2)}|[1,2 ${stretch(meter, 1)}:|[3 ${stretch(meter, 2)}||`;
    default: return `${stretch(meter, 2)}||`;
  }
}

function tune(number) {
  const meter = pick(Object.keys(meters));
  const pickup = random(2) ? `${note(2)}|` : '';
  const jump = ['', '', `!fine!|${stretch(meter, 2)}!D.C.!|`][random(3)];
  return `X:${number}\nT:Written ${number}\nM:${meter}\nL:1/8\nK:${pick(keys)}\n${pickup}${section(meter)}\n${section(meter)}\n` +
    `${stretch(meter, 2)}${jump || '|]'}\n`;
}

// --------------------------------------------------------------------------------------------------------- measures

const harmony = (step, kind = 'major', more = '', offset = '') => `<harmony><root><root-step>${step}</root-step></root>` +
  `<kind>${kind}</kind>${more}${offset === '' ? '' : `<offset>${offset}</offset>`}</harmony>`;
const degree = (value, alter, type) => `<degree><degree-value>${value}</degree-value><degree-alter>${alter}</degree-alter>` +
  `<degree-type>${type}</degree-type></degree>`;
const sound = (n) => `<note><pitch><step>G</step><octave>4</octave></pitch><duration>${n}</duration><voice>1</voice></note>`;
const words = (text) => `<direction><direction-type><words>${text}</words></direction-type></direction>`;
const sign = (name) => `<direction><direction-type><${name}/></direction-type></direction>`;
const left = (inner) => `<barline location="left">${inner}</barline>`;
const right = (inner) => `<barline location="right">${inner}</barline>`;
const starts = (n) => left(`<ending number="${n}" type="start"/>`);
const stops = (n) => `<ending number="${n}" type="stop"/>`;
const closes = '<repeat direction="backward"/>';
const whole = (step, before = '', after = '') => before + harmony(step) + sound(8) + after;

const scores = {
  'offsets': [harmony('D') + harmony('G', 'major', '', 4) + harmony('A', 'dominant', '', 6) + sound(8), whole('D')],
  'one-place': [harmony('D') + harmony('G') + sound(4) + harmony('A', 'minor') + sound(4),
    harmony('D') + harmony('E', 'minor') + harmony('A', 'dominant') + harmony('D') + sound(8)],
  'degrees': [harmony('C', 'dominant', degree(9, -1, 'add')) + sound(4) + harmony('C', 'major', degree(9, 0, 'add')) + sound(4),
    harmony('G', 'dominant', degree(5, 1, 'alter')) + sound(4) + harmony('D', 'minor', degree(5, 0, 'subtract')) + sound(4)],
  'basses': [harmony('C', 'major', '<bass><bass-step>E</bass-step></bass>') + sound(4) +
    harmony('D', 'minor', '<bass><bass-step>B</bass-step><bass-alter>-1</bass-alter></bass>') + sound(4),
    harmony('F', 'major', '<inversion>2</inversion>') + sound(8)],
  'voices': [harmony('D') + sound(8) + '<backup><duration>8</duration></backup><forward><duration>4</duration></forward>' +
    harmony('A') + sound(4), whole('G')],
  'early-stop': [whole('D'), whole('G', starts(1), right(stops(1))), whole('E', '', right(closes)),
    whole('A', starts(2), right(stops(2))), whole('B')],
  'one-and-three': [whole('D'), whole('G', starts(1), right(stops(1) + closes)), whole('A', starts(3), right(stops(3))), whole('E')],
  'two-and-two': [whole('D'), whole('G', starts(2), right(stops(2) + closes)), whole('A', starts(2), right(stops(2))), whole('E')],
  'coda-twice': [whole('D'), whole('G'), whole('A', sign('coda')), whole('E', '', words('D.C. al Coda')), whole('B', sign('coda'))],
  'segno-coda': [whole('D'), whole('G', sign('segno')), whole('A', '', words('To Coda')), whole('E', '', words('D.S. al Coda')),
    whole('B', sign('coda')), whole('C')],
  'fine-in-brackets': [whole('D'), whole('G', '', words('(fine)')), whole('A', '', words('D.C.alfine'))],
  'two-jumps': [whole('D'), whole('G', sign('segno'), words('Fine')), whole('A', '', words('To Coda')), whole('E', '', words('D.S. al Coda')),
    whole('B', sign('coda')), whole('C', '', words('D.C. al Fine'))],
  'after-repeat': [whole('D'), whole('G', '', right(closes)), whole('A', '', words('Fine')), whole('E'), whole('B', '', words('D.C. al Fine'))],
  'thrice': [whole('D', left('<repeat direction="forward"/>')), whole('G', '', right('<repeat direction="backward" times="3"/>')), whole('A')],
};
const transposed = { 'in-b-flat': [-1, -2], 'in-e-flat': [-5, -9], 'in-f': [-4, -7] };

function score(name, measures, transpose = '') {
  const first = `<attributes><divisions>2</divisions><key><fifths>1</fifths><mode>major</mode></key><time><beats>4</beats>` +
    `<beat-type>4</beat-type></time>${transpose}</attributes>`;
  return `<?xml version="1.0" encoding="UTF-8"?><score-partwise version="4.0"><work><work-title>${name}</work-title></work>` +
    '<part-list><score-part id="P1"><part-name>Box</part-name></score-part></part-list><part id="P1">' +
    measures.map((inner, i) => `<measure number="${i + 1}">${i ? '' : first}${inner}</measure>`).join('') + '</part></score-partwise>';
}

// ------------------------------------------------------------------------------------------------------------ files

function write(name, read) {
  const xml = serialize(read).replace(/ id="i[\w-]{10}"/g, '').replace(/ *<miscellaneous>[^]*?<\/miscellaneous>\n/, '')
    .replace(/<movement-title>[^<]*/, `<movement-title>${name}`);
  fs.writeFileSync(path.join(folder, `${name}.musicxml`), xml);
}

fs.rmSync(folder, { recursive: true, force: true });
fs.mkdirSync(folder, { recursive: true });
for (let n = 1; n <= 24; n++) write(`tune-${String(n).padStart(2, '0')}`, parseAbc(tune(n)));
for (const [name, measures] of Object.entries(scores)) write(name, parse(score(name, measures)));
for (const [name, [diatonic, chromatic]] of Object.entries(transposed)) {
  const transpose = `<transpose><diatonic>${diatonic}</diatonic><chromatic>${chromatic}</chromatic></transpose>`;
  write(name, parse(score(name, [whole('D'), whole('A'), whole('E')], transpose)));
}
