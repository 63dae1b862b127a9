// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the player has in hand: tunes, a keyboard, habits. And what the engine said of them.

import { askEngine, holdFiles } from './asking.js';
import { byId } from './dom.js';
import { offersText } from './offers.js';

/**
 * @typedef {{name: string, bytes: Uint8Array}} GivenFile
 * @typedef {{row: string, column: string, bellows?: string}} Place
 * @typedef {{title: string, file: string, line: number}} TunePlace
 * @typedef {{chord: string, times: number, quarters: number, bar: number, grade: string}} Lack
 * @typedef {TunePlace & {key: string, key_source: string, verdict: string, quarters: number, carried: number,
 *            native: boolean, lacks: Lack[], smallest: string | null,
 *            move: {semitones: number, called: string, key: string, verdict: string} | null,
 *            against?: {verdict: string}}} Listed
 * @typedef {Record<string, number>} Counts
 * @typedef {{layout: string, buttons: number, chords: Counts, quarters: Counts,
 *            tunes: {total: number, native: number, playable: number, one_short: number},
 *            next: null | {layout: string, playable: number}}} Size
 * @typedef {{row: string, column: string, name: string, tones: string[], bellows?: string, called: string,
 *            x: number, y: number, felt: boolean,
 *            retuned: string | null}} Sound
 * @typedef {{layout: string, title: string, buttons: number, columns: string[], rows: string[], mirrored?: boolean,
 *            column_mm: number, row_mm: number, slant_mm: number,
 *            reeds: {bass: string, chord: string}, sounds: Sound[]}} Layout
 * @typedef {{accept: string, prefer: string, tempo: string, school: string, turn: string, zoom: string, known: string[],
 *            knownTunes: string[]}} Habits
 * @typedef {{board: string, own: string, base: string, dead: string[],
 *            instrument: import('./instrument.js').Instrument | null}} Keyboard
 */

export const OWN = 'mine.yaml';
export const BASE = 'before.yaml'; // the layout file from which that was made
export const YOURS = 'yours.yaml'; // the layout file of one's own keyboard while another is tried
export const OFFERS = 'offers';
export const EXAMPLES = 'examples'; // invented offers, which one's own are never held against

/** @type {Habits} */
const usual = { accept: 'D', prefer: 'plain', tempo: '', school: '4-3', turn: '', zoom: '', known: [], knownTunes: [] };

export const state = {
  /** @type {GivenFile[]} */
  tunes: [],
  /** @type {GivenFile | null} */
  offers: null,
  /** @type {import('./offers.js').Typed[]} further ones */
  typed: [],
  /** @type {GivenFile | null} */
  examples: null,
  /** @type {GivenFile | null} tunes to be set beside those in hand */
  beside: null,
  demo: false,
  board: '48-8x6',
  /** @type {string} the text of a layout file of one's own, or nothing */
  own: '',
  /** @type {string} the text of the layout file from which that was made, or nothing where it is a shipped layout */
  base: '',
  /** @type {string[]} dead buttons, `row:column` */
  dead: [],
  /** @type {import('./instrument.js').Instrument | null} of which that text was made */
  instrument: null,
  /** @type {Keyboard | null} one's own while another is tried */
  mine: null,
  called: '', // what is tried then
  habits: { ...usual },
  /** @type {string[]} further options of the command line, such as `--reach=3` */
  options: [],
  remember: false,
};

/** @type {Map<string, Promise<any>>} */
const answers = new Map();

/** @param {string} text */
export function bytesOf(text) {
  return new TextEncoder().encode(text);
}

/** @param {Uint8Array} bytes */
export function textOf(bytes) {
  return new TextDecoder().decode(bytes);
}

/**
 * A file name that the engine takes for nothing else, and that no other file has.
 * @param {string} name
 * @param {GivenFile[]} among
 */
function cleanName(name, among) {
  const base = name.replace(/[/\\\0]/g, '_').replace(/^[-.]+/, '_') || 'tunes';
  const taken = new Set([...among.map((file) => file.name), OWN, BASE, YOURS, OFFERS, EXAMPLES, 'x.wav']);
  const dot = base.indexOf('.') > 0 ? base.indexOf('.') : base.length;
  let tried = base;
  for (let n = 2; taken.has(tried); ++n) {
    tried = `${base.slice(0, dot)} (${n})${base.slice(dot)}`;
  }
  return tried;
}

