// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A tune's chart: bars in their parts, or lines of words with the chords over them.

import { button, el } from './dom.js';
import { signs, words } from './words.js';

/** @typedef {import('./tune.js').Tune} Tune */
/** @typedef {import('./tune.js').Way} Way */
/** @typedef {import('./tune.js').Written} Written */
/** @typedef {(bar: number, chord: number) => void} Tap */

const CROWDED = 9; // letters in a bar, with room for marks: on paper the eighth of a line no longer holds them
const CIRCLES = '①②③④⑤⑥⑦⑧⑨⑩⑪⑫⑬⑭⑮⑯⑰⑱⑲⑳';

/**
 * The mark of each way: a number for a stand-in, a cross where there is no grip, a question mark for what is no chord.
 * @param {Way[]} ways
 */
export function marksOf(ways) {
  let n = 0;
  return ways.map((way) => {
    switch (way.verdict) {
      case 'native':
        return '';
      case 'substitutable':
        n += 1;
        return CIRCLES[n - 1] ?? `(${n})`;
      case 'impossible':
        return '×';
      default:
        return '?';
    }
  });
}

/**
 * @param {Tune} tune
 * @param {string[]} marks
 * @param {number} bar
 * @param {number} chord
 * @param {Tap} tap
 */
function chordButton(tune, marks, bar, chord, tap) {
  const { chord: text, way, quarters } = tune.written[bar][chord];
  const mark = way === null ? '' : marks[way];
  const verdict = way === null ? 'silent' : tune.ways[way].grade ?? tune.ways[way].verdict;
  return button({ class: `chord grade-${verdict}`, 'data-at': `${bar}.${chord}`, vars: { quarters: quarters || 1 } },
    () => tap(bar, chord), el('span', {}, signs(text)), mark && el('sup', { 'aria-hidden': 'true' }, mark),
    el('span', { class: 'unseen' }, words.tune.chordAt(bar + 1, words.grades[verdict])));
}

/**
 * @param {Tune} tune
 * @param {string[]} marks
 * @param {number} from
 * @param {number} to
 * @param {Tap} tap
 */
function barGrid(tune, marks, from, to, tap) {
  const bars = tune.written.slice(from, to).map((bar, i) => el('div', { class: 'one-bar' },
    ...bar.map((_, j) => chordButton(tune, marks, from + i, j, tap))));
  return el('div', { class: 'bars' }, ...bars);
}

/** @param {Tune} tune @param {number} bar */
function labelAt(tune, bar) {
  return tune.parts.find((part) => part.first === bar + 1)?.label ?? '';
}

/** @param {string | null} label */
function partHeading(label) {
  return label ? el('h2', { class: 'part-label' }, label) : null;
}

/**
 * A line of words, with chords over them.
 * @param {Tune} tune
 * @param {string[]} marks
 * @param {import('./tune.js').Line} line
 * @param {Tap} tap
 */
function songLine(tune, marks, line, tap) {
  const pieces = line.words.map((piece) => el('span', { class: 'stretch' },
    piece.chord === null ? el('span', { class: 'no-chord' }) : chordButton(tune, marks, line.bar - 1, piece.chord, tap),
    el('span', { class: 'sung' }, piece.text || ' ')));
  return el('div', { class: 'song-line' }, ...pieces);
}

/** @param {Tune} tune @param {string[]} marks @param {Tap} tap */
function songParts(tune, marks, tap) {
  /** @type {(HTMLElement | null)[]} */
  const parts = [];
  let bar = 0;
  for (const line of tune.lines) {
    if (line.bar - 1 > bar) {
      parts.push(partHeading(labelAt(tune, bar)), barGrid(tune, marks, bar, line.bar - 1, tap));
    }
    parts.push(partHeading(line.label), songLine(tune, marks, line, tap));
    bar = line.bar - 1 + (line.sung ? 1 : 0);
  }
  if (bar < tune.written.length) {
    parts.push(partHeading(labelAt(tune, bar)), barGrid(tune, marks, bar, tune.written.length, tap));
  }
  return parts;
}

/**
 * Fills `chart`; `tap` is told which chord of which bar was tapped.
 * @param {HTMLElement} chart
 * @param {Tune} tune
 * @param {Tap} tap
 */
export function drawChart(chart, tune, tap) {
  const marks = marksOf(tune.ways);
  const parts = tune.lines.length ? songParts(tune, marks, tap) : tune.parts.flatMap((part) =>
    [partHeading(part.label), barGrid(tune, marks, part.first - 1, part.first - 1 + part.bars, tap)]);
  const letters = Math.max(0, ...tune.written.map((bar) => bar.reduce((sum, one) => sum + one.chord.length + 2, 0)));
  chart.classList.toggle('crowded', letters > CROWDED);
  chart.replaceChildren(...parts.filter((part) => part !== null));
}
