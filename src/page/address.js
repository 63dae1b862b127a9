// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Where one is, in the page's address: `#tunes?lack=B7`, `#tune=waltzes.yaml:12&key=G`.

/** @typedef {{place: string, tune: {file: string, line: number} | null, more: URLSearchParams}} Where */

const PLACES = ['answer', 'tunes', 'keyboard', 'learn', 'buy', 'given', 'board'];

/** @returns {Where} */
export function whereAmI() {
  const hash = location.hash.slice(1);
  const [place, query = ''] = hash.split('?');
  if (hash.startsWith('tune=')) {
    const more = new URLSearchParams(hash);
    const [, file = '', line = '0'] = /^(.*):(\d+)$/.exec(more.get('tune') ?? '') ?? [];
    return { place: 'tune', tune: { file, line: Number(line) }, more };
  }
  return { place: PLACES.includes(place) ? place : 'answer', tune: null, more: new URLSearchParams(query) };
}

/**
 * The address of a place.
 * @param {string} place
 * @param {Record<string, string>} [more]
 */
export function addressOf(place, more = {}) {
  const query = new URLSearchParams(Object.entries(more).filter(([, value]) => value)).toString();
  return `#${place}${query ? `?${query}` : ''}`;
}

/**
 * The address of a tune.
 * @param {{file: string, line: number}} tune
 * @param {Record<string, string>} [more]
 */
export function tuneAddress(tune, more = {}) {
  return `#${new URLSearchParams({ tune: `${tune.file}:${tune.line}`, ...more })}`;
}

let before = '';

/** Remembers where one is, to be closed back to. */
export function comeFrom() {
  before = location.hash;
}

/** The place one was at before a tune was opened; empty where it was opened first. */
export function cameFrom() {
  return before;
}

/** Changes the address without a step to go back to, and without showing anew. @param {string} address */
export function replaceAddress(address) {
  if (before === location.hash) {
    before = address;
  }
  history.replaceState(null, '', address);
}
