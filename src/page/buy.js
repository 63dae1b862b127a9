// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Instruments on offer as cards: typed in or from a file, those first that carry most, those that no other beats marked.

import { addressOf, tuneAddress } from './address.js';
import { percent } from './answer.js';
import { boardFigure } from './board.js';
import { button, el } from './dom.js';
import { readFiles } from './given.js';
import { answerTo, askLayout, askLayouts, askList, askOwnSize, askSizes, bytesOf, changed, largerThan, OFFERS, showInHand,
  state, taste, textOf, tuneFiles } from './state.js';
import { signs, words } from './words.js';

/** @typedef {import('./state.js').TunePlace} TunePlace */
/** @typedef {{offer: string, layout: string, buttons: number, remarks: string, kg: number | null, price: number | null,
 *            currency: string, quarters: Record<string, number>, carried: number, reaches: boolean, standing: string,
 *            beaten_by: string[], tunes: {total: number, playable: number},
 *            left_out: (TunePlace & {quarters: number})[],
 *            repairs: {button: string, tunes: number, quarters: number, native_chords: number}[],
 *            wide: {chord: string, mm: number, times: number, tunes: number}[]}} Offer */
/** @typedef {import('./state.js').Listed} Listed */

// ----------------------------------------------------------------------------------------------------------- the cards

/** @param {Offer} offer */
function priceText(offer) {
  return offer.price === null ? words.buy.noPrice : `${offer.price} ${offer.currency}`;
}

/** @param {Offer} offer */
function weightText(offer) {
  return offer.kg === null ? words.buy.noWeight : `${offer.kg} kg`;
}

/** What the repair of each dead button brings. @param {Offer} offer */
function repairList(offer) {
  const read = offer.quarters.total - offer.quarters.unread;
  return offer.repairs.length ? el('div', {}, el('p', {}, words.buy.dead), el('ul', {}, ...offer.repairs.map((repair) =>
    el('li', {}, words.buy.repair(signs(repair.button), repair.tunes, percent(repair.quarters, read),
      repair.native_chords))))) : null;
}

/** Why it is marked, or what beats it. @param {Offer} offer @param {Offer[]} offers */
function standingText(offer, offers) {
  if (offer.standing === 'beaten') {
    const better = offer.beaten_by.map((name) => offers.find((other) => other.offer === name)).filter((other) => other);
    return words.buy.beaten(better.map((other) => other
      ? `${other.offer} (${priceText(other)}, ${weightText(other)}, ${words.buy.playsOf(other.tunes.playable)})` : ''));
  }
  return offer.standing === 'unbeaten' ? words.buy.unbeaten : words.buy.unknown(offer.price === null, offer.kg === null);
}

/** Titles that open their tunes. @param {string} heading @param {TunePlace[]} tunes */
function titleList(heading, tunes) {
  return tunes.length ? el('details', {}, el('summary', {}, heading), el('ul', { class: 'links' }, ...tunes.map((tune) =>
    el('li', {}, el('a', { href: tuneAddress(tune) }, tune.title))))) : null;
}

/** The keyboard of an offer that ships with the program, drawn when asked for. @param {Offer} offer @param {Set<string>} known */
function boardOf(offer, known) {
  const room = el('div', { class: 'board-room' });
  const fill = async () => {
    const layout = (await askLayout(offer.layout)).json;
    room.replaceChildren(boardFigure(layout, { lying: true, dead: offer.repairs.map((repair) => repair.button) }));
  };
  return known.has(offer.layout) ? el('details', { on: { toggle: () => !room.children.length && fill() } },
    el('summary', {}, words.buy.board(offer.layout)), room) : null;
}

/** @param {TunePlace} tune */
function placeOfOffered(tune) {
  return `${tune.file}:${tune.line}`;
}

/**
 * @param {Offer} offer
 * @param {Offer[]} offers
 * @param {Listed[]} tunes as they fare on today's instrument
 * @param {Set<string>} known names of layouts that ship
 */
function offerCard(offer, offers, tunes, known) {
  const left = new Set(offer.left_out.map(placeOfOffered));
  const added = tunes.filter((tune) => tune.verdict !== 'plays' && !left.has(placeOfOffered(tune)));
  const lost = tunes.filter((tune) => tune.verdict === 'plays' && left.has(placeOfOffered(tune)));
  const read = offer.quarters.total - offer.quarters.unread;
  return el('li', { class: `offer standing-${offer.standing}` }, el('h2', {}, offer.offer),
    el('p', { class: 'offer-facts' }, [priceText(offer), weightText(offer), words.count(offer.buttons, 'button')].join(' · ')),
    el('p', {}, words.buy.plays(offer.tunes.playable, offer.tunes.total, percent(offer.carried, read)), ' ',
      el('b', {}, words.buy.against(added.length, lost.length))),
    el('p', { class: 'hint' }, offer.standing === 'unbeaten' ? el('b', {}, standingText(offer, offers))
      : standingText(offer, offers)),
    offer.remarks ? el('p', { class: 'hint remark' }, offer.remarks) : null, repairList(offer),
    offer.wide.length ? el('p', {}, words.buy.wide(offer.wide.map((one) => signs(one.chord)))) : null,
    titleList(words.buy.added(added.length), added), titleList(words.buy.lost(lost.length), lost),
    titleList(words.buy.leftOut(offer.left_out.length), offer.left_out), boardOf(offer, known));
}

