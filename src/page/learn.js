// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The order of learning as steps, each with what is new in it.

import { tuneAddress } from './address.js';
import { button, el } from './dom.js';
import { askLayout, askLearn, keep, state } from './state.js';
import { buttonKey } from './board.js';
import { signs, words } from './words.js';

/** @typedef {import('./state.js').TunePlace} TunePlace */
/** @typedef {import('./state.js').Layout} Layout */
/** @typedef {{button?: import('./state.js').Place, chord?: string, press?: string, columns?: number,
 *            needed_by: number}} Thing */
/** @typedef {{new: Thing[], tunes: TunePlace[]}} Step */

/** @param {TunePlace} tune */
function tunePlace(tune) {
  return `${tune.file}:${tune.line}`;
}

/** @param {Thing} thing @param {Layout} layout */
function thingText(thing, layout) {
  if (thing.press) {
    return words.learn.standIn(signs(thing.press), signs(thing.chord ?? ''), thing.needed_by);
  }
  if (thing.button) {
    const key = buttonKey(thing.button);
    const sound = layout.sounds.find((one) => buttonKey(one) === key);
    return words.learn.button(signs(sound?.called ?? key), thing.needed_by);
  }
  return words.learn.move(thing.columns ?? 0, thing.needed_by);
}

/** @param {Step} step */
function isKnown(step) {
  return step.tunes.every((tune) => state.habits.known.includes(tunePlace(tune)));
}

/** @param {TunePlace} tune @param {() => void} redraw */
function tuneTick(tune, redraw) {
  const box = /** @type {HTMLInputElement} */ (el('input', { type: 'checkbox',
    'aria-label': words.learn.know(tune.title) }));
  box.checked = state.habits.known.includes(tunePlace(tune));
  box.addEventListener('change', () => {
    const others = state.habits.known.filter((place) => place !== tunePlace(tune));
    state.habits.known = box.checked ? [...others, tunePlace(tune)] : others;
    keep();
    redraw();
  });
  return el('div', { class: 'tick' }, box, el('a', { href: tuneAddress(tune) }, tune.title));
}

/** @param {Step} step @param {Layout} layout @param {() => void} redraw */
function stepItem(step, layout, redraw) {
  const things = step.new.map((thing) => el('li', {}, thingText(thing, layout)));
  return el('li', { class: 'step' }, el('div', {}, ...step.tunes.map((tune) => tuneTick(tune, redraw))),
    things.length ? el('ul', { class: 'things' }, ...things) : el('p', { class: 'hint' }, words.learn.nothingNew));
}

/** @param {TunePlace[]} tunes @param {string} heading */
function leftOut(tunes, heading) {
  return tunes.length ? el('details', {}, el('summary', {}, heading), el('ul', {}, ...tunes.map((tune) =>
    el('li', {}, el('a', { href: tuneAddress(tune) }, tune.title))))) : null;
}

/** @param {HTMLElement} root */
export async function showLearn(root) {
  const [{ json, problems }, layout] = await Promise.all([askLearn(), askLayout()]);
  if (!json) {
    root.replaceChildren(el('h1', {}, words.learn.heading), ...problems.map((line) => el('p', {}, line)));
    return;
  }
  const draw = () => {
    /** @type {Step[]} */
    const steps = json.steps;
    const left = steps.filter((step) => !isKnown(step));
    const known = steps.filter(isKnown);
    root.replaceChildren(...[el('h1', {}, words.learn.heading), el('p', {}, words.learn.hint),
      el('div', { class: 'row' }, button({ class: 'press' }, () => print(), words.learn.print)),
      left.length ? el('ol', { class: 'steps' }, ...left.map((step) => stepItem(step, layout.json, draw)))
        : el('p', {}, steps.length ? words.learn.allKnown : words.learn.none),
      known.length ? el('details', {}, el('summary', {}, words.learn.known(known.length)),
        el('ul', { class: 'steps' }, ...known.map((step) => stepItem(step, layout.json, draw)))) : null,
      leftOut(json.unplayable, words.learn.unplayable(json.unplayable.length)),
      leftOut(json.chordless, words.tunes.chordless(json.chordless.length)),
      el('p', { class: 'hint' }, words.answer.caution)].filter((part) => part !== null));
  };
  draw();
}
