// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The list of tunes: found, filtered, sorted; only the rows in sight are made.

import { addressOf, replaceAddress, tuneAddress, whereAmI } from './address.js';
import { percent } from './answer.js';
import { button, el } from './dom.js';
import { askAgainst, askList, askOwnSize, askSizes, largerThan } from './state.js';
import { signs, words } from './words.js';

/** @typedef {import('./state.js').Listed} Listed */
/** @typedef {{show: string, lack: string, find: string, sort: string}} Choice */
/** @typedef {{show: string, lack: string, name: string, n: number}} Chip */

const SPARE = 8; // rows made beyond those in sight
const LACKS_SHOWN = 3; // chips of chords lacking
const NAMED = 3; // chords named in a row

/** @type {Record<string, string>} */
const shows = { plays: 'plays', short: 'one short', not: 'does not', unread: 'unread' };

/** The chord by which tunes are filtered, as the first of them writes it. @param {Listed} tune @param {string} chord */
function lacksChord(tune, chord) {
  return tune.lacks.some((lack) => lack.chord === chord);
}

/** @param {Listed} tune @param {Choice} choice @param {Set<string>} gained */
function isShown(tune, choice, gained) {
  const show = choice.show === 'gained' ? gained.has(placeKey(tune)) : !choice.show || tune.verdict === shows[choice.show];
  return show && (!choice.lack || lacksChord(tune, choice.lack)) &&
    tune.title.toLocaleLowerCase().includes(choice.find.toLocaleLowerCase());
}

/** @param {{file: string, line: number}} tune */
function placeKey(tune) {
  return `${tune.file}:${tune.line}`;
}

/** @param {Listed[]} tunes @param {string} sort */
function sorted(tunes, sort) {
  const list = [...tunes];
  if (sort === 'title') {
    list.sort((a, b) => a.title.localeCompare(b.title, 'en'));
  } else if (sort === 'time') {
    list.sort((a, b) => a.carried * b.quarters - b.carried * a.quarters);
  }
  return list;
}

/** @param {Listed[]} tunes @param {Set<string>} gained @param {string} larger @returns {Chip[]} */
function chipsOf(tunes, gained, larger) {
  /** @type {Map<string, number>} */
  const lacks = new Map();
  for (const tune of tunes) {
    for (const chord of new Set(tune.lacks.filter((lack) => lack.grade !== 'unread').map((lack) => lack.chord))) {
      lacks.set(chord, (lacks.get(chord) ?? 0) + 1);
    }
  }
  const most = [...lacks].sort((a, b) => b[1] - a[1]).slice(0, LACKS_SHOWN);
  const counted = (/** @type {string} */ verdict) => tunes.filter((tune) => tune.verdict === verdict).length;
  return [
    { show: '', lack: '', name: words.tunes.all, n: tunes.length },
    ...Object.entries(shows).map(([show, verdict]) => ({ show, lack: '',
      name: /** @type {Record<string, string>} */ (/** @type {any} */ (words.tunes))[show], n: counted(verdict) }))
      .filter((chip) => chip.n || chip.show !== 'unread'),
    ...most.map(([chord, n]) => ({ show: '', lack: chord, name: words.tunes.lacks(signs(chord)), n })),
    ...(gained.size ? [{ show: 'gained', lack: '', name: words.tunes.gained(larger), n: gained.size }] : []),
  ];
}

/** What a tune lacks, in words. @param {Listed} tune */
function lackText(tune) {
  const named = tune.lacks.slice(0, NAMED).map((lack) => words.tunes.lackAt(signs(lack.chord), lack.times, lack.bar));
  const left = tune.lacks.length - named.length;
  return words.tunes.lacking(named.join('; ') + (left ? `; ${words.tunes.more(left)}` : ''));
}

/** @param {Listed} tune */
function keyText(tune) {
  return !tune.key || tune.key_source === 'none' ? words.tunes.noKey
    : tune.key_source === 'assumed' ? words.tunes.assumed(signs(tune.key)) : signs(tune.key);
}

/** @param {Listed} tune @param {number} top */
function tuneRow(tune, top) {
  const share = percent(tune.carried, tune.quarters);
  const says = tune.verdict === 'plays' ? words.fares.plays : lackText(tune);
  return el('li', { class: `tune-row fares-${tune.verdict.replace(/ /g, '-')}`, vars: { top: `${top}px` } },
    el('a', { href: tuneAddress(tune) }, el('span', { class: 'tune-title' }, tune.title),
      el('span', { class: 'tune-key' }, keyText(tune)),
      !tune.quarters ? el('span', {}) : el('span', { class: 'tune-bar', vars: { share: share / 100 },
        title: words.tunes.carried(share) },
        el('span', { class: 'unseen' }, words.tunes.carried(share))),
      el('span', { class: 'tune-says' }, says)));
}

/** Of a row, in px. */
function rowHeight() {
  const style = getComputedStyle(document.documentElement);
  return parseFloat(style.getPropertyValue('--row')) * parseFloat(style.fontSize);
}

