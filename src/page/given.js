// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The tunes in hand: dropped, chosen, pasted or typed; taken out; remembered; saved as a page.

import { tellFault } from './asking.js';
import { button, byId, el, tell } from './dom.js';
import { savePage } from './save.js';
import { begin, bytesOf, changed, demoGiven, isInHand, OFFERS, setRemember, showInHand, showInHandAt, state, takeDemo,
  takeTunes, textOf, tryLayout } from './state.js';
import { doWithUndo } from './undo.js';
import { words } from './words.js';

/** @typedef {import('./state.js').GivenFile} GivenFile */

/** Files from a list of files. @param {Iterable<File>} files @returns {Promise<GivenFile[]>} */
export async function readFiles(files) {
  const read = [...files].map(async (file) => ({ name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) }));
  return Promise.all(read);
}

/** All files of a dropped folder. @param {FileSystemEntry} entry @returns {Promise<File[]>} */
function filesWithin(entry) {
  return new Promise((resolve) => {
    if (entry.isFile) {
      /** @type {FileSystemFileEntry} */ (entry).file((file) => resolve([file]), () => resolve([]));
      return;
    }
    const reader = /** @type {FileSystemDirectoryEntry} */ (entry).createReader();
    /** @type {File[]} */
    const found = [];
    const more = () => reader.readEntries(async (entries) => {
      if (!entries.length) {
        resolve(found);
        return;
      }
      found.push(...(await Promise.all(entries.map(filesWithin))).flat());
      more();
    }, () => resolve(found));
    more();
  });
}

/** What was dropped, folders opened. @param {DataTransfer} transfer */
export async function readDropped(transfer) {
  const entries = [...transfer.items].map((item) => item.webkitGetAsEntry?.()).filter((entry) => entry);
  const files = entries.length
    ? (await Promise.all(entries.map((entry) => filesWithin(/** @type {FileSystemEntry} */ (entry))))).flat()
    : [...transfer.files];
  const given = await readFiles(files);
  const text = transfer.getData('text/plain');
  return given.length || !text ? given : [pastedFile(text)];
}

/**
 * What kind of tune a pasted text is: the engine tells formats by the file's ending.
 * @param {string} text
 * @param {string} [title]
 * @returns {GivenFile}
 */
export function pastedFile(text, title = words.given.usual) {
  const file = (/** @type {string} */ ending, whole = text) =>
    ({ name: `${title.replace(/[^\p{L}\p{N} ]/gu, '') || 'tune'}${ending}`, bytes: bytesOf(whole) });
  if (/^X:\s*\d/m.test(text)) {
    return file('.abc');
  }
  if (/<score-(partwise|timewise)/.test(text)) {
    return file('.musicxml');
  }
  if (/^\s*(title|parts|order)\s*:/m.test(text)) {
    return file('.yaml');
  }
  if (/\{\s*(t|title|key|soc|start_of)/.test(text) || /\[[A-H][^\]\s]*\]\S/.test(text)) {
    return file('.cho');
  }
  if (/\n/.test(text.trim()) && !/\|/.test(text)) {
    return file('.txt');
  }
  return file('.yaml', typedTune(text, title));
}

/** Chords as typed, one part of a tune. @param {string} text @param {string} title */
function typedTune(text, title) {
  const bars = text.includes('|') ? text : text.trim().split(/\s+/).join(' | ');
  return `title: ${JSON.stringify(title)}\nparts:\n  A: ${JSON.stringify(bars.replace(/\s+/g, ' ').trim())}\n`;
}

/** What a file is for, by the keys that only such files have. @param {GivenFile} file */
function kindOf(file) {
  const text = file.bytes.length < 1 << 20 ? textOf(file.bytes) : '';
  if (/^offers:/m.test(text)) {
    return 'offers';
  }
  return /^columns:/m.test(text) && /^rows:/m.test(text) ? 'layout' : 'tunes';
}

/** Takes a layout file and shows its keyboard, or says what is wrong with it. @param {string} text */
export async function takeLayoutFile(text) {
  const problems = await tryLayout(text);
  if (problems.length) {
    tell(`${words.keyboard.unreadable} ${problems.join(' ')}`);
    return;
  }
  showInHandAt('#keyboard');
}

/** Adds files to what is in hand, or takes them in its place. @param {GivenFile[]} files @param {boolean} [replace] */
export function takeAndShow(files, replace = false) {
  const tunes = files.filter((file) => kindOf(file) === 'tunes');
  const layout = files.find((file) => kindOf(file) === 'layout');
  const offers = files.find((file) => kindOf(file) === 'offers');
  const fresh = replace ? tunes : tunes.filter((file) => !isInHand(file));
  const known = tunes.length - fresh.length;
  const names = [...fresh, ...(offers ? [offers] : [])].map((file) => file.name);
  if (names.length || known) {
    doWithUndo(words.given.taken(names, known, fresh.length > 0 && state.demo, replace), () => {
      if (offers) {
        state.offers = { name: OFFERS, bytes: offers.bytes };
        changed();
      }
      if (fresh.length) {
        takeTunes(fresh, replace);
      }
    });
  }
  if (layout) {
    takeLayoutFile(textOf(layout.bytes)).catch(tellFault);
  } else if (files.length) {
    showInHandAt(tunes.length ? '#answer' : '#buy');
  }
}

