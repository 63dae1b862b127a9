// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The order of learning as steps, each with what is new in it; what is ticked as known, the engine leaves out.

import { tuneAddress } from './address.js';
import { tellFault } from './asking.js';
import { calledOf } from './board.js';
import { button, el } from './dom.js';
import { askLayout, askLearn, keep, state } from './state.js';
import { tellBriefly } from './undo.js';
import { signs, words } from './words.js';

/** @typedef {import('./state.js').TunePlace} TunePlace */
/** @typedef {import('./state.js').Layout} Layout */
/** @typedef {import('./state.js').Place} Place */
/** @typedef {{button?: Place, chord?: string, press?: string, basses?: Place[], chords?: Place[], mm?: number,
 *            columns?: number, word: string, needed_by: number}} Thing */
/** @typedef {{new: Thing[], tunes: TunePlace[]}} Step */
/** @typedef {{steps: Step[], known: Thing[], known_tunes: TunePlace[], unplayable: TunePlace[],
 *            chordless: TunePlace[]}} Ladder */

/** @param {Thing} thing @param {Layout} layout */
function thingText(thing, layout) {
  if (thing.press) {
    return words.learn.standIn(signs(thing.press), signs(thing.chord ?? ''), thing.needed_by);
  }
  if (thing.button) {
    return words.learn.button(calledOf(layout, thing.button), thing.needed_by);
  }
  if (thing.mm) {
    const grip = [...thing.basses ?? [], ...thing.chords ?? []].map((place) => calledOf(layout, place)).join(' + ');
    return words.learn.stretch(grip, thing.mm, thing.needed_by);
  }
  return words.learn.move(thing.columns ?? 0, thing.needed_by);
}

/**
 * A box to tick, for something that one may know.
 * @param {'known' | 'knownTunes'} habit
 * @param {string} name as the engine calls it
 * @param {string} text
 * @param {() => void} redraw
 */
function tick(habit, name, text, redraw) {
  const box = /** @type {HTMLInputElement} */ (el('input', { type: 'checkbox', 'data-knows': name,
    'aria-label': words.learn.know(text) }));
  box.checked = state.habits[habit].includes(name);
  box.addEventListener('change', () => {
    const others = state.habits[habit].filter((other) => other !== name);
    state.habits[habit] = box.checked ? [...others, name] : others;
    keep();
    redraw();
    tellBriefly(box.checked ? words.learn.ticked(text) : words.learn.unticked(text));
  });
  return box;
}

/** @param {TunePlace} tune @param {() => void} redraw */
function tuneTick(tune, redraw) {
  return el('div', { class: 'tick' }, tick('knownTunes', `${tune.file}:${tune.line}`, tune.title, redraw),
    el('a', { href: tuneAddress(tune) }, tune.title));
}

/** @param {Thing} thing @param {Layout} layout @param {() => void} redraw */
function thingTick(thing, layout, redraw) {
  const text = thingText(thing, layout);
  return el('li', {}, el('label', { class: 'tick' }, tick('known', thing.word, text, redraw), text));
}

/** @param {Step} step @param {Layout} layout @param {() => void} redraw */
function stepItem(step, layout, redraw) {
  return el('li', { class: 'step' }, el('div', {}, ...step.tunes.map((tune) => tuneTick(tune, redraw))), step.new.length
    ? el('ul', { class: 'things' }, ...step.new.map((thing) => thingTick(thing, layout, redraw)))
    : el('p', { class: 'hint' }, words.learn.nothingNew));
}

/** @param {TunePlace[]} tunes @param {string} heading */
function leftOut(tunes, heading) {
  return tunes.length ? el('details', {}, el('summary', {}, heading), el('ul', { class: 'links' }, ...tunes.map((tune) =>
    el('li', {}, el('a', { href: tuneAddress(tune) }, tune.title))))) : null;
}

/** What was ticked, to be unticked. @param {Ladder} ladder @param {Layout} layout @param {() => void} redraw */
function knownParts({ known, known_tunes: tunes }, layout, redraw) {
  const ticked = known.filter((thing) => state.habits.known.includes(thing.word));
  if (!ticked.length && !tunes.length) {
    return null;
  }
  return el('section', { class: 'known' },
    tunes.length ? el('h2', {}, words.learn.knownTunes) : null, ...tunes.map((tune) => tuneTick(tune, redraw)),
    ticked.length ? el('h2', {}, words.learn.knownThings) : null,
    el('ul', { class: 'things' }, ...ticked.map((thing) => thingTick(thing, layout, redraw))),
    button({ class: 'press' }, () => {
      Object.assign(state.habits, { known: [], knownTunes: [] });
      keep();
      redraw();
    }, words.learn.forget));
}

/** @param {HTMLElement} root @param {Ladder} ladder @param {Layout} layout @param {() => void} redraw */
function drawLadder(root, ladder, layout, redraw) {
  const { steps } = ladder;
  const things = steps.reduce((sum, step) => sum + step.new.length, 0);
  const none = !steps.length && !ladder.known_tunes.length;
  root.replaceChildren(...[el('h1', {}, words.learn.heading), el('p', { class: 'screen-only' }, words.learn.hint),
    el('div', { class: 'row' }, button({ class: 'press' }, () => print(), words.learn.print)),
    el('p', { role: 'status' }, none ? words.learn.none : words.learn.left(steps.length, things)),
    el('ol', { class: 'steps' }, ...steps.map((step) => stepItem(step, layout, redraw))),
    knownParts(ladder, layout, redraw),
    leftOut(ladder.unplayable, words.learn.unplayable(ladder.unplayable.length)),
    leftOut(ladder.chordless, words.tunes.chordless(ladder.chordless.length)),
    el('p', { class: 'hint' }, words.answer.caution)].filter((part) => part !== null));
}

/** @param {HTMLElement} root */
export async function showLearn(root) {
  const layout = (await askLayout()).json;
  const draw = async () => {
    const { json, problems } = await askLearn();
    if (!json) {
      root.replaceChildren(el('h1', {}, words.learn.heading), ...problems.map((line) => el('p', {}, line)));
      return;
    }
    drawLadder(root, json, layout, () => {
      const at = boxesOf(root).findIndex((box) => box === document.activeElement);
      const next = () => boxesOf(root)[Math.max(at, 0)]?.focus({ preventScroll: true }); // what has moved up
      draw().then(next).catch(tellFault);
    });
  };
  await draw();
}

/** The boxes of the steps. @param {HTMLElement} root @returns {HTMLElement[]} */
function boxesOf(root) {
  return [...root.querySelectorAll('.steps [data-knows]')].map((box) => /** @type {HTMLElement} */ (box));
}
