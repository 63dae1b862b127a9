// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The keyboard in hand: how its buttons are used, and what is wrong with the instrument.

import { addressOf, replaceAddress, tuneAddress, whereAmI } from './address.js';
import { tellFault } from './asking.js';
import { boardFigure, buttonKey, calledOf, turnChoice, turnInHand, zoomChoice } from './board.js';
import { button, el } from './dom.js';
import { readFiles } from './given.js';
import { describeInstrument, instrumentOf, layoutText, restore, retune } from './instrument.js';
import { saveFile } from './save.js';
import { answerTo, askChange, askLayout, askList, baseName, fileOf, isChanged, onBoard, showInHand, showInHandAt, state,
  takeBeside, takeBoard, takeDead, takeLayout, taste, tuneFiles } from './state.js';
import { sayOnceShown } from './undo.js';
import { signs, words } from './words.js';

/** @typedef {import('./state.js').Layout} Layout */
/** @typedef {import('./state.js').Sound} Sound */
/** @typedef {import('./state.js').Listed} Listed */
/** @typedef {{row: string, column: string, bellows?: string, presses: number, quarters: number, percent: number}} Use */
/** @typedef {{finding: string, quarters: Record<string, number>, travel_mm: number, buttons: Use[], rows: Use[]}} Heat */
/** What is looked at: the tunes of a file, one tune as `FILE:LINE`, one row, and other tunes beside them.
 * @typedef {{of: string, tune: string, row: string, beside: string}} Look */

const LEAST = [0, 0, 0.01, 0.02, 0.05, 0.1, 0.2]; // of the paper's classes of use, as shares of the playing time

/** @param {number} share */
function useClass(share) {
  return share > 0 ? Math.max(1, LEAST.findLastIndex((least) => share >= least)) : 0;
}

/** A share in percent with one decimal below ten. @param {number} share */
function shareText(share) {
  return share >= 0.0995 ? String(Math.round(share * 100)) : (share * 100).toFixed(1);
}

/** Which tunes are looked at, as a command line has them. @param {Look} look */
function tunesOf(look) {
  const [, file = '', line = ''] = /^(.*):(\d+)$/.exec(look.tune) ?? [];
  return file ? [fileOf({ file }) ?? file, '--line', line] : look.of ? [look.of] : tuneFiles();
}

/** Of the playing time, or of the chords where none has a length. @param {Heat} heat @param {Use} use */
function shareOf(heat, use) {
  return heat.quarters.total ? use.quarters / heat.quarters.total : use.percent / 100;
}

/** @param {Heat} heat @param {string} row the one that is looked at, or none */
function useMarks(heat, row) {
  const shares = new Map();
  for (const use of heat.buttons.filter((one) => !row || one.row === row)) {
    shares.set(buttonKey(use), (shares.get(buttonKey(use)) ?? 0) + shareOf(heat, use));
  }
  const used = [...shares].filter(([, share]) => share > 0);
  return { classes: new Map([...shares].map(([key, share]) => [key, useClass(share)])),
    texts: new Map(used.map(([key, share]) => [key, shareText(share)])) };
}

/** @param {Heat} heat @param {string} name @param {string} row */
function captionOf(heat, name, row) {
  const use = heat.rows.find((one) => one.row === row);
  return el('div', {}, name && el('h2', {}, name), el('p', {}, use
    ? words.keyboard.rowUse(row, shareText(use.percent / 100), heat.quarters.total > 0)
    : `${heat.finding}.`), el('p', { class: 'hint' }, words.keyboard.travel(heat.travel_mm)));
}

/** @param {Heat} heat */
function legend(heat) {
  return el('div', { class: 'legend' }, el('span', { class: 'hint' }, words.keyboard.legend(heat.quarters.total > 0)),
    ...words.keyboard.classes.map((text, i) => el('span', { class: `legend-class use-${i}` }, text)));
}

/** @param {Heat} heat */
function rowTable(heat) {
  const rows = heat.rows.map((use) => el('tr', {}, el('th', { scope: 'row' }, use.row), el('td', {}, `${shareText(use.percent / 100)} %`)));
  return el('details', {}, el('summary', {}, words.keyboard.rows(heat.quarters.total > 0)), el('table', {}, el('tbody', {}, ...rows)));
}