/** A button that lets one choose files. @param {() => boolean} [replace] */
export function fileChooser(replace = () => false) {
  const input = el('input', { type: 'file', multiple: true, class: 'unseen', 'aria-label': words.given.choose, on: {
    change: async (/** @type {Event} */ event) => {
      takeAndShow(await readFiles(/** @type {HTMLInputElement} */ (event.target).files ?? []), replace());
    },
  } });
  return el('label', { class: 'press primary' }, input, words.given.choose);
}

/** @param {() => boolean} replace */
function pasteForm(replace) {
  const title = el('input', { type: 'text', value: words.given.usual, id: 'paste-title' });
  const text = el('textarea', { id: 'paste-text', rows: 6, placeholder: words.given.pasteHint, spellcheck: 'false' });
  const take = () => {
    const whole = /** @type {HTMLTextAreaElement} */ (text).value;
    if (whole.trim()) {
      takeAndShow([pastedFile(whole, /** @type {HTMLInputElement} */ (title).value)], replace());
    }
  };
  return el('section', {}, el('h2', {}, words.given.paste),
    el('label', { for: 'paste-title' }, words.given.pasteName), title,
    el('label', { for: 'paste-text', class: 'unseen' }, words.given.paste), text,
    button({ class: 'press' }, take, words.given.take));
}

function filesInHand() {
  return el('section', {}, el('h2', {}, words.given.now), el('ul', { class: 'files' }, ...state.tunes.map((file) =>
    el('li', {}, el('span', {}, file.name), button({ class: 'press' },
      () => {
        doWithUndo(words.given.removed(file.name), () => {
          state.tunes = state.tunes.filter((other) => other !== file);
          state.demo = false;
          if (state.tunes.length) {
            changed();
          } else {
            begin();
          }
        });
        showInHand();
      }, words.given.remove, el('span', { class: 'unseen' }, file.name))))));
}

/** The way back to the made-up club, where the page came with it. */
function demoAgain() {
  return !state.demo && demoGiven() ? button({ class: 'press' }, () => {
    doWithUndo(words.given.backSaid, takeDemo);
    showInHand();
  }, words.given.back) : '';
}

function rememberChoice() {
  const box = /** @type {HTMLInputElement} */ (el('input', { type: 'checkbox' }));
  const said = el('p', { class: 'hint' }, words.given.rememberHint);
  box.checked = state.remember;
  box.addEventListener('change', () => {
    said.textContent = setRemember(box.checked) ? words.given.rememberHint : words.given.cannotRemember;
  });
  return el('div', {}, el('label', { class: 'tick' }, box, words.given.remember), said);
}

/** @param {HTMLElement} root */
export async function showGiven(root) {
  const box = /** @type {HTMLInputElement} */ (el('input', { type: 'checkbox' }));
  const replace = () => box.checked;
  root.replaceChildren(el('h1', {}, words.given.heading),
    el('div', { class: 'drop' }, el('p', {}, words.given.drop), fileChooser(replace),
      el('p', { class: 'hint' }, state.demo ? words.given.replacesDemo : words.given.adds),
      state.demo ? '' : el('label', { class: 'tick' }, box, words.given.replace)),
    el('p', { class: 'hint' }, words.given.local), pasteForm(replace), filesInHand(), demoAgain(),
    el('section', {}, el('h2', {}, words.given.saveHeading), button({ class: 'press' }, savePage, words.given.save),
      el('p', { class: 'hint' }, words.given.saveHint), rememberChoice()),
    el('details', {}, el('summary', {}, words.given.notices), el('pre', { tabindex: '0' }, byId('notices').textContent)));
}

/** Takes what is dropped anywhere on the page. */
export function watchDrops() {
  const over = (/** @type {boolean} */ is) => byId('main').classList.toggle('dropping', is);
  addEventListener('dragover', (event) => {
    event.preventDefault();
    over(true);
  });
  addEventListener('dragleave', () => over(false));
  addEventListener('drop', async (event) => {
    event.preventDefault();
    over(false);
    if (event.dataTransfer) {
      takeAndShow(await readDropped(event.dataTransfer));
    }
  });
  addEventListener('paste', (event) => {
    const into = /** @type {Element} */ (event.target).closest('input, textarea');
    const text = event.clipboardData?.getData('text/plain') ?? '';
    if (!into && text.trim()) {
      takeAndShow([pastedFile(text)]);
    }
  });
}
