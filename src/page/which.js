// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Which keyboard is yours: by its columns and rows, by its name, or from a layout file.

import { addressOf } from './address.js';
import { button, el, svg } from './dom.js';
import { readFiles, takeLayoutFile } from './given.js';
import { columnsFrom, setInstrument } from './instrument.js';
import { askLayout, askLayouts, changed, keepTried, showInHandAt, state, takeBoard, textOf } from './state.js';
import { doWithUndo } from './undo.js';
import { words } from './words.js';

/** @typedef {{layout: string, title: string, buttons: number, columns: string[], rows: string[]}} Known */

const MOST_COLUMNS = 20;
const MOST_ROWS = 7;
const CELL = 16;

const counted = { columns: 0, rows: 0 }; // those of the keyboard in hand, until one counts others

/** @param {string} name */
function choose(name) {
  doWithUndo(words.which.taken(name), () => {
    keepTried();
    takeBoard(name);
  });
  showInHandAt(addressOf('answer'));
}

/** @param {Known} known */
function card(known) {
  return button({ class: known.layout === state.board && !state.own ? 'press card mine' : 'press card' },
    () => choose(known.layout), el('b', {}, known.layout), ` ${known.title}`);
}

/** @param {Known} known */
function isPushPull(known) {
  return known.layout.startsWith('push-pull');
}

/** A field of buttons, of which one taps the last. @param {() => void} redraw */
function field(redraw) {
  const dots = [];
  for (let row = 0; row < MOST_ROWS; ++row) {
    for (let column = 0; column < MOST_COLUMNS; ++column) {
      const there = row < counted.rows && column < counted.columns;
      dots.push(svg('g', { class: there ? 'dot there' : 'dot', on: { click: () => {
        Object.assign(counted, { columns: column + 1, rows: row + 1 });
        redraw();
      } } }, svg('rect', { class: 'target', x: column * CELL, y: row * CELL, width: CELL, height: CELL }),
      svg('circle', { cx: (column + 0.5) * CELL, cy: (row + 0.5) * CELL, r: CELL * 0.36 })));
    }
  }
  return el('div', { class: 'field-room', tabindex: '0', role: 'group', 'aria-label': words.which.field }, svg('svg', { class: 'field', viewBox: `0 0 ${MOST_COLUMNS * CELL} ${MOST_ROWS * CELL}`, 'aria-hidden': 'true' },
    ...dots));
}

/** @param {string} label @param {'columns' | 'rows'} what @param {number} most @param {() => void} redraw */
function counter(label, what, most, redraw) {
  return el('label', { class: 'choice' }, label, el('select', { on: { change: (/** @type {Event} */ event) => {
    counted[what] = Number(/** @type {HTMLSelectElement} */ (event.target).value);
    redraw();
  } } }, ...Array.from({ length: most }, (_, i) => el('option', { value: i + 1, selected: i + 1 === counted[what] }, i + 1))));
}

/** A keyboard with as many columns and rows as were counted, to be described further. @param {Known | undefined} like */
function describeOwn(like) {
  keepTried();
  if (like) {
    takeBoard(like.layout);
    return;
  }
  const columns = columnsFrom(counted.columns > 14 ? 'Gb' : counted.columns > 9 ? 'Db' : 'Eb', counted.columns);
  const rows = ['counterbass', 'fundamental', 'major', 'minor', 'seventh', 'diminished', 'augmented'];
  const from = counted.rows < 4 ? 1 : 0;
  setInstrument({ columns, rows: rows.slice(from, from + counted.rows), retuned: {}, dead: [], mirrored: false,
    spacing: { column: 16, row: 12.5, slant: 8 }, reeds: { bass: 'E', chord: 'G' } });
}

/** @param {Known[]} all @param {Known} inHand @param {HTMLElement} room */
function drawCounted(all, inHand, room) {
  const redraw = () => drawCounted(all, inHand, room);
  const like = all.filter((known) => known.columns.length === counted.columns && known.rows.length === counted.rows);
  const own = () => {
    if (inHand.columns.length !== counted.columns || inHand.rows.length !== counted.rows) {
      doWithUndo(words.which.described(counted.columns, counted.rows), () => describeOwn(like[0]));
    }
    showInHandAt(addressOf('keyboard'));
  };
  room.replaceChildren(
    el('div', { class: 'find' }, counter(words.which.columns, 'columns', MOST_COLUMNS, redraw),
      counter(words.which.rows, 'rows', MOST_ROWS, redraw)), field(redraw),
    el('p', { role: 'status' }, like.length ? words.which.like(counted.columns, counted.rows)
      : words.which.unlike(counted.columns, counted.rows)),
    el('div', { class: 'cards' }, ...like.map(card)),
    button({ class: 'press' }, own, words.which.own));
}

/** @param {'accept' | 'prefer'} habit @param {string} label @param {Record<string, string>} choices */
function tasteChoice(habit, label, choices) {
  return el('label', { class: 'choice' }, label, el('select', { on: { change: (/** @type {Event} */ event) => {
    state.habits[habit] = /** @type {HTMLSelectElement} */ (event.target).value;
    changed();
  } } }, ...Object.entries(choices).map(([value, text]) =>
    el('option', { value, selected: value === state.habits[habit] }, text))));
}

/** @param {HTMLElement} root */
export async function showWhich(root) {
  const [all, inHand] = (await Promise.all([askLayouts(), askLayout()])).map((answer) => answer.json);
  Object.assign(counted, { columns: inHand.columns.length, rows: inHand.rows.length });
  const room = el('div', { class: 'counted' });
  const input = el('input', { type: 'file', class: 'unseen', 'aria-label': words.which.file, on: {
    change: async (/** @type {Event} */ event) => {
      const [file] = await readFiles(/** @type {HTMLInputElement} */ (event.target).files ?? []);
      if (file) {
        await takeLayoutFile(textOf(file.bytes));
      }
    },
  } });
  drawCounted(all, inHand, room);
  root.replaceChildren(el('h1', {}, words.which.heading), el('p', { class: 'hint' }, words.which.hint), room,
    el('section', {}, el('h2', {}, words.which.all), el('div', { class: 'cards' }, ...all
      .filter((/** @type {Known} */ known) => !isPushPull(known)).map(card)), el('details', {}, el('summary', {}, words.which.pushPull), el('div', { class: 'cards' },
      ...all.filter(isPushPull).map(card)))),
    el('section', {}, el('h2', {}, words.which.fromFile), el('label', { class: 'press' }, input, words.which.file)),
    el('section', {}, el('h2', {}, words.which.taste), el('div', { class: 'find' },
      tasteChoice('accept', words.which.accept, words.which.accepts),
      tasteChoice('prefer', words.which.prefer, words.which.prefers))));
}
