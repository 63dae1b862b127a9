// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Offers that were typed in, as a file of offers.

/** An offer as typed: numbers as their digits, or nothing; dead buttons as a layout file names them.
 * @typedef {{name: string, layout: string, price: string, weight: string, dead: string[]}} Typed */

/** @param {Typed} typed */
function linesOfOffer({ name, layout, price, weight, dead }) {
  return [`- name: ${JSON.stringify(name)}`, `  layout: ${JSON.stringify(layout)}`,
    price && `  price: ${Number(price)}`, weight && `  weight: ${Number(weight)}`,
    dead.length && `  dead: [${dead.map((place) => JSON.stringify(place)).join(', ')}]`].filter((line) => line);
}

/**
 * A file of offers with those typed at its end, as far in as the others are.
 * @param {string} file the text of one, or nothing
 * @param {Typed[]} typed
 */
export function offersText(file, typed) {
  const whole = file.trimEnd() || 'currency: EUR\noffers:';
  const [, indent = '  '] = /^offers:.*\n(?:[ \t]*(?:#.*)?\n)*([ \t]*)-/m.exec(whole) ?? [];
  return [whole, ...typed.map((one) => linesOfOffer(one).map((line) => indent + line).join('\n'))].join('\n\n') + '\n';
}