/**
 * @param {string} label
 * @param {string} value
 * @param {[string, string][]} options
 * @param {(value: string) => void} choose
 */
function choice(label, value, options, choose) {
  return el('label', { class: 'choice' }, label, el('select', { on: { change: (/** @type {Event} */ event) =>
    choose(/** @type {HTMLSelectElement} */ (event.target).value) } },
  ...options.map(([name, text]) => el('option', { value: name, selected: name === value }, text))));
}

/** A use, with its name where there are two. @param {Heat} heat @param {string} name @param {string} row
 * @param {Layout} layout @param {(sound: Sound) => void} tap */
function useParts(heat, name, row, layout, tap) {
  return [captionOf(heat, name, row), boardFigure(layout, { ...useMarks(heat, row), tap }), rowTable(heat)];
}

/** @param {HTMLElement} room @param {Look} look @param {Layout} layout @param {(sound: Sound) => void} tap */
async function fillOne(room, look, layout, tap) {
  const { json, problems } = await answerTo('heat', ['heat', ...tunesOf(look), ...onBoard(), ...taste()]);
  room.replaceChildren(...(json ? [...useParts(json, '', look.row, layout, tap), legend(json)] : problemParts(problems)));
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
  return only.length ? el('details', {}, el('summary', {}, words.keyboard.only(only.length, name)), el('ul', {},
    ...only.map(({ button: place, tunes }) => el('li', {}, words.keyboard.onlyIn(calledOf(layout, place),
      tunes.map((tune) => tune.title)))))) : null;
}

/** By how many percent of the time the first presses a button more than the second.
 * @param {{row: string, column: string, difference: number}[]} differences */
function differenceMarks(differences) {
  const apart = differences.filter(({ difference }) => difference);
  return { rings: new Set(apart.filter((one) => one.difference < 0).map(buttonKey)),
    classes: new Map(differences.map((one) => [buttonKey(one), useClass(Math.abs(one.difference) / 100)])),
    texts: new Map(apart.map((one) => [buttonKey(one), `${one.difference > 0 ? '+' : '−'}${
      shareText(Math.abs(one.difference) / 100)}`])) };
}

/** What is looked at, in words. @param {Look} look @param {Listed[]} tunes */
function nameOf(look, tunes) {
  return tunes.find((tune) => placeOfTune(tune) === look.tune)?.title ?? (look.of || words.keyboard.all);
}

/** @param {Listed} tune */
function placeOfTune(tune) {
  return `${tune.file}:${tune.line}`;
}

/** @param {HTMLElement} room @param {Look} look @param {Layout} layout @param {(sound: Sound) => void} tap */
async function fillTwo(room, look, layout, tap) {
  const first = nameOf(look, (await askList()).json?.tunes ?? []);
  const { json, problems } = await answerTo('heat', ['heat', ...tunesOf(look), ...onBoard(), ...taste(), '--against',
    look.beside]);
  const inRow = json?.differences.filter((/** @type {Use} */ one) => !look.row || one.row === look.row);
  const parts = json ? [el('div', { class: 'two-boards' }, el('div', {}, ...useParts(json.a, first, look.row, layout, tap)),
    el('div', {}, ...useParts(json.b, look.beside, look.row, layout, tap))),
  legend(json.a), el('h2', {}, words.keyboard.difference(first, look.beside)), boardFigure(layout, differenceMarks(inRow)),
  onlyList(json.only_a, first, layout), onlyList(json.only_b, look.beside, layout)] : problemParts(problems);
  room.replaceChildren(...parts.filter((part) => part !== null));
}

/** @param {Look} look @param {Layout} layout */
function turnsAndSizes(look, layout, /** @type {() => void} */ fill) {
  const rows = /** @type {[string, string][]} */ (layout.rows.map((row) => [row, row]));
  return [turnChoice(turnInHand(layout, true), fill), zoomChoice(fill),
    choice(words.keyboard.row, look.row, [['', words.keyboard.allRows],
    ...rows], (row) => {
    look.row = row;
    fill();
  })];
}

