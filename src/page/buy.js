// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Instruments on offer as cards: typed in or from a file, those first that carry most, those that no other beats marked.

import { addressOf, tuneAddress } from './address.js';
import { carriedPercent, percent } from './answer.js';
import { tellFault } from './asking.js';
import { boardFigure, buttonKey } from './board.js';
import { button, byId, el, sameElement } from './dom.js';
import { readFiles } from './given.js';
import { answerTo, askLayout, askLayouts, askListOfYours, askSizes, changed, EXAMPLES, largerThan, OFFERS, showInHand,
  showInHandAt, state, taste, tryBoard, tuneFiles } from './state.js';
import { doWithUndo } from './undo.js';
import { signs, words } from './words.js';

/** @typedef {import('./state.js').TunePlace} TunePlace */
/** @typedef {{offer: string, layout: string, buttons: number, remarks: string, kg: number | null, price: number | null,
 *            currency: string, chords: Record<string, number>, quarters: Record<string, number>, standing: string,
 *            beaten_by: string[], tunes: {total: number, playable: number},
 *            left_out: (TunePlace & {quarters: number})[],
 *            repairs: {button: string, tunes: number, quarters: number, native_chords: number}[],
 *            wide: {chord: string, mm: number, times: number, tunes: number}[]}} Offer */
/** @typedef {import('./state.js').Listed} Listed */
/** @typedef {import('./offers.js').Typed} Typed */

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

/** Tries an instrument on offer, with its dead buttons as the engine calls them. @param {Offer} offer */
async function tryOffer(offer) {
  /** @type {import('./state.js').Layout} */
  const layout = (await askLayout(offer.layout)).json;
  const dead = layout.sounds.filter((sound) => offer.repairs.some((repair) => repair.button === sound.called));
  tryBoard(offer.layout, offer.offer, [...new Set(dead.map(buttonKey))]);
}

/**
 * Titles that open their tunes, on the instrument on offer where that has a keyboard that is known.
 * @param {string} heading
 * @param {TunePlace[]} tunes
 * @param {Offer | null} offer
 */