/** Gives the engine what is in hand, and forgets what it said of other things. */
export function changed() {
  /** @type {Record<string, Uint8Array>} */
  const files = {};
  for (const file of state.tunes) {
    files[file.name] = file.bytes;
  }
  if (state.own) {
    files[OWN] = bytesOf(state.own);
  }
  if (state.base) {
    files[BASE] = bytesOf(state.base);
  }
  if (state.mine?.own) {
    files[YOURS] = bytesOf(state.mine.own);
  }
  if (state.beside) {
    files[state.beside.name] = state.beside.bytes;
  }
  if (state.offers || state.typed.length) {
    files[OFFERS] = bytesOf(offersText(state.offers ? textOf(state.offers.bytes) : '', state.typed));
  }
  if (state.examples) {
    files[EXAMPLES] = state.examples.bytes;
  }
  holdFiles(files);
  answers.clear();
  keep();
}

/** @param {GivenFile} one @param {GivenFile} other */
function sameBytes(one, other) {
  return one.bytes.length === other.bytes.length && one.bytes.every((byte, i) => byte === other.bytes[i]);
}

/** Whether the same file is in hand already. @param {GivenFile} file */
export function isInHand(file) {
  return !state.demo && state.tunes.some((other) => sameBytes(file, other));
}

/**
 * Adds tunes to those in hand, or takes them in their place, as of the demo.
 * @param {GivenFile[]} files
 * @param {boolean} replace
 */
export function takeTunes(files, replace) {
  const kept = replace || state.demo ? [] : [...state.tunes];
  for (const file of files) {
    kept.push({ name: cleanName(file.name, kept), bytes: file.bytes });
  }
  state.tunes = kept;
  state.demo = false;
  changed();
}

/** Takes a keyboard that ships. @param {string} name */
export function takeBoard(name) {
  Object.assign(state, { board: name, own: '', base: '', dead: [], instrument: null });
  changed();
}

/** What makes up the keyboard in hand. @returns {Keyboard} */
function keyboardNow() {
  const { board, own, base, dead, instrument } = state;
  return { board, own, base, dead, instrument };
}

/**
 * Tries a keyboard that ships; one's own is kept to go back to.
 * @param {string} name
 * @param {string} [called] what it is called
 * @param {string[]} [dead] its dead buttons, `row:column`
 */
export function tryBoard(name, called = name, dead = []) {
  const mine = state.mine ?? keyboardNow();
  const isMine = !mine.own && mine.board === name && !mine.dead.length && !dead.length;
  Object.assign(state, { board: name, own: '', base: '', dead, instrument: null, mine: isMine ? null : mine, called });
  changed();
}

/** Takes one's own keyboard again. */
export function backToMine() {
  Object.assign(state, state.mine, { mine: null });
  changed();
}

/** Has what is tried be one's own. */
export function keepTried() {
  state.mine = null;
  changed();
}

/** The name by which the engine finds one's own keyboard. */
export function yoursName() {
  return state.mine ? (state.mine.own ? YOURS : state.mine.board) : boardName();
}

/** Takes a layout file. @param {string} text */
export function takeLayout(text) {
  Object.assign(state, { own: text, base: text, dead: [], instrument: null });
  changed();
}

/**
 * Takes what was made of the keyboard in hand.
 * @param {string} own the text of a layout file
 * @param {string[]} dead
 * @param {import('./instrument.js').Instrument} instrument of which the text was made
 */
export function takeOwn(own, dead, instrument) {
  Object.assign(state, { own, dead, instrument });
  changed();
}

/** Takes tunes to be set beside those in hand. @param {GivenFile} file */
export function takeBeside(file) {
  state.beside = { name: cleanName(file.name, state.tunes), bytes: file.bytes };
  changed();
  return state.beside.name;
}

/** The file in hand that a tune is in: itself, or its archive. @param {{file: string}} at */
export function fileOf(at) {
  return state.tunes.find((file) => at.file === file.name || at.file.startsWith(`${file.name}!`))?.name;
}

/** Has the page show what is in hand now. */
export function showInHand() {
  dispatchEvent(new Event('inhand'));
}

/** Has the page show what is in hand now, at a place. @param {string} address */
export function showInHandAt(address) {
  const before = location.href;
  location.hash = address;
  if (location.href === before) {
    showInHand(); // else the new address has it shown
  }
}

/** @param {string[]} dead */
export function takeDead(dead) {
  state.dead = dead;
  changed();
}

/** The name by which the engine finds the keyboard in hand. */
export function boardName() {
  return state.own ? OWN : state.board;
}