/** A file of tunes to be set beside those in hand. */
function besideFile() {
  return el('label', { class: 'press' }, el('input', { type: 'file', class: 'unseen', 'aria-label': words.keyboard.besideFile,
    on: { change: async (/** @type {Event} */ event) => {
      const [file] = await readFiles(/** @type {HTMLInputElement} */ (event.target).files ?? []);
      if (file) {
        showInHandAt(addressOf('keyboard', { ...lookNow(), beside: takeBeside(file) }));
      }
    } } }), words.keyboard.besideFile);
}

/** @param {Look} look @param {Listed[]} tunes @param {() => void} fill */
function tuneChoices(look, tunes, fill) {
  const files = /** @type {[string, string][]} */ (state.tunes.map((file) => [file.name, file.name]));
  const other = /** @type {[string, string][]} */ (state.beside ? [[state.beside.name, state.beside.name]] : []);
  const titles = /** @type {[string, string][]} */ (tunes.filter((tune) => !look.of || fileOf(tune) === look.of)
    .map((tune) => [placeOfTune(tune), tune.title]));
  const set = (/** @type {Partial<Look>} */ more) => {
    Object.assign(look, more);
    fill();
  };
  return [choice(words.keyboard.of, look.of, [['', words.keyboard.all], ...files], (of) => set({ of, tune: '' })),
    choice(words.keyboard.tune, look.tune, [['', words.keyboard.every], ...titles], (tune) => set({ tune })),
    choice(words.keyboard.beside, look.beside, [['', words.keyboard.nothing], ...files, ...other],
      (beside) => set({ beside })), besideFile()];
}

/** @param {HTMLElement} choices @param {boolean} open */
function shownChoices(choices, open) {
  return el('details', { class: 'shown-choices', open }, el('summary', {}, words.keyboard.shown), choices);
}

/** @returns {Look} */
function lookNow() {
  const { more } = whereAmI();
  return { of: more.get('of') ?? '', tune: more.get('tune') ?? '', row: more.get('row') ?? '',
    beside: more.get('beside') ?? '' };
}

// -------------------------------------------------------------------------------------------------------- my instrument

/** @param {string} key @param {boolean} dead */
function setDead(key, dead) {
  takeDead(dead ? [...state.dead.filter((one) => one !== key), key] : state.dead.filter((one) => one !== key));
  showInHand();
}

