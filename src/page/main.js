// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The frame: what is in hand at the top, the places, and the place one is in.

import { addressOf, cameFrom, comeFrom, whereAmI } from './address.js';
import { showAnswer } from './answer.js';
import { stopAsking, tellFault, watchAsking } from './asking.js';
import { showBuy } from './buy.js';
import { button, byId, el, sameElement, tell } from './dom.js';
import { fileChooser, showGiven, watchDrops } from './given.js';
import { showKeyboard } from './keyboard.js';
import { showLearn } from './learn.js';
import { keepPristine } from './save.js';
import { askLayout, askList, askOwnSize, backToMine, begin, keepTried, showInHand, state, yoursName } from './state.js';
import { showTune } from './tune.js';
import { showTunes } from './tunes.js';
import { tellStopped, watchShown } from './undo.js';
import { showWhich } from './which.js';
import { words } from './words.js';

const SHOW_WORK_AFTER_MS = 300;

/** @type {Record<string, (root: HTMLElement) => Promise<void>>} */
const views = { answer: showAnswer, tunes: showTunes, tune: showTune, given: showGiven, keyboard: showKeyboard,
  board: showWhich, learn: showLearn, buy: showBuy };

/** @param {string} now */
function showPlaces(now) {
  const places = byId('places');
  places.setAttribute('aria-label', words.placesName);
  places.replaceChildren(...Object.entries(words.places).map(([place, name]) =>
    el('a', { href: addressOf(place), class: 'place', 'aria-current': place === now ? 'page' : null }, name)));
}

async function showHead() {
  const [own, layout] = await Promise.all([askOwnSize(), askLayout()]);
  const n = own.json?.tunes ?? 0;
  const of = state.demo ? words.demoName : words.filesName(state.tunes.map((file) => file.name));
  const board = layout.json;
  byId('paper-head').textContent = `${words.inHand(n, of)} · ${boardWords(board)}`;
  byId('head').replaceChildren(
    el('a', { class: 'hand', href: addressOf('given') }, el('span', {}, words.inHand(n, of)),
      el('small', {}, ' ', words.change, el('span', { class: 'unseen' }, words.changeTunes))),
    el('a', { class: 'hand', href: addressOf('board') }, el('span', {}, boardWords(board)),
      el('small', {}, ' ', words.change, el('span', { class: 'unseen' }, words.changeBoard))));
}

/** What is tried in place of one's own keyboard, with the way back. */
async function showTrying() {
  const mine = state.mine ? (await askLayout(yoursName())).json?.layout ?? state.mine.board : '';
  const does = (/** @type {() => void} */ deed) => () => {
    deed();
    showInHand();
  };
  byId('trying').setAttribute('aria-label', words.trying.name);
  byId('trying').replaceChildren(...(state.mine ? [el('span', {}, words.trying.what(state.called)),
    button({ class: 'press' }, does(backToMine), words.trying.back(mine)),
    button({ class: 'press' }, does(keepTried), words.trying.keep)] : []));
}

/** @param {any} board */
function boardWords(board) {
  return board ? words.boardInHand(board.layout, board.columns.length, board.rows.length, state.dead.length) : state.board;
}

function demoLine() {
  return el('div', { class: 'demo' }, el('p', {}, words.demo.line), el('div', { class: 'row' },
    fileChooser(), el('a', { class: 'press', href: addressOf('given') }, words.demo.paste)));
}

/** Problems of reading, if there are any. */
async function problemLine() {
  const { problems, status } = await askList();
  return problems.length && status < 2 ? el('details', { class: 'problem-line' },
    el('summary', {}, words.problems.some(problems.length)), el('ul', { class: 'problems' },
      ...problems.map((line) => el('li', {}, line)))) : null;
}

/** The list from which a tune was opened, how far it was scrolled, and whether one is in that tune. */
const leftAt = { hash: '', scroll: 0, tune: false };

/** Remembers how far a list is scrolled, where a tune is opened from it. @param {string} place @param {boolean} moved */
function leave(place, moved) {
  if (moved && place === 'tune' && document.body.dataset.place !== 'tune') {
    Object.assign(leftAt, { hash: cameFrom(), scroll: scrollY });
  }
}

let first = true;
let showCount = 0; // how often something was to be shown

/** @param {Event} [event] that asks for it */
async function show(event) {
  const { place } = whereAmI();
  const main = byId('main');
  const root = el('div', { class: `view view-${place}` });
  const turn = ++showCount;
  const moved = event?.type === 'hashchange';
  showPlaces({ tune: 'tunes', board: 'keyboard', given: '' }[place] ?? place);
  main.classList.add('busy');
  try {
    await Promise.all([showHead(), showTrying(), (views[place] ?? showAnswer)(root)]);
  } catch (error) {
    tellFault(error);
    return;
  } finally {
    main.classList.toggle('busy', turn !== showCount);
  }
  if (turn !== showCount) {
    return; // something else is to be shown by now
  }
  tell('');
  leave(place, moved);
  document.body.dataset.place = place;
  document.body.classList.toggle('at-stand', place === 'tune' && document.body.classList.contains('at-stand'));
  if (place !== 'tune') {
    comeFrom();
  }
  document.title = `rowcall: ${root.querySelector('h1')?.textContent ?? ''}`;
  const focused = main.contains(document.activeElement) ? document.activeElement : null;
  main.replaceChildren(...[state.demo && place === 'answer' ? demoLine() : null, root].filter((it) => it !== null));
  dispatchEvent(new Event('shown'));
  if (focused && !moved) {
    (sameElement(main, focused) ?? main).focus({ preventScroll: true });
  }
  if (!first && moved) {
    scrollTo(0, leftAt.hash === location.hash && leftAt.tune ? leftAt.scroll : 0);
    leftAt.tune = place === 'tune';
    const heading = root.querySelector('h1');
    heading?.setAttribute('tabindex', '-1');
    (heading ?? main).focus({ preventScroll: true });
  }
  first = false;
  const problems = await problemLine();
  if (problems && root.isConnected) {
    main.append(problems);
  }
  document.body.dataset.ready = place;
}

/** Says that the engine works, where that takes a while, and lets one stop it. */
function watchWork() {
  let timer = 0;
  watchAsking((busy) => {
    clearTimeout(timer);
    const told = byId('told');
    if (!busy) {
      told.querySelector('.working')?.remove();
      return;
    }
    timer = setTimeout(() => {
      told.replaceChildren(el('div', { class: 'working' }, el('progress', { 'aria-label': words.working }), words.working,
        button({ class: 'press' }, () => {
          stopAsking();
          tellStopped();
        }, words.stop)));
    }, SHOW_WORK_AFTER_MS);
  });
}

history.scrollRestoration = 'manual';
keepPristine();
begin();
watchWork();
watchDrops();
watchShown();
addEventListener('hashchange', show);
addEventListener('inhand', show);
show();