/** The name of the keyboard before anything was changed on it. */
export function baseName() {
  return state.base ? BASE : state.board;
}

/** Whether something was changed on it. */
export function isChanged() {
  return state.dead.length > 0 || state.own !== state.base;
}

/** Options of the keyboard in hand. */
export function onBoard() {
  return ['--on', boardName(), ...(state.dead.length ? ['--without', state.dead.join(',')] : [])];
}

/** Options of one's own keyboard, also while another is tried. */
export function onYours() {
  const { dead } = state.mine ?? state;
  return ['--on', yoursName(), ...(dead.length ? ['--without', dead.join(',')] : [])];
}

/** Options of taste, with the tempo of all tunes or another. @param {string} [tempo] */
export function taste(tempo = state.habits.tempo) {
  const { accept, prefer } = state.habits;
  return ['--accept', accept, '--prefer', prefer, ...(tempo ? ['--tempo', tempo] : []), ...state.options];
}

/** Those of them that a chord by itself takes. */
export function tasteOfChord() {
  return ['--prefer', state.habits.prefer, ...state.options.filter((option) => /^--(reach|press|names)=/.test(option))];
}

/** The names of the tunes' files, as a command line has them. */
export function tuneFiles() {
  return state.tunes.map((file) => file.name);
}

/**
 * Asks for JSON, once for each command line until something changes.
 * @param {string} about
 * @param {string[]} args
 * @param {boolean} [idly] while nothing else is asked
 * @returns {Promise<{json: any, problems: string[], status: number}>}
 */
export function answerTo(about, args, idly = false) {
  const key = JSON.stringify(args);
  const known = answers.get(key);
  if (known) {
    return known;
  }
  const asked = askEngine(about, [...args, '--format', 'json'], idly).then(({ status, out, err }) => {
    const problems = err.split('\n').filter((line) => line).map((line) => line.replace(/^rowcall: /, ''));
    return { json: out ? JSON.parse(out) : null, problems, status };
  });
  answers.set(key, asked);
  asked.catch(() => answers.delete(key));
  return asked;
}

/** All tunes as they fare on the keyboard in hand. */
export function askList() {
  return answerTo('list', ['list', ...tuneFiles(), ...onBoard(), ...taste(), '--all-problems']);
}

/** All tunes as they fare on one's own keyboard. */
export function askListOfYours() {
  return answerTo('list of yours', ['list', ...tuneFiles(), ...onYours(), ...taste(), '--all-problems']);
}

/** The same against another keyboard. @param {string} other */
export function askAgainst(other) {
  return answerTo('against', ['list', ...tuneFiles(), ...onBoard(), ...taste(), '--against', other]);
}

/** The same against the keyboard before anything was changed on it. */
export function askChange() {
  return answerTo('change', ['list', ...tuneFiles(), ...onBoard(), ...taste(), '--against', baseName()]);
}

/** The usual sizes. */
export function askSizes() {
  return answerTo('sizes', ['compare', ...tuneFiles(), ...taste()]);
}

/**
 * The smallest usual size that plays most tunes, where that is more than a keyboard plays.
 * @param {Size[]} sizes
 * @param {number | undefined} playable
 */
export function largerThan(sizes, playable) {
  const most = Math.max(...sizes.map((size) => size.tunes.playable));
  return playable !== undefined && most > playable ? sizes.find((size) => size.tunes.playable === most) : undefined;
}

/** The keyboard in hand among them, which a plain usual one is already. */
export async function askOwnSize() {
  if (!state.own && !state.dead.length) {
    const sizes = await askSizes();
    const own = sizes.json?.layouts.filter((/** @type {Size} */ size) => size.layout === state.board) ?? [];
    if (own.length) {
      return { ...sizes, json: { ...sizes.json, layouts: own } };
    }
  }
  return answerTo('own', ['compare', ...tuneFiles(), ...onBoard(), ...taste()]);
}

/** An order of learning, after what is known. @param {boolean} [idly] while nothing else is asked */
export function askLearn(idly = false) {
  const { known, knownTunes } = state.habits;
  return answerTo('learn', ['learn', ...tuneFiles(), ...onBoard(), ...taste(),
    ...known.map((thing) => `--knows=${thing}`), ...knownTunes.map((place) => `--knows-tune=${place}`)], idly);
}

/**
 * Takes a layout file, where it can be read; else keeps the keyboard in hand.
 * @param {string} text
 * @returns {Promise<string[]>} what is wrong with it
 */
