// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The first place: one sentence, three figures, what to do, the sizes.

import { addressOf, tuneAddress } from './address.js';
import { tellFault } from './asking.js';
import { button, el, svg } from './dom.js';
import { askLearn, askList, askOwnSize, askSizes, largerThan, showInHand, state, tryBoard } from './state.js';
import { signs, words } from './words.js';

/** @typedef {import('./state.js').Counts} Counts */
/** @typedef {import('./state.js').Size} Size */
/** @typedef {import('./state.js').Listed} Listed */

const GRADES = ['A', 'B', 'C', 'D', 'E'];

/** What shares are counted in: quarter notes, or chords where none has a length.
 * @param {{chords: Counts, quarters: Counts}} answer */
function countsOf({ chords, quarters }) {
  return quarters.total ? quarters : chords;
}

/** Of it, what stand-ins of an accepted grade hold. @param {Counts} counts */
function standing(counts) {
  const accepted = GRADES.slice(0, GRADES.indexOf(state.habits.accept) + 1);
  return accepted.reduce((sum, grade) => sum + counts[grade], 0);
}

/** @param {Counts} counts */
function readable(counts) {
  return counts.total - counts.unread;
}

/**
 * A share in whole percent, never rounded up to all or down to nothing.
 * @param {number} part
 * @param {number} whole
 */
export function percent(part, whole) {
  if (!whole) {
    return 0;
  }
  const rounded = Math.round((100 * part) / whole);
  return part < whole ? Math.min(rounded, 99) : rounded;
}

/** The share of what could be read that is carried. @param {{chords: Counts, quarters: Counts}} answer */
export function carriedPercent(answer) {
  const counts = countsOf(answer);
  return percent(counts.native + standing(counts), readable(counts));
}

/** @param {string} figure @param {string} caption @param {string} [address] */
function figure(figure, caption, address) {
  const inner = [el('strong', {}, figure), el('span', {}, caption)];
  return address ? el('a', { class: 'figure-box', href: address }, ...inner) : el('div', { class: 'figure-box' }, ...inner);
}

/** @param {Size} own @param {Size[]} sizes */
function figures(own, sizes) {
  const most = Math.max(...sizes.map((size) => size.tunes.playable));
  const smallest = most ? sizes.find((size) => size.tunes.playable === most) : null;
  return el('div', { class: 'figures' },
    readable(own.chords) ? figure(`${carriedPercent(own)}\u00a0%`, words.answer.share(own.quarters.total > 0))
      : figure('–', words.answer.unread),
    figure(String(own.tunes.playable), words.answer.played(own.tunes.total), addressOf('tunes', { show: 'plays' })),
    smallest ? figure(smallest.layout, words.answer.smallest(most, own.tunes.total), addressOf('buy'))
      : figure('–', words.answer.noSmallest));
}

/** What the parts of a size's bar mean. */
function sizesLegend() {
  return [...Object.entries(words.answer.sizeParts).flatMap(([part, text]) =>
    [el('span', { class: `swatch ${part}`, 'aria-hidden': 'true' }), ` ${text} `]), words.answer.sizesHint];
}

/** @param {Size} size @param {number} index @param {string} own */
function sizeRow(size, index, own) {
  const counts = countsOf(size);
  const native = percent(counts.native, readable(counts));
  const stand = carriedPercent(size) - native;
  const bar = svg('svg', { class: 'bar', viewBox: '0 0 100 10', preserveAspectRatio: 'none', 'aria-hidden': 'true' },
    svg('rect', { class: 'bar-open', x: 0, y: 0, width: 100, height: 10 }),
    svg('rect', { class: 'bar-native', x: 0, y: 0, width: native, height: 10 }),
    svg('rect', { class: 'bar-stand', x: native, y: 0, width: stand, height: 10 }));
  const mine = size.layout === own;
  return button({ class: mine ? 'size mine' : 'size', 'aria-pressed': String(mine), 'data-index': index }, () => {
    tryBoard(size.layout);
    showInHand();
  }, el('span', { class: 'size-name' }, size.layout),
  el('span', {}, bar, el('span', { class: 'unseen' }, words.answer.sizeBar(native, stand, size.quarters.total > 0))),
  el('span', {}, el('span', { class: 'size-count' }, size.tunes.playable),
    el('span', { class: 'unseen' }, words.answer.sizeTry(size.tunes.total))));
}

