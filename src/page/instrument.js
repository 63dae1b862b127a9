// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// An instrument of one's own: columns and rows, what is dead or retuned, as a layout file.

import { button, el } from './dom.js';
import { showInHand, state, takeBoard } from './state.js';
import { signs, words } from './words.js';

/** @typedef {import('./state.js').Layout} Layout */
/** @typedef {{columns: string[], rows: string[], spacing: {column: number, row: number, slant: number},
 *            retuned: Record<string, string>}} Instrument */

const ROWS = ['counterbass', 'fundamental', 'major', 'minor', 'seventh', 'diminished', 'augmented', 'minor-third'];
const FIFTHS = ['Gb', 'Db', 'Ab', 'Eb', 'Bb', 'F', 'C', 'G', 'D', 'A', 'E', 'B', 'F#', 'C#', 'G#', 'D#', 'A#'];

/** The instrument in hand, to be changed. @param {Layout} layout @returns {Instrument} */
export function instrumentOf(layout) {
  if (state.instrument) {
    return structuredClone(state.instrument);
  }
  return { columns: layout.columns, rows: layout.rows,
    spacing: { column: layout.column_mm, row: layout.row_mm, slant: layout.slant_mm }, retuned: {} };
}

/**
 * A layout file, as rowcall-layout(5) describes it.
 * @param {Instrument} instrument
 * @param {string[]} dead
 */
export function layoutText(instrument, dead) {
  const { columns, rows, spacing, retuned } = instrument;
  const quoted = (/** @type {string} */ text) => JSON.stringify(text);
  const lines = ['name: own', `title: ${quoted(words.keyboard.title(columns.length, rows.length))}`,
    `columns: [${columns.map(quoted).join(', ')}]`, `rows: [${rows.join(', ')}]`,
    `spacing: {column: ${spacing.column}, row: ${spacing.row}, slant: ${spacing.slant}}`];
  const places = Object.entries(retuned);
  if (places.length) {
    lines.push(`retuned: {${places.map(([place, sound]) => `${quoted(place)}: ${quoted(sound)}`).join(', ')}}`);
  }
  if (dead.length) {
    lines.push(`dead: [${dead.map((key) => quoted(key.replace(/:/g, ' '))).join(', ')}]`);
  }
  return `${lines.join('\n')}\n`;
}

/** @param {Instrument} instrument */
export function takeInstrument(instrument) {
  const there = (/** @type {string} */ key) => instrument.rows.includes(key.split(':')[0]) &&
    instrument.columns.includes(key.split(':')[1]);
  for (const place of Object.keys(instrument.retuned)) {
    if (!there(place.replace(' ', ':'))) {
      delete instrument.retuned[place];
    }
  }
  takeBoard(state.board, layoutText(instrument, []), state.dead.filter(there), instrument);
  showInHand();
}

/** Columns of the circle of fifths from one to another. @param {string} first @param {number} n */
export function columnsFrom(first, n) {
  const from = Math.max(0, FIFTHS.indexOf(first));
  return FIFTHS.slice(from, from + n);
}

/** @param {string} label @param {string} value @param {(note: string) => void} choose */
function noteChoice(label, value, choose) {
  return el('label', { class: 'choice' }, label, el('select', { on: { change: (/** @type {Event} */ event) =>
    choose(/** @type {HTMLSelectElement} */ (event.target).value) } },
  ...FIFTHS.map((note) => el('option', { value: note, selected: note === value }, signs(note)))));
}

/** Which columns and rows there are, to be changed. @param {Layout} layout */
export function describeInstrument(layout) {
  const instrument = instrumentOf(layout);
  const regular = instrument.columns.every((note) => FIFTHS.includes(note));
  const first = instrument.columns[0];
  const last = instrument.columns[instrument.columns.length - 1];
  const span = (/** @type {string} */ from, /** @type {string} */ to) => {
    const columns = FIFTHS.slice(FIFTHS.indexOf(from), FIFTHS.indexOf(to) + 1);
    if (columns.length) {
      takeInstrument({ ...instrument, columns });
    }
  };
  const rows = ROWS.map((row) => {
    const has = instrument.rows.includes(row);
    return button({ class: 'chip', 'aria-pressed': String(has) }, () => {
      const wanted = has ? instrument.rows.filter((other) => other !== row) : [...instrument.rows, row];
      if (wanted.length) {
        takeInstrument({ ...instrument, rows: inOrder(wanted) });
      }
    }, row);
  });
  return el('div', { class: 'instrument' },
    regular && el('div', { class: 'find' }, noteChoice(words.keyboard.first, first, (note) => span(note, last)),
      noteChoice(words.keyboard.last, last, (note) => span(first, note))),
    el('div', { class: 'chips', role: 'group', 'aria-label': words.keyboard.rowsThere }, ...rows));
}

/** Rows from the bellows outwards, as is usual. @param {string[]} rows */
function inOrder(rows) {
  const order = ['minor-third', ...ROWS.filter((row) => row !== 'minor-third')];
  return [...rows].sort((a, b) => order.indexOf(a) - order.indexOf(b));
}
