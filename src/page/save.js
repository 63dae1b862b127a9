// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Files that the page writes: itself with what is in hand, a layout, a list.

import { el, tell } from './dom.js';
import { pack } from './state.js';
import { words } from './words.js';

/** The page as it was opened, before anything was shown on it. */
let pristine = '';

/** Remembers the page as it is; call it before anything else changes it. */
export function keepPristine() {
  const whole = document.documentElement.outerHTML.replace(/\s*<\/body>\s*<\/html>$/, '');
  pristine = `<!doctype html>\n${whole}\n</body>\n</html>\n`;
}

/**
 * Data as the text of a script element: no character of it ends the element.
 * @param {any} data
 */
export function asScriptText(data) {
  return JSON.stringify(data).replace(/[<>&\u2028\u2029]/g,
    (letter) => `\\u${letter.charCodeAt(0).toString(16).padStart(4, '0')}`);
}

/** The page with what is in hand inside; how its reader looks at a keyboard is theirs to choose. */
export function pageText() {
  const start = '<script type="application/json" id="given">';
  const data = pack();
  const from = pristine.indexOf(start) + start.length;
  const to = pristine.indexOf('<', from); // the data holds none
  const habits = { ...data.habits, turn: '', zoom: '' };
  return pristine.slice(0, from) + asScriptText({ ...data, habits, demo: false }) + pristine.slice(to);
}

/**
 * Has the browser save a file.
 * @param {string} name
 * @param {BlobPart} content
 * @param {string} type
 */
export function saveFile(name, content, type) {
  const address = URL.createObjectURL(new Blob([content], { type }));
  const link = el('a', { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
}

export function savePage() {
  saveFile('my-tunes.html', pageText(), 'text/html');
  tell(words.given.saved);
}