/** Stand-ins by how many tunes need them. @param {any} learn */
function standIns(learn) {
  const things = learn.steps.flatMap((/** @type {any} */ step) => step.new.filter((/** @type {any} */ it) => it.press)
    .map((/** @type {any} */ it) => ({ ...it, tune: step.tunes[0] })));
  return things.sort((/** @type {any} */ a, /** @type {any} */ b) => b.needed_by - a.needed_by);
}

/** @param {Listed[]} tunes @param {Size[]} sizes @param {Size} own */
function deeds(tunes, sizes, own) {
  const items = [];
  const moved = tunes.filter((tune) => tune.verdict !== 'plays' && tune.move);
  if (moved.length) {
    const { called } = /** @type {{called: string}} */ (moved[0].move);
    const key = /** @type {{key: string}} */ (moved[0].move).key;
    items.push(el('li', {}, el('a', { href: tuneAddress(moved[0], { key }) },
      words.answer.move(moved.length, moved[0].title, called))));
  }
  const larger = largerThan(sizes, own.tunes.playable);
  if (larger) {
    items.push(el('li', {}, el('a', { href: addressOf('buy') },
      words.answer.larger(larger.layout, larger.tunes.playable - own.tunes.playable))));
  }
  return items;
}

/** The first stand-in to learn, which takes longer to find. @param {HTMLElement} list */
async function addLearning(list) {
  const { json } = await askLearn(true);
  const [first] = json ? standIns(json) : [];
  if (first) {
    list.prepend(el('li', {}, el('a', { href: tuneAddress(first.tune, { chord: first.chord }) },
      words.answer.learn(signs(first.chord), signs(first.press), first.needed_by))));
  }
  if (!list.children.length) {
    list.append(el('li', {}, words.answer.nothingToDo));
  }
}

/** @param {HTMLElement} root */
export async function showAnswer(root) {
  const [list, own, sizes] = await Promise.all([askList(), askOwnSize(), askSizes()]);
  if (!own.json) {
    root.replaceChildren(el('h1', {}, words.problems.nothingRead), el('p', {}, words.problems.whatToDo),
      el('ul', { class: 'problems' }, ...own.problems.map((line) => el('li', {}, line))));
    return;
  }
  /** @type {Size} */
  const mine = own.json.layouts[0];
  /** @type {Size[]} */
  const all = sizes.json.layouts;
  const plain = !state.own && !state.dead.length;
  const usual = plain ? all.find((size) => size.layout === mine.layout) : undefined;
  const { playable, total, one_short: short } = mine.tunes;
  const todo = el('ol', { class: 'deeds' }, ...deeds(list.json?.tunes ?? [], all, mine));
  root.replaceChildren(
    el('h1', { class: 'sentence' }, total
      ? words.answer.sentence(mine.layout, !state.mine, playable, total) : words.answer.none),
    short ? el('p', {}, el('a', { href: addressOf('tunes', { show: 'short' }) }, words.answer.short(short))) : el('p'),
    figures(mine, all),
    el('section', {}, el('h2', {}, words.answer.whatToDo), todo, el('p', { class: 'hint' }, words.answer.caution)),
    el('section', {}, el('h2', {}, words.answer.sizes), el('p', { class: 'hint' }, ...sizesLegend()),
      el('div', { class: 'sizes' }, ...(usual || !plain ? all : [...all, mine]).map((size, index) =>
        sizeRow(size, index, plain ? mine.layout : '')))));
  addLearning(todo).catch(tellFault);
}