/** The kind of chord that a button sounds, as its label ends. @param {Sound} sound */
function kindOfSound(sound) {
  const ending = /^[A-G](?:##?|bb?)?(.*)$/.exec(sound.name)?.[1] ?? '';
  return { M: 'major', m: 'minor', 7: 'seventh', dim: 'diminished', aug: 'augmented' }[ending] ?? '';
}

/** What a button of one's own sounds: a note, with a kind of chord. @param {Sound} sound @param {(sound: string) => void} take */
function wrongForm(sound, take) {
  const notes = ['C', 'C#', 'Db', 'D', 'D#', 'Eb', 'E', 'F', 'F#', 'Gb', 'G', 'G#', 'Ab', 'A', 'A#', 'Bb', 'B'];
  const now = /^[A-G](##?|bb?)?/.exec(sound.name)?.[0];
  const note = /** @type {HTMLSelectElement} */ (el('select', { 'aria-label': words.keyboard.note },
    ...notes.map((name) => el('option', { value: name, selected: name === now }, signs(name)))));
  const kind = /** @type {HTMLSelectElement} */ (el('select', { 'aria-label': words.keyboard.kind },
    ...Object.entries(words.keyboard.kinds).map(([value, text]) =>
      el('option', { value, selected: value === kindOfSound(sound) }, text))));
  return el('fieldset', {}, el('legend', {}, words.keyboard.wrongHint), el('div', { class: 'row' }, note, kind,
    button({ class: 'press' }, () => take(`${note.value} ${kind.value}`.trim()), words.keyboard.wrong)));
}

/** @param {Layout} layout @param {Layout} base @param {Sound} sound */
function askAboutButton(layout, base, sound) {
  const key = buttonKey(sound);
  const isDead = state.dead.includes(key) || !sound.tones.length;
  const before = base.sounds.find((one) => buttonKey(one) === key);
  const isOther = isDead || before?.name !== sound.name || String(before.tones) !== String(sound.tones);
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
  isOther && before ? button({ class: 'press primary' }, choose(() => restore(layout, sound, base)), words.keyboard.restore) : '',
  isDead ? '' : button({ class: 'press' }, choose(() => setDead(key, true)), words.keyboard.dead),
  wrongForm(sound, (text) => choose(() => retune(layout, sound, text))()),
  button({ class: 'press' }, close, words.keyboard.fine));
  dialog.addEventListener('close', () => dialog.remove());
  document.body.append(dialog);
  dialog.showModal();
}

/** Tunes, each with what it lacks. @param {string} heading @param {Listed[]} tunes */
function tuneLinks(heading, tunes) {
  return tunes.length ? el('details', {}, el('summary', {}, heading), el('ul', {}, ...tunes.map((tune) => el('li', {},
    el('a', { href: tuneAddress(tune) }, tune.title), tune.lacks.length
      ? `: ${words.tunes.lacking(words.listed(tune.lacks.map((lack) => signs(lack.chord))))}` : '')))) : null;
}

let toldCost = ''; // what was said last of the cost

/** Says at once what a change costs, wherever one is on the page. @param {HTMLElement | null} cost */
function tellCost(cost) {
  const text = cost?.querySelector('p')?.textContent ?? '';
  if (text && text !== toldCost) {
    sayOnceShown(text);
  }
  toldCost = text;
}

/** What the changes of the instrument cost and bring, which the engine says. */
async function costParts() {
  if (!isChanged()) {
    return null;
  }
  const [{ json, problems }, base] = await Promise.all([askChange(), askLayout(baseName())]);
  if (!json) {
    return el('div', { class: 'cost', role: 'status' }, ...problemParts(problems));
  }
  /** @type {(Listed & {against: {verdict: string}})[]} */
  const tunes = json.tunes;
  const plays = (/** @type {{verdict: string}} */ one) => one.verdict === 'plays';
  const lost = tunes.filter((tune) => !plays(tune) && plays(tune.against));
  const won = tunes.filter((tune) => plays(tune) && !plays(tune.against));
  return el('div', { class: 'cost', role: 'status' },
    el('p', {}, words.keyboard.cost(base.json?.layout ?? '', tunes.filter((tune) => plays(tune.against)).length,
      tunes.filter(plays).length)),
    tuneLinks(words.keyboard.lost(lost.length), lost), tuneLinks(words.keyboard.won(won.length), won),
    undoButton(base.json?.layout ?? ''));
}

/** The way back to the keyboard before anything was changed. @param {string} base its name */
function undoButton(base) {
  return button({ class: 'press' }, () => {
    if (state.base) {
      takeLayout(state.base);
    } else {
      takeBoard(state.board);
    }
    showInHand();
  }, words.keyboard.undo(base));
}

/** @param {Layout} layout */
function instrumentPart(layout) {
  return el('section', { class: 'mine-part' }, el('h2', {}, words.keyboard.mine), el('p', { class: 'hint' }, words.keyboard.tapHint),
    describeInstrument(layout), el('div', { class: 'row' },
      button({ class: 'press' }, () => saveFile('my-keyboard.yaml', layoutText(instrumentOf(layout), state.dead),
        'application/yaml'), words.keyboard.save)));
}

/** @param {HTMLElement} root */
export async function showKeyboard(root) {
  const [own, before, list] = await Promise.all([askLayout(), askLayout(baseName()), askList()]);
  /** @type {Layout} */
  const layout = own.json;
  const base = before.json ?? layout;
  const look = lookNow();
  const room = el('div', { class: 'board-room' });
  const choices = el('div', { class: 'find' });
  const wide = matchMedia('(min-width: 900px)').matches;
  const tap = (/** @type {Sound} */ sound) => askAboutButton(layout, base, sound);
  const fillRoom = () => look.beside ? fillTwo(room, look, layout, tap) : fillOne(room, look, layout, tap);
  const fill = () => {
    replaceAddress(addressOf('keyboard', look));
    fillRoom().catch(tellFault);
  };
  choices.replaceChildren(...tuneChoices(look, list.json?.tunes ?? [], fill), ...turnsAndSizes(look, layout, fill));
  const cost = await costParts();
  tellCost(cost);
  root.replaceChildren(...[el('h1', {}, layout.title), cost, wide ? shownChoices(choices, true) : null, room,
    wide ? null : shownChoices(choices, false), instrumentPart(layout)]
    .filter((part) => part !== null));
  await fillRoom();
}