export async function tryLayout(text) {
  const { own, base, dead, instrument } = state;
  takeLayout(text);
  const { json, problems } = await askLayout();
  if (!json) {
    Object.assign(state, { own, base, dead, instrument });
    changed();
    return problems;
  }
  state.mine = null;
  keep();
  return [];
}

export function askLayouts() {
  return answerTo('layouts', ['layouts']);
}

/** @param {string} [name] */
export function askLayout(name = boardName()) {
  return answerTo(`layout ${name}`, ['layouts', name]);
}

// ---------------------------------------------------------------------------------- what a page holds, what is kept

const KEPT = 'rowcall';

/** @param {Uint8Array} bytes */
function toBase64(bytes) {
  let text = '';
  for (let i = 0; i < bytes.length; i += 8192) {
    text += String.fromCharCode(...bytes.subarray(i, i + 8192));
  }
  return btoa(text);
}

/** @param {GivenFile} file */
function packFile(file) {
  const text = textOf(file.bytes);
  const whole = bytesOf(text);
  const same = whole.length === file.bytes.length && whole.every((byte, i) => byte === file.bytes[i]);
  return same ? { name: file.name, text } : { name: file.name, base64: toBase64(file.bytes) };
}

/** @param {{name: string, text?: string, base64?: string}} packed */
function unpackFile({ name, text, base64 }) {
  const bytes = base64 ? Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0)) : bytesOf(text ?? '');
  return { name, bytes };
}

/** All that a page holds of its player, as plain data. */
export function pack() {
  return {
    tunes: state.tunes.map(packFile),
    offers: state.offers && packFile(state.offers),
    typed: state.typed,
    examples: state.examples && packFile(state.examples),
    beside: state.beside && packFile(state.beside),
    demo: state.demo,
    board: state.board,
    own: state.own,
    base: state.base,
    dead: state.dead,
    instrument: state.instrument,
    mine: state.mine,
    called: state.called,
    habits: state.habits,
    options: state.options,
  };
}

/** @param {any} data what pack() made, or `rowcall page`, or the build */
export function unpack(data) {
  state.tunes = (data.tunes ?? []).map(unpackFile);
  state.offers = data.offers ? unpackFile(data.offers) : null;
  state.typed = data.typed ?? [];
  state.examples = data.examples ? unpackFile(data.examples) : null;
  state.demo = data.demo ?? false;
  state.board = data.board ?? state.board;
  state.beside = data.beside ? unpackFile(data.beside) : null;
  state.own = data.own ?? '';
  state.base = data.base ?? state.own;
  state.dead = data.dead ?? [];
  state.instrument = data.instrument ?? null;
  state.mine = data.mine ?? null;
  state.called = data.called ?? '';
  state.habits = { ...usual, ...data.habits };
  state.options = [];
  for (const option of data.options ?? []) {
    const [, name, value] = /^--(accept|prefer|tempo)=(.*)$/.exec(option) ?? [];
    if (name) {
      state.habits[/** @type {'accept' | 'prefer' | 'tempo'} */ (name)] = value;
    } else {
      state.options.push(option);
    }
  }
}

/** The made-up club, where the page came with it. */
export function demoGiven() {
  const given = JSON.parse(byId('given').textContent ?? '{}');
  return given.demo ? given : null;
}

/** Takes the tunes of the made-up club again. */
export function takeDemo() {
  state.tunes = demoGiven().tunes.map(unpackFile);
  state.demo = true;
  changed();
}

/** Begins with what the page holds, or what was to be remembered. */
export function begin() {
  const given = JSON.parse(byId('given').textContent ?? '{}');
  unpack(given);
  const kept = readKept();
  if (kept && state.demo) {
    unpack(kept);
    state.remember = true;
  }
  changed();
}

function readKept() {
  try {
    return JSON.parse(localStorage.getItem(KEPT) ?? 'null');
  } catch {
    return null;
  }
}

/** Keeps all in this browser where that is wanted, and nothing elsewhere. @returns {boolean} whether it could */
export function keep() {
  try {
    if (state.remember) {
      localStorage.setItem(KEPT, JSON.stringify(pack()));
    }
    return true;
  } catch {
    return false;
  }
}

/** @param {boolean} wanted */
export function setRemember(wanted) {
  state.remember = wanted;
  try {
    if (!wanted) {
      localStorage.removeItem(KEPT);
    }
  } catch {
    return false;
  }
  return keep();
}
