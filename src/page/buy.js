// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Instruments on offer as cards: typed in or from a file, those first that carry most, those that no other beats marked.

import { percent } from './answer.js';
import { button, el } from './dom.js';
import { readFiles } from './given.js';
import { answerTo, askLayouts, askOwnSize, bytesOf, changed, OFFERS, showInHand, state, taste, textOf,
  tuneFiles } from './state.js';
import { signs, words } from './words.js';

/** @typedef {import('./state.js').TunePlace} TunePlace */
/** @typedef {{offer: string, layout: string, buttons: number, remarks: string, kg: number | null, price: number | null,
 *            currency: string, quarters: Record<string, number>, carried: number, reaches: boolean, standing: string,
 *            beaten_by: string[], tunes: {total: number, playable: number},
 *            left_out: (TunePlace & {quarters: number})[],
 *            repairs: {row: string, column: string, tunes: number}[]}} Offer */

/** @param {Offer} offer @param {number} own tunes that today's instrument plays */
function offerCard(offer, own) {
  const more = offer.tunes.playable - own;
  const read = offer.quarters.total - offer.quarters.unread;
  const repairs = (offer.repairs ?? []).filter((repair) => repair.tunes > 0).map((repair) => el('li', {},
    words.buy.repair(`${repair.row} ${signs(repair.column)}`, repair.tunes)));
  return el('li', { class: `offer standing-${offer.standing}` }, el('h2', {}, offer.offer),
    el('p', { class: 'offer-facts' }, [offer.price === null ? words.buy.noPrice : `${offer.price} ${offer.currency}`,
      offer.kg === null ? words.buy.noWeight : `${offer.kg} kg`, words.count(offer.buttons, 'button')].join(' · ')),
    el('p', {}, words.buy.plays(offer.tunes.playable, offer.tunes.total, percent(offer.carried, read)), ' ',
      el('b', {}, words.buy.more(more))),
    el('p', { class: 'hint' }, offer.standing === 'beaten' ? words.buy.beaten(offer.beaten_by)
      : offer.standing === 'unbeaten' ? words.buy.unbeaten : words.buy.unknown),
    offer.remarks ? el('p', { class: 'hint' }, offer.remarks) : null,
    repairs.length ? el('ul', {}, ...repairs) : null,
    offer.left_out.length ? el('details', {}, el('summary', {}, words.buy.leftOut(offer.left_out.length)),
      el('ul', {}, ...offer.left_out.map((tune) => el('li', {}, tune.title)))) : null);
}

/** @param {string} text */
function takeOffers(text) {
  state.offers = { name: OFFERS, bytes: bytesOf(text) };
  changed();
  showInHand();
}

/** An offer as typed, at the end of those there are. @param {Record<string, string>} typed */
function withTyped(typed) {
  const line = [`\n  - name: ${JSON.stringify(typed.name)}`, `    layout: ${JSON.stringify(typed.layout)}`];
  if (typed.price) {
    line.push(`    price: ${Number(typed.price)}`);
  }
  if (typed.weight) {
    line.push(`    weight: ${Number(typed.weight)}`);
  }
  const before = state.offers ? textOf(state.offers.bytes).trimEnd() : 'currency: EUR\noffers:';
  return `${before}\n${line.join('\n')}\n`;
}

/** @param {{layout: string}[]} layouts */
function typedForm(layouts) {
  const name = el('input', { type: 'text', name: 'name', required: true, maxlength: 80 });
  const layout = el('select', { name: 'layout' }, ...layouts.map((known) => el('option', { value: known.layout,
    selected: known.layout === '72' }, known.layout)));
  const price = el('input', { type: 'number', name: 'price', min: 0, max: 1000000 });
  const weight = el('input', { type: 'number', name: 'weight', min: 0, max: 50, step: 0.1 });
  const label = (/** @type {string} */ text, /** @type {HTMLElement} */ input) =>
    el('label', { class: 'field-label' }, text, input);
  return el('form', { class: 'offer-form', on: { submit: (/** @type {SubmitEvent} */ event) => {
    event.preventDefault();
    takeOffers(withTyped(/** @type {Record<string, string>} */ (Object.fromEntries(new FormData(
      /** @type {HTMLFormElement} */ (event.target))))));
  } } }, label(words.buy.name, name), label(words.buy.layout, layout), label(words.buy.price, price),
  label(words.buy.weight, weight), el('button', { class: 'press', type: 'submit' }, words.buy.add));
}

function offersFile() {
  const input = el('input', { type: 'file', class: 'unseen', 'aria-label': words.buy.file, on: {
    change: async (/** @type {Event} */ event) => {
      const [file] = await readFiles(/** @type {HTMLInputElement} */ (event.target).files ?? []);
      if (file) {
        takeOffers(textOf(file.bytes));
      }
    },
  } });
  return el('div', { class: 'row' }, el('label', { class: 'press' }, input, words.buy.file), state.offers
    ? button({ class: 'press' }, () => {
      state.offers = null;
      changed();
      showInHand();
    }, words.buy.forget) : null);
}

/** @param {HTMLElement} root */
export async function showBuy(root) {
  const [layouts, own] = await Promise.all([askLayouts(), askOwnSize()]);
  const shop = state.offers ? await answerTo('shop', ['shop', OFFERS, ...tuneFiles(), ...taste()]) : null;
  const plays = own.json?.layouts[0].tunes.playable ?? 0;
  /** @type {Offer[]} */
  const offers = [...(shop?.json?.offers ?? [])].sort((a, b) => b.tunes.playable - a.tunes.playable ||
    b.carried - a.carried);
  root.replaceChildren(...[el('h1', {}, shop?.json?.title || words.buy.heading),
    el('p', {}, shop ? words.buy.hint : words.buy.none),
    ...(shop && !shop.json ? shop.problems.map((line) => el('p', { class: 'cost' }, line)) : []),
    el('ul', { class: 'offers' }, ...offers.map((offer) => offerCard(offer, plays))),
    el('section', {}, el('h2', {}, words.buy.typed), typedForm(layouts.json), offersFile()),
    el('p', { class: 'hint' }, words.buy.caution)].filter((part) => part !== null));
}