// ------------------------------------------------------------------------------------------------------ taking offers

/**
 * Takes the first of some texts that can be read as offers; else keeps what is there and says what is wrong.
 * @param {string[]} texts
 * @param {HTMLElement} say
 */
async function takeOffers(texts, say) {
  const before = state.offers;
  say.textContent = '';
  for (const text of texts) {
    state.offers = { name: OFFERS, bytes: bytesOf(text) };
    changed();
    const { json, problems } = await askShop();
    if (json) {
      showInHand();
      return;
    }
    say.textContent ||= problems.join(' ');
  }
  state.offers = before;
  changed();
}

/** An offer as typed, at the end of those there are, which are further in or not. @param {Record<string, string>} typed */
function withTyped(typed) {
  const lines = [`- name: ${JSON.stringify(typed.name)}`, `  layout: ${JSON.stringify(typed.layout)}`];
  if (typed.price) {
    lines.push(`  price: ${Number(typed.price)}${typed.currency ? ` ${typed.currency}` : ''}`);
  }
  if (typed.weight) {
    lines.push(`  weight: ${Number(typed.weight)}`);
  }
  if (typed.dead.trim()) {
    lines.push(`  dead: [${typed.dead.split(',').map((name) => JSON.stringify(name.trim())).join(', ')}]`);
  }
  const before = state.offers ? textOf(state.offers.bytes).trimEnd() : 'currency: EUR\noffers:';
  return ['  ', ''].map((indent) => `${before}\n\n${lines.map((line) => indent + line).join('\n')}\n`);
}

/** @param {{layout: string}[]} layouts */
function typedForm(layouts) {
  const name = el('input', { type: 'text', name: 'name', required: true, maxlength: 80 });
  const layout = el('select', { name: 'layout' }, ...layouts.map((known) => el('option', { value: known.layout,
    selected: known.layout === '72' }, known.layout)));
  const price = el('input', { type: 'number', name: 'price', min: 0, max: 1000000, step: 'any' });
  const weight = el('input', { type: 'number', name: 'weight', min: 0, max: 50, step: 0.1 });
  const dead = el('input', { type: 'text', name: 'dead', placeholder: words.buy.deadHint });
  const say = el('p', { class: 'problem', role: 'alert' });
  const label = (/** @type {string} */ text, /** @type {HTMLElement} */ input) =>
    el('label', { class: 'field-label' }, text, input);
  return el('form', { class: 'offer-form', on: { submit: (/** @type {SubmitEvent} */ event) => {
    event.preventDefault();
    takeOffers(withTyped(/** @type {Record<string, string>} */ (Object.fromEntries(new FormData(
      /** @type {HTMLFormElement} */ (event.target))))), say);
  } } }, label(words.buy.name, name), label(words.buy.layout, layout), label(words.buy.price, price),
  label(words.buy.weight, weight), label(words.buy.deadButtons, dead),
  el('button', { class: 'press', type: 'submit' }, words.buy.add), say);
}

function offersFile() {
  const say = el('p', { class: 'problem', role: 'alert' });
  const input = el('input', { type: 'file', class: 'unseen', 'aria-label': words.buy.file, on: {
    change: async (/** @type {Event} */ event) => {
      const [file] = await readFiles(/** @type {HTMLInputElement} */ (event.target).files ?? []);
      if (file) {
        takeOffers([textOf(file.bytes)], say);
      }
    },
  } });
  return el('div', { class: 'row' }, el('label', { class: 'press' }, input, words.buy.file), state.offers
    ? button({ class: 'press' }, () => {
      state.offers = null;
      changed();
      showInHand();
    }, words.buy.forget) : null, say);
}

/** The answer about the offers in hand. */
function askShop() {
  return answerTo('shop', ['shop', OFFERS, ...tuneFiles(), ...taste()]);
}

/** The usual size that would add most, where there is one. */
async function largerPart() {
  const [sizes, own] = await Promise.all([askSizes(), askOwnSize()]);
  const mine = own.json?.layouts[0];
  const larger = largerThan(sizes.json?.layouts ?? [], mine);
  return larger ? el('p', {}, el('a', { href: addressOf('tunes', { show: 'gained' }) },
    words.answer.larger(larger.layout, larger.tunes.playable - mine.tunes.playable))) : null;
}

/** @param {HTMLElement} root */
export async function showBuy(root) {
  const [layouts, list, larger] = await Promise.all([askLayouts(), askList(), largerPart()]);
  const shop = state.offers ? await askShop() : null;
  const known = new Set(layouts.json.map((/** @type {{layout: string}} */ one) => one.layout));
  /** @type {Offer[]} */
  const offers = [...(shop?.json?.offers ?? [])].sort((a, b) => b.tunes.playable - a.tunes.playable ||
    b.carried - a.carried);
  root.replaceChildren(...[el('h1', {}, shop?.json?.title || words.buy.heading),
    larger, el('p', {}, shop ? words.buy.hint : words.buy.none),
    ...(shop && !shop.json ? shop.problems.map((line) => el('p', { class: 'cost' }, line)) : []),
    el('ul', { class: 'offers' }, ...offers.map((offer) => offerCard(offer, offers, list.json?.tunes ?? [], known))),
    el('section', {}, el('h2', {}, words.buy.typed), typedForm(layouts.json), offersFile()),
    el('p', { class: 'hint' }, words.buy.caution)].filter((part) => part !== null));
}
