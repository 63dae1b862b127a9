// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The keyboard in hand: how its buttons are used, and what is wrong with the instrument.

import { percent } from './answer.js';
import { boardFigure, buttonKey, turnChoice } from './board.js';
import { button, el } from './dom.js';
import { describeInstrument, instrumentOf, layoutText } from './instrument.js';
import { saveFile } from './save.js';
import { answerTo, askLayout, askOwnSize, boardName, onBoard, showInHand, state, takeBoard, takeDead, taste,
  tuneFiles } from './state.js';
import { signs, words } from './words.js';

/** @typedef {import('./state.js').Layout} Layout */
/** @typedef {import('./state.js').Sound} Sound */
/** @typedef {{row: string, column: string, bellows?: string, presses: number, quarters: number}} Use */
/** @typedef {{finding: string, quarters: Record<string, number>, travel_mm: number, buttons: Use[], rows: Use[]}} Heat */

const LEAST = [0, 0, 0.01, 0.02, 0.05, 0.1, 0.2]; // of the paper's classes of use, as shares of the playing time

/** @param {number} share */
function useClass(share) {
  return share > 0 ? Math.max(1, LEAST.findLastIndex((least) => share >= least)) : 0;
}

/** A share in percent with one decimal below ten. @param {number} share */
function shareText(share) {
  return share >= 0.0995 ? String(Math.round(share * 100)) : (share * 100).toFixed(1);
}

/** The files of a choice: all tunes, or one. @param {string} file */
function filesOf(file) {
  return file ? [file] : tuneFiles();
}

/** @param {Heat} heat */
function useMarks(heat) {
  const shares = new Map();
  for (const use of heat.buttons) {
    shares.set(buttonKey(use), (shares.get(buttonKey(use)) ?? 0) + use.quarters / heat.quarters.total);
  }
  const used = [...shares].filter(([, share]) => share > 0);
  return { classes: new Map([...shares].map(([key, share]) => [key, useClass(share)])),
    texts: new Map(used.map(([key, share]) => [key, shareText(share)])) };
}

/** @param {Heat} heat @param {string} name */
function captionOf(heat, name) {
  return el('div', {}, name && el('h2', {}, name), el('p', {}, `${heat.finding}.`),
    el('p', { class: 'hint' }, words.keyboard.travel(Math.round(heat.travel_mm / 1000))));
}

function legend() {
  return el('div', { class: 'legend' }, el('span', { class: 'hint' }, words.keyboard.legend),
    ...words.keyboard.classes.map((text, i) => el('span', { class: `legend-class use-${i}` }, text)));
}

/** @param {Heat} heat */
function rowTable(heat) {
  const rows = heat.rows.map((use) => el('tr', {}, el('th', { scope: 'row' }, use.row),
    el('td', {}, `${percent(use.quarters, heat.quarters.total)} %`)));
  return el('details', {}, el('summary', {}, words.keyboard.rows), el('table', {}, el('tbody', {}, ...rows)));
}

/** @param {string} label @param {string} value @param {string} none @param {(file: string) => void} choose */
function fileChoice(label, value, none, choose) {
  const options = [['', none], ...state.tunes.map((file) => [file.name, file.name])];
  return el('label', { class: 'choice' }, label, el('select', { on: { change: (/** @type {Event} */ event) =>
    choose(/** @type {HTMLSelectElement} */ (event.target).value) } },
  ...options.map(([name, text]) => el('option', { value: name, selected: name === value }, text))));
}

const look = { file: '', beside: '' };

/** A use, with its name where there are two. @param {Heat} heat @param {string} name @param {Layout} layout
 * @param {(sound: Sound) => void} tap */
function useParts(heat, name, layout, tap) {
  return [captionOf(heat, name), boardFigure(layout, { ...useMarks(heat), tap }), rowTable(heat)];
}

/** @param {HTMLElement} room @param {Layout} layout @param {(sound: Sound) => void} tap */
async function fillOne(room, layout, tap) {
  const { json, problems } = await answerTo('heat', ['heat', ...filesOf(look.file), ...onBoard(), ...taste()]);
  room.replaceChildren(...(json ? useParts(json, '', layout, tap) : problemParts(problems)), legend());
}

/** @param {string[]} problems */
function problemParts(problems) {
  return problems.map((line) => el('p', { class: 'hint' }, line));
}

/** Buttons that only one of two repertoires presses, with its tunes.
 * @param {{button: {row: string, column: string}, tunes: {title: string}[]}[]} only
 * @param {string} name
 * @param {Layout} layout */
function onlyList(only, name, layout) {
  const called = (/** @type {{row: string, column: string}} */ place) =>
    signs(layout.sounds.find((sound) => buttonKey(sound) === buttonKey(place))?.called ?? buttonKey(place));
  return only.length ? el('details', {}, el('summary', {}, words.keyboard.only(only.length, name)), el('ul', {},
    ...only.map(({ button: place, tunes }) => el('li', {}, words.keyboard.onlyIn(called(place),
      tunes.map((tune) => tune.title)))))) : null;
}

/** By how many percent of the time the first presses a button more than the second.
 * @param {{row: string, column: string, difference: number}[]} differences */
function differenceMarks(differences) {
  const apart = differences.filter(({ difference }) => difference);
  return { classes: new Map(differences.map((one) => [buttonKey(one), useClass(Math.abs(one.difference) / 100)])),
    texts: new Map(apart.map((one) => [buttonKey(one), `${one.difference > 0 ? '+' : '−'}${
      shareText(Math.abs(one.difference) / 100)}`])) };
}

