// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// An instrument of one's own: columns and rows, what is dead or retuned, as a layout file.

import { button, el } from './dom.js';
import { showInHand, state, takeOwn } from './state.js';
import { signs, words } from './words.js';

/** @typedef {import('./state.js').Layout} Layout */
/** @typedef {import('./state.js').Sound} Sound */
/** What a layout file says; buttons are named as there, `minor Eb`, with `push` or `pull` where these differ.
 * @typedef {{columns: string[], rows: string[], spacing: {column: number, row: number, slant: number},
 *            reeds: {bass: string, chord: string}, mirrored: boolean, retuned: Record<string, string>,
 *            dead: string[]}} Instrument */

const ROWS = ['minor-third', 'counterbass', 'fundamental', 'major', 'minor', 'seventh', 'diminished', 'augmented'];
const FIFTHS = ['Bbb', 'Fb', 'Cb', 'Gb', 'Db', 'Ab', 'Eb', 'Bb', 'F', 'C', 'G', 'D', 'A', 'E', 'B', 'F#', 'C#', 'G#', 'D#',
  'A#', 'E#', 'B#'];

/** How a layout file names a button. @param {{row: string, column: string, bellows?: string}} place */
export function nameInFile({ row, column, bellows }) {
  return `${row} ${column}${bellows && bellows !== 'both' ? ` ${bellows}` : ''}`;
}

/** The instrument that a layout is. @param {Layout} layout @returns {Instrument} */
function instrumentFrom(layout) {
  const retuned = layout.sounds.filter((sound) => sound.retuned).map((sound) => [nameInFile(sound), sound.retuned]);
  const dead = layout.sounds.filter((sound) => !sound.tones.length && ROWS.includes(sound.row)).map(nameInFile);
  return { columns: layout.columns, rows: layout.rows, reeds: layout.reeds, mirrored: layout.mirrored ?? false,
    spacing: { column: layout.column_mm, row: layout.row_mm, slant: layout.slant_mm },
    retuned: Object.fromEntries(retuned), dead };
}

/** The instrument in hand, to be changed. @param {Layout} layout */
export function instrumentOf(layout) {
  return state.instrument ? structuredClone(state.instrument) : instrumentFrom(layout);
}

/**
 * A layout file, as rowcall-layout(5) describes it.
 * @param {Instrument} instrument
 * @param {string[]} dead further dead buttons, `row:column`
 */
export function layoutText(instrument, dead) {
  const { columns, rows, spacing, reeds, retuned } = instrument;
  const quoted = (/** @type {string} */ text) => JSON.stringify(text);
  const lines = [`name: ${words.keyboard.name}`, `title: ${quoted(words.keyboard.title(columns.length, rows.length))}`,
    `columns: [${columns.map(quoted).join(', ')}]`, `rows: [${rows.join(', ')}]`,
    `spacing: {column: ${spacing.column}, row: ${spacing.row}, slant: ${spacing.slant}}`,
    `reeds: {bass: ${quoted(reeds.bass)}, chord: ${quoted(reeds.chord)}}`];
  if (instrument.mirrored) {
    lines.push('mirrored: true');
  }
  const places = Object.entries(retuned);
  if (places.length) {
    lines.push(`retuned: {${places.map(([place, sound]) => `${quoted(place)}: ${quoted(sound)}`).join(', ')}}`);
  }
  const silent = [...new Set([...instrument.dead, ...dead.map((key) => key.replace(/:/g, ' '))])];
  if (silent.length) {
    lines.push(`dead: [${silent.map(quoted).join(', ')}]`);
  }
  return `${lines.join('\n')}\n`;
}

/** Takes an instrument, without what lies in columns or rows that it has not. @param {Instrument} instrument */
export function setInstrument(instrument) {
  const there = (/** @type {string} */ name) => {
    const [row, column] = name.split(/[ :]/);
    return instrument.rows.includes(row) && instrument.columns.includes(column);
  };
  instrument.retuned = Object.fromEntries(Object.entries(instrument.retuned).filter(([name]) => there(name)));
  instrument.dead = instrument.dead.filter(there);
  takeOwn(layoutText(instrument, []), state.dead.filter(there), instrument);
}

/** The same, and shows it. @param {Instrument} instrument */
function takeInstrument(instrument) {
  setInstrument(instrument);
  showInHand();
}

/** Forgets what is said of a button. @param {Instrument} instrument @param {string} name */
function forget(instrument, name) {
  for (const place of [name, `${name} push`, `${name} pull`]) {
    delete instrument.retuned[place];
    instrument.dead = instrument.dead.filter((dead) => dead !== place);
  }
  state.dead = state.dead.filter((key) => key !== name.replace(' ', ':'));
}

