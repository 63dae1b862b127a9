// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What was just done to what is in hand: said, with a way to undo it.

import { button, tell } from './dom.js';
import { changed, showInHand, state } from './state.js';
import { words } from './words.js';

const BRIEFLY_MS = 8000; // what is said without a deed to be undone, since it may lie over something

/** @type {{text: string, undo: (() => void) | null} | null} what is to be said and is not yet */
let pending = null;
let timer = 0;

/** Says something for a while. @param {string} text */
export function tellBriefly(text) {
  clearTimeout(timer);
  tell(text);
  timer = setTimeout(() => tell(''), BRIEFLY_MS);
}

/** @param {string} text */
function tellPending(text) {
  if (pending?.undo) {
    clearTimeout(timer);
    tell(text, button({ class: 'press' }, pending.undo, words.undo));
  } else {
    tellBriefly(text);
  }
  pending = null;
}

/**
 * Does something to what is in hand; once that is shown it is said, and can be undone.
 * @param {string} text what is said
 * @param {() => void} does
 */
export function doWithUndo(text, does) {
  const before = { ...state };
  does();
  pending = { text, undo: () => {
    const { habits, options, remember } = state; // which nothing here changes
    Object.assign(state, before, { habits, options, remember });
    changed();
    showInHand();
  } };
}

/** Says something once what changed is shown, after what was done. @param {string} text */
export function sayOnceShown(text) {
  pending = { text: [pending?.text, text].filter((part) => part).join(' '), undo: pending?.undo ?? null };
}

/** Says that the engine was stopped; what it was to answer for can be undone. */
export function tellStopped() {
  tellPending(words.stopped);
}

/** Says, whenever something is shown, what was done before. */
export function watchShown() {
  addEventListener('shown', () => pending && tellPending(pending.text));
}