/** The rows in sight. @param {HTMLElement} list @param {Listed[]} tunes */
function fillWindow(list, tunes) {
  const height = rowHeight();
  const box = list.getBoundingClientRect();
  const from = Math.max(0, Math.floor(-box.top / height) - SPARE);
  const to = Math.min(tunes.length, Math.ceil((innerHeight - box.top) / height) + SPARE);
  if (list.dataset.from === String(from) && list.dataset.to === String(to)) {
    return;
  }
  const focused = document.activeElement?.getAttribute('href');
  list.dataset.from = String(from);
  list.dataset.to = String(to);
  list.replaceChildren(...tunes.slice(from, to).map((tune, i) => {
    const row = tuneRow(tune, (from + i) * height);
    row.setAttribute('aria-setsize', String(tunes.length));
    row.setAttribute('aria-posinset', String(from + i + 1));
    return row;
  }));
  if (focused) {
    const same = [...list.querySelectorAll('a')].find((link) => link.getAttribute('href') === focused);
    same?.focus({ preventScroll: true });
  }
}

/** @returns {Promise<{gained: Set<string>, larger: string}>} */
async function findGained() {
  const [sizes, own] = await Promise.all([askSizes(), askOwnSize()]);
  const larger = largerThan(sizes.json?.layouts ?? [], own.json?.layouts[0].tunes.playable)?.layout;
  if (!larger) {
    return { gained: new Set(), larger: '' };
  }
  const against = (await askAgainst(larger)).json?.tunes ?? [];
  const gained = against.filter((/** @type {Listed} */ tune) => tune.verdict !== 'plays' &&
    tune.against?.verdict === 'plays');
  return { gained: new Set(gained.map(placeKey)), larger };
}

/** @param {HTMLElement} root */
export async function showTunes(root) {
  const [{ json }, { gained, larger }] = await Promise.all([askList(), findGained()]);
  /** @type {Listed[]} */
  const tunes = json?.tunes ?? [];
  const { more } = whereAmI();
  const choice = { show: more.get('show') ?? '', lack: more.get('lack') ?? '', find: more.get('find') ?? '',
    sort: more.get('sort') ?? '' };
  const list = el('ul', { class: 'tune-list' });
  const shown = el('p', { class: 'hint', role: 'status' });
  const chips = el('div', { class: 'chips', role: 'group', 'aria-label': words.tunes.filters });
  /** @type {Listed[]} */
  let rows = [];
  const redraw = () => {
    rows = sorted(tunes.filter((tune) => isShown(tune, choice, gained)), choice.sort);
    list.style.setProperty('--rows', String(rows.length));
    delete list.dataset.from;
    fillWindow(list, rows);
    shown.textContent = rows.length ? words.tunes.shown(rows.length, tunes.length) : words.tunes.none;
    for (const chip of chips.children) {
      chip.setAttribute('aria-pressed', String(chip.getAttribute('data-show') === choice.show &&
        chip.getAttribute('data-lack') === choice.lack));
    }
    replaceAddress(addressOf('tunes', choice));
  };
  const known = chipsOf(tunes, gained, larger);
  if (choice.lack && !known.some((chip) => chip.lack === choice.lack)) {
    known.push({ show: '', lack: choice.lack, name: words.tunes.lacks(signs(choice.lack)),
      n: tunes.filter((tune) => lacksChord(tune, choice.lack)).length });
  }
  chips.append(...known.map(({ show, lack, name, n }) => button({ class: 'chip', 'data-show': show, 'data-lack': lack },
    () => {
      Object.assign(choice, { show, lack });
      redraw();
    }, name, ' ', el('b', {}, n))));
  const find = el('input', { type: 'search', value: choice.find, 'aria-label': words.tunes.search,
    placeholder: words.tunes.search, on: { input: (/** @type {Event} */ event) => {
      choice.find = /** @type {HTMLInputElement} */ (event.target).value;
      redraw();
    } } });
  const sort = el('select', { on: { change: (/** @type {Event} */ event) => {
    choice.sort = /** @type {HTMLSelectElement} */ (event.target).value;
    redraw();
  } } }, ...Object.entries(words.tunes.sorts).map(([value, text]) =>
    el('option', { value: value === 'worst' ? '' : value, selected: value === choice.sort }, text)));
  root.replaceChildren(el('h1', {}, words.tunes.heading), el('div', { class: 'find' }, find,
    el('label', { class: 'choice' }, words.tunes.sort, sort)), chips, shown, list,
  json?.chordless?.length ? el('details', {}, el('summary', {}, words.tunes.chordless(json.chordless.length)),
    el('ul', {}, ...json.chordless.map((/** @type {Listed} */ tune) => el('li', {}, tune.title)))) : '');
  redraw();
  const follow = () => list.isConnected ? fillWindow(list, rows) : removeEventListener('scroll', follow);
  addEventListener('scroll', follow, { passive: true });
  addEventListener('resize', follow);
}