/** Says what a button sounds. @param {Layout} layout @param {Sound} button @param {string} sound */
export function retune(layout, button, sound) {
  const instrument = instrumentOf(layout);
  const name = `${button.row} ${button.column}`;
  forget(instrument, name);
  instrument.retuned[name] = sound;
  takeInstrument(instrument);
}

/** Has a button sound as before anything was changed. @param {Layout} layout @param {Sound} button @param {Layout} base */
export function restore(layout, button, base) {
  const instrument = instrumentOf(layout);
  const before = instrumentFrom(base);
  const name = `${button.row} ${button.column}`;
  forget(instrument, name);
  const of = (/** @type {string} */ place) => place === name || place.startsWith(`${name} `);
  Object.assign(instrument.retuned, Object.fromEntries(Object.entries(before.retuned).filter(([place]) => of(place))));
  instrument.dead.push(...before.dead.filter(of));
  takeInstrument(instrument);
}

/** Columns of the circle of fifths from one to another. @param {string} first @param {number} n */
export function columnsFrom(first, n) {
  const from = Math.max(0, FIFTHS.indexOf(first));
  return FIFTHS.slice(from, from + n);
}

/** What comes before the first of a list in an order, and after the last, where there is something.
 * @param {string[]} list @param {string[]} order */
function beyond(list, order) {
  const at = order.indexOf(list[0]);
  const steady = at >= 0 && list.every((name, i) => order[at + i] === name);
  return steady ? { before: order[at - 1], after: order[at + list.length] } : { before: undefined, after: undefined };
}

/**
 * One end of the columns or rows, to be taken off or put on.
 * @param {string} heading
 * @param {string[]} list
 * @param {'first' | 'last'} end
 * @param {string | undefined} more what could be put on there
 * @param {(list: string[]) => void} take
 */
function endOf(heading, list, end, more, take) {
  const first = end === 'first';
  const last = list[first ? 0 : list.length - 1];
  return el('div', { class: 'end', role: 'group', 'aria-label': heading }, el('span', { class: 'hint' }, heading),
    list.length > 1 ? button({ class: 'press', 'data-end': `${heading} −` },
      () => take(first ? list.slice(1) : list.slice(0, -1)), words.keyboard.takeOff(signs(last))) : null,
    more ? button({ class: 'press', 'data-end': `${heading} +` },
      () => take(first ? [more, ...list] : [...list, more]), words.keyboard.putOn(signs(more))) : null);
}

/** Rows from the bellows outwards, as is usual. @param {string[]} rows */
function inOrder(rows) {
  return [...rows].sort((a, b) => ROWS.indexOf(a) - ROWS.indexOf(b));
}

/** Which columns and rows there are, to be changed. @param {Layout} layout */
export function describeInstrument(layout) {
  const instrument = instrumentOf(layout);
  const { columns, rows } = instrument;
  const fifths = beyond(columns, FIFTHS);
  const toColumns = (/** @type {string[]} */ list) => takeInstrument({ ...instrument, columns: list });
  const toRows = (/** @type {string[]} */ list) => takeInstrument({ ...instrument, rows: list });
  const missing = ROWS.filter((row) => !rows.includes(row));
  const before = missing.filter((row) => ROWS.indexOf(row) < ROWS.indexOf(rows[0])).at(-1);
  const after = missing.find((row) => ROWS.indexOf(row) > ROWS.indexOf(rows[rows.length - 1]));
  const usual = rows.every((row) => ROWS.includes(row));
  const chips = ROWS.map((row) => {
    const has = rows.includes(row);
    return button({ class: 'chip', 'aria-pressed': String(has) }, () => {
      const wanted = has ? rows.filter((other) => other !== row) : inOrder([...rows, row]);
      if (wanted.length) {
        toRows(wanted);
      }
    }, row);
  });
  return el('div', { class: 'instrument' },
    el('div', { class: 'ends' }, endOf(words.keyboard.ends.flat, columns, 'first', fifths.before, toColumns),
      endOf(words.keyboard.ends.sharp, columns, 'last', fifths.after, toColumns),
      endOf(words.keyboard.ends.bellows, rows, 'first', usual ? before : undefined, toRows),
      endOf(words.keyboard.ends.outer, rows, 'last', usual ? after : undefined, toRows)),
    usual ? el('div', { class: 'chips', role: 'group', 'aria-label': words.keyboard.rowsThere }, ...chips) : null);
}