function titleList(heading, tunes, offer) {
  const open = (/** @type {TunePlace} */ tune) => async (/** @type {Event} */ event) => {
    if (offer) {
      event.preventDefault();
      await tryOffer(offer);
      location.hash = tuneAddress(tune);
    }
  };
  return tunes.length ? el('details', {}, el('summary', {}, heading), el('ul', { class: 'links' }, ...tunes.map((tune) =>
    el('li', {}, el('a', { href: tuneAddress(tune), on: { click: open(tune) } }, tune.title))))) : null;
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
 * @param {boolean} own whether it is one of the player's own
 */
function offerCard(offer, offers, tunes, known, own) {
  const left = new Set(offer.left_out.map(placeOfOffered));
  const added = tunes.filter((tune) => tune.verdict !== 'plays' && !left.has(placeOfOffered(tune)));
  const lost = tunes.filter((tune) => tune.verdict === 'plays' && left.has(placeOfOffered(tune)));
  const tried = known.has(offer.layout) ? offer : null;
  const typed = own ? state.typed.find((one) => one.name === offer.offer) : undefined;
  return el('li', { class: `offer standing-${offer.standing}` }, el('h2', {}, offer.offer),
    el('p', { class: 'offer-facts' }, [priceText(offer), weightText(offer), words.count(offer.buttons, 'button')].join(' · ')),
    el('p', {}, words.buy.plays(offer.tunes.playable, offer.tunes.total, carriedPercent(offer), offer.quarters.total > 0), ' ',
      el('b', {}, words.buy.against(added.length, lost.length))),
    el('p', { class: 'hint' }, offer.standing === 'unbeaten' ? el('b', {}, standingText(offer, offers))
      : standingText(offer, offers)),
    offer.remarks ? el('p', { class: 'hint remark' }, offer.remarks) : null, repairList(offer),
    offer.wide.length ? el('p', {}, words.buy.wide(offer.wide.map((one) => signs(one.chord)))) : null,
    titleList(words.buy.added(added.length), added, tried), titleList(words.buy.lost(lost.length), lost, tried),
    titleList(words.buy.leftOut(offer.left_out.length), offer.left_out, tried), boardOf(offer, known),
    el('div', { class: 'row' }, tried && button({ class: 'press' }, () => tryOffer(offer).then(() =>
      showInHandAt(addressOf('answer'))), words.buy.tryIt), ...(typed ? typedDeeds(typed) : [])));
}

// ------------------------------------------------------------------------------------------------------ taking offers

/** @type {Typed | null} an offer of one's own that is being changed */
let changing = null;

/** Shows what is in hand, and one part of it in sight. @param {(root: HTMLElement) => Element | null | undefined} find */
function showInSight(find) {
  addEventListener('shown', () => find(byId('main'))?.scrollIntoView({ block: 'center' }), { once: true });
  showInHand();
}

/** The card of an offer. @param {HTMLElement} root @param {string} name */
function cardOf(root, name) {
  return [...root.querySelectorAll('.offer')].find((card) => card.querySelector('h2')?.textContent === name);
}

/**
 * Takes offers where they can be read; else keeps what is there and says what is wrong.
 * @param {{typed?: Typed[], offers?: import('./state.js').GivenFile}} taken
 * @param {HTMLElement} say
 * @returns {Promise<boolean>} whether they can be read
 */
async function takeOffers(taken, say) {
  const { typed, offers } = state;
  Object.assign(state, taken);
  changed();
  const { json, problems } = await askShop(OFFERS);
  say.textContent = json ? '' : problems.join(' ');
  if (!json) {
    Object.assign(state, { typed, offers });
    changed();
  }
  return Boolean(json);
}

/** Takes an offer as typed, in place of the one that is changed or has its name. @param {Typed} one @param {HTMLElement} say */
async function takeTyped(one, say) {
  const others = state.typed.filter((other) => other.name !== one.name && other.name !== changing?.name);
  if (await takeOffers({ typed: [...others, one] }, say)) {
    changing = null;
    showInSight((root) => cardOf(root, one.name));
  }
}

/** The buttons of a keyboard, to tap those that are dead. @param {string[]} dead as a layout file names them */
function deadButtons(dead) {
  const room = el('div', { class: 'board-room' });
  const summary = el('summary', {});
  let name = '';
  const fill = async () => {
    /** @type {import('./state.js').Layout} */
    const layout = (await askLayout(name)).json;
    const place = (/** @type {import('./state.js').Place} */ sound) => `${sound.row} ${sound.column}`;
    const called = layout.sounds.filter((sound) => dead.includes(place(sound))).map((sound) => sound.called);
    const tap = (/** @type {import('./state.js').Sound} */ sound) => {
      const at = dead.indexOf(place(sound));
      dead.splice(at < 0 ? dead.length : at, at < 0 ? 0 : 1, ...(at < 0 ? [place(sound)] : []));
      fill();
    };
    const focused = room.contains(document.activeElement) ? document.activeElement : null;
    summary.textContent = words.buy.deadButtons(called.map(signs));
    room.replaceChildren(boardFigure(layout, { tap, dead: called }));
    if (focused) {
      sameElement(room, focused)?.focus({ preventScroll: true });
    }
  };
  const show = (/** @type {string} */ layout) => {
    name = layout;
    fill().catch(tellFault);
  };
  return { show, part: el('details', { class: 'dead-buttons' }, summary, room) };
}

/** @param {{layout: string}[]} layouts */
function typedForm(layouts) {
  const { name, layout, price, weight, dead } = changing ?? { name: '', layout: '72', price: '', weight: '', dead: [] };
  const silent = [...dead];
  const buttons = deadButtons(silent);
  const say = el('p', { class: 'problem', role: 'alert' });
  const label = (/** @type {string} */ text, /** @type {HTMLElement} */ input) =>
    el('label', { class: 'field-label' }, text, input);
  buttons.show(layout);
  return el('form', { class: 'offer-form', on: { submit: (/** @type {SubmitEvent} */ event) => {
    event.preventDefault();
    const typed = /** @type {any} */ (Object.fromEntries(new FormData(/** @type {HTMLFormElement} */ (event.target))));
    takeTyped({ ...typed, name: typed.name.trim(), dead: silent }, say);
  } } }, label(words.buy.name, el('input', { type: 'text', name: 'name', required: true, maxlength: 80, value: name })),
  label(words.buy.layout, el('select', { name: 'layout', on: { change: (/** @type {Event} */ event) => {
    silent.length = 0; // those were of another keyboard
    buttons.show(/** @type {HTMLSelectElement} */ (event.target).value);
  } } }, ...layouts.map((known) => el('option', { value: known.layout, selected: known.layout === layout }, known.layout)))),
  label(words.buy.price, el('input', { type: 'number', name: 'price', min: 0, max: 1000000, step: 'any', value: price })),
  label(words.buy.weight, el('input', { type: 'number', name: 'weight', min: 0, max: 50, step: 0.1, value: weight })),
  buttons.part, el('button', { class: 'press primary', type: 'submit' }, changing ? words.buy.save : words.buy.add), say);
}

/** What can be done with an offer that was typed. @param {Typed} one */
function typedDeeds(one) {
  return [button({ class: 'press' }, () => {
    changing = one;
    showInSight((root) => root.querySelector('.offer-form'));
  }, words.buy.change, el('span', { class: 'unseen' }, one.name)), button({ class: 'press' }, () => {
    doWithUndo(words.buy.removed(one.name), () => {
      state.typed = state.typed.filter((other) => other !== one);
      changed();
    });
    showInHand();
  }, words.buy.remove, el('span', { class: 'unseen' }, one.name))];
}

/** A button that puts a file of offers away. @param {'offers' | 'examples'} which @param {string} text */
function forgetButton(which, text) {
  return state[which] ? button({ class: 'press' }, () => {
    doWithUndo(words.buy.forgotten, () => {
      state[which] = null;
      changed();
    });
    showInHand();
  }, text) : null;
}

function offersFile() {
  const say = el('p', { class: 'problem', role: 'alert' });
  const input = el('input', { type: 'file', class: 'unseen', 'aria-label': words.buy.file, on: {
    change: async (/** @type {Event} */ event) => {
      const [file] = await readFiles(/** @type {HTMLInputElement} */ (event.target).files ?? []);
      if (file && await takeOffers({ offers: file }, say)) {
        showInHand();
      }
    },
  } });
  return el('div', { class: 'row' }, el('label', { class: 'press' }, input, words.buy.file),
    forgetButton('offers', words.buy.forget), say);
}

/** The answer about a file of offers. @param {string} file */
function askShop(file) {
  return answerTo(file, ['shop', file, ...tuneFiles(), ...taste()]);
}

/** The usual size that would add most to one's own, where there is one. @param {Listed[]} tunes as they fare on that */
async function largerPart(tunes) {
  const playable = tunes.filter((tune) => tune.verdict === 'plays').length;
  const larger = largerThan((await askSizes()).json?.layouts ?? [], playable);
  const canShow = !state.mine; // else the list is that of what is tried
  const href = canShow ? addressOf('tunes', { show: 'gained' }) : null;
  return larger ? el('p', {}, el(canShow ? 'a' : 'span', { href },
    words.answer.larger(larger.layout, larger.tunes.playable - playable))) : null;
}

/**
 * Offers as cards, those first that play most.
 * @param {any} shop the engine's answer, or nothing
 * @param {Listed[]} tunes
 * @param {Set<string>} known
 * @param {boolean} own
 */
function offerCards(shop, tunes, known, own) {
  /** @type {Offer[]} */
  const offers = [...(shop?.json?.offers ?? [])].sort((a, b) => b.tunes.playable - a.tunes.playable || b.carried - a.carried);
  return el('ul', { class: 'offers' }, ...offers.map((offer) => offerCard(offer, offers, tunes, known, own)));
}

/** @param {HTMLElement} root */
export async function showBuy(root) {
  const own = state.offers || state.typed.length ? askShop(OFFERS) : null;
  const [layouts, list, mine, invented] = await Promise.all([askLayouts(), askListOfYours(), own,
    state.examples ? askShop(EXAMPLES) : null]);
  /** @type {Listed[]} */
  const tunes = list.json?.tunes ?? [];
  const known = new Set(layouts.json.map((/** @type {{layout: string}} */ one) => one.layout));
  const examples = invented?.json ? el('details', { class: 'examples', open: !mine }, el('summary', {},
    words.buy.examples(invented.json.title)), offerCards(invented, tunes, known, false),
  el('div', { class: 'row' }, forgetButton('examples', words.buy.forgetExamples))) : null;
  root.replaceChildren(...[el('h1', {}, mine?.json?.title || words.buy.heading), await largerPart(tunes),
    el('p', { class: 'hint' }, words.buy.caution), mine || invented ? el('p', { class: 'hint' }, words.buy.hint) : null,
    ...(mine && !mine.json ? mine.problems.map((line) => el('p', { class: 'cost' }, line)) : []),
    mine ? offerCards(mine, tunes, known, true) : null,
    el('section', {}, el('h2', {}, changing ? words.buy.changing(changing.name) : words.buy.typed), typedForm(layouts.json),
      offersFile()), examples].filter((part) => part !== null));
}