/** @param {HTMLElement} room @param {Layout} layout @param {(sound: Sound) => void} tap */
async function fillTwo(room, layout, tap) {
  const first = look.file || words.keyboard.all;
  const { json, problems } = await answerTo('heat', ['heat', ...filesOf(look.file), ...onBoard(), ...taste(), '--against',
    look.beside]);
  const parts = json ? [...useParts(json.a, first, layout, tap), ...useParts(json.b, look.beside, layout, tap),
    el('h2', {}, words.keyboard.difference(first, look.beside)), boardFigure(layout, differenceMarks(json.differences)),
    onlyList(json.only_a, first, layout), onlyList(json.only_b, look.beside, layout)] : problemParts(problems);
  room.replaceChildren(...parts.filter((part) => part !== null), legend());
}

/** @param {HTMLElement} room @param {Layout} layout @param {(sound: Sound) => void} tap */
function fillBoards(room, layout, tap) {
  return look.beside ? fillTwo(room, layout, tap) : fillOne(room, layout, tap);
}

// -------------------------------------------------------------------------------------------------------- my instrument

/** @param {string} key @param {boolean} dead */
function setDead(key, dead) {
  takeDead(dead ? [...state.dead.filter((one) => one !== key), key] : state.dead.filter((one) => one !== key));
  showInHand();
}

/** What a button of one's own sounds: a note, with a kind of chord. @param {Layout} layout @param {Sound} sound */
function wrongForm(layout, sound) {
  const notes = ['C', 'C#', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'];
  const note = /** @type {HTMLSelectElement} */ (el('select', { 'aria-label': words.keyboard.note },
    ...notes.map((name) => el('option', { value: name }, signs(name)))));
  const kind = /** @type {HTMLSelectElement} */ (el('select', { 'aria-label': words.keyboard.kind },
    ...Object.entries(words.keyboard.kinds).map(([value, text]) => el('option', { value }, text))));
  const take = () => {
    const instrument = instrumentOf(layout);
    instrument.retuned[buttonKey(sound).replace(':', ' ')] = `${note.value} ${kind.value}`.trim();
    takeBoard(state.board, layoutText(instrument, []), state.dead.filter((key) => key !== buttonKey(sound)), instrument);
    showInHand();
  };
  return el('div', { class: 'row' }, note, kind, button({ class: 'press' }, take, words.keyboard.wrong));
}

/** @param {Layout} layout @param {Sound} sound */
function askAboutButton(layout, sound) {
  const key = buttonKey(sound);
  const isDead = state.dead.includes(key);
  const dialog = /** @type {HTMLDialogElement} */ (el('dialog', { 'aria-label': signs(sound.called) }));
  const close = () => {
    dialog.close();
    dialog.remove();
  };
  const choose = (/** @type {() => void} */ does) => () => {
    close();
    does();
  };
  dialog.append(el('h2', {}, signs(sound.called)), el('p', { class: 'hint' },
    words.keyboard.place(sound.row, signs(sound.column))),
  button({ class: 'press' }, choose(() => setDead(key, !isDead)), isDead ? words.keyboard.alive : words.keyboard.dead),
  wrongForm(layout, sound), button({ class: 'press' }, close, words.keyboard.fine));
  dialog.addEventListener('close', () => dialog.remove());
  document.body.append(dialog);
  dialog.showModal();
}

/** What the dead buttons cost, which the engine says. */
async function costText() {
  if (!state.dead.length) {
    return '';
  }
  const [now, before] = await Promise.all([askOwnSize(), answerTo('before', ['compare', ...tuneFiles(), '--on',
    boardName(), ...taste()])]);
  if (!now.json || !before.json) {
    return now.problems.join(' ');
  }
  return words.keyboard.cost(state.dead.map((key) => signs(key.split(':').reverse().join(' '))),
    before.json.layouts[0].tunes.playable, now.json.layouts[0].tunes.playable);
}

/** @param {HTMLElement} root */
export async function showKeyboard(root) {
  const layout = /** @type {Layout} */ ((await askLayout()).json);
  const room = el('div', { class: 'board-room' });
  const tap = (/** @type {Sound} */ sound) => askAboutButton(layout, sound);
  const fill = () => fillBoards(room, layout, tap).catch(() => {}); // replaced by a newer question
  const cost = await costText();
  root.replaceChildren(el('h1', {}, layout.title),
    el('div', { class: 'find' }, turnChoice(layout, fill),
      fileChoice(words.keyboard.of, look.file, words.keyboard.all, (file) => {
        look.file = file;
        fill();
      }),
      fileChoice(words.keyboard.beside, look.beside, words.keyboard.nothing, (file) => {
        look.beside = file;
        fill();
      })),
    cost && el('p', { class: 'cost', role: 'status' }, cost), room,
    el('section', {}, el('h2', {}, words.keyboard.mine), el('p', { class: 'hint' }, words.keyboard.tapHint),
      describeInstrument(layout), el('div', { class: 'row' },
        button({ class: 'press' }, () => saveFile('my-keyboard.yaml', layoutText(instrumentOf(layout), state.dead),
          'application/yaml'), words.keyboard.save),
        state.dead.length || state.own ? button({ class: 'press' }, () => {
          takeBoard(state.board);
          showInHand();
        }, words.keyboard.undo) : '')));
  await fillBoards(room, layout, tap);
}
