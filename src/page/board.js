// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A bass keyboard drawn to scale, from the millimetres of its layout.

import { el, svg } from './dom.js';
import { keep, state } from './state.js';
import { signs, words } from './words.js';

/** @typedef {import('./state.js').Sound} Sound */
/** @typedef {import('./state.js').Layout} Layout */

/** What is drawn beside the buttons themselves, by buttonKey().
 * @typedef {{lit?: Map<string, string>, second?: Map<string, string>, classes?: Map<string, number>,
 *            texts?: Map<string, string>, dead?: string[], tap?: (sound: Sound) => void, lying?: boolean,
 *            onPaper?: boolean, rings?: Set<string>}} Marks */

const RADIUS_MM = 6;

/** @param {{row: string, column: string}} place */
export function buttonKey({ row, column }) {
  return `${row}:${column}`;
}

/** What a button is called, in words. @param {Layout} layout @param {import('./state.js').Place} place */
export function calledOf(layout, place) {
  const sound = layout.sounds.find((one) => buttonKey(one) === buttonKey(place) && one.bellows === place.bellows);
  return signs(sound?.called ?? buttonKey(place));
}

const LONG = 12; // columns, of a board that is turned upright where there is little width

/**
 * How a board is turned: as was chosen, else as on paper where that leaves its buttons large enough.
 * @param {Layout} layout
 * @param {boolean} tapped whether its buttons are to be tapped
 */
export function turnInHand(layout, tapped) {
  const upright = (tapped || layout.columns.length > LONG) && matchMedia('(max-width: 720px)').matches;
  return state.habits.turn || (upright ? 'chin-up' : 'paper');
}

/**
 * Where a button is on the picture, in mm.
 * @param {string} turn
 * @param {{x: number, y: number}} at
 * @param {{width: number, height: number}} size
 */
function placeOf(turn, at, size) {
  switch (turn) {
    case 'chin-up':
      return { x: size.height - at.y, y: size.width - at.x };
    case 'front':
      return { x: at.y, y: size.width - at.x };
    default:
      return at;
  }
}

/** @param {Layout} layout */
function radiusOf(layout) {
  let nearest = layout.column_mm;
  for (let i = 0; i < layout.columns.length && layout.rows.length > 1; ++i) {
    nearest = Math.min(nearest, Math.hypot(layout.row_mm, layout.slant_mm - i * layout.column_mm));
  }
  return Math.min(RADIUS_MM, nearest * 0.48);
}

/** Buttons of the instrument: one that differs on push and on pull once. @param {Layout} layout */
function buttonsOf(layout) {
  return layout.sounds.filter((sound) => sound.bellows !== 'pull');
}

/** @param {Layout} layout @param {Sound} sound */
function labelOf(layout, sound) {
  const pull = sound.bellows === 'push' && layout.sounds.find((other) => other.bellows === 'pull' &&
    buttonKey(other) === buttonKey(sound));
  const names = pull ? [sound.name, pull.name] : [sound.name];
  return names.map((name) => signs(name).replace('dim', '°').replace('aug', '+').replace(/M$/, '') || '–').join('/');
}

/** Whether a button is silent: on an offer those called so, else those of the instrument in hand. @param {Sound} sound @param {Marks} marks */
function isDeadOn(sound, marks) {
  return !sound.tones.length || (marks.dead ? marks.dead.some((name) => signs(name) === signs(sound.called))
    : state.dead.includes(buttonKey(sound)));
}

/**
 * @param {Layout} layout
 * @param {Sound} sound
 * @param {Marks} marks
 */
function describe(layout, sound, marks) {
  const key = buttonKey(sound);
  const parts = [signs(sound.called)];
  const finger = marks.lit?.get(key);
  if (finger !== undefined) {
    parts.push(words.board.pressed(finger));
  }
  if (isDeadOn(sound, marks)) {
    parts.push(words.board.dead);
  }
  const text = marks.texts?.get(key);
  if (text) {
    parts.push(words.board.used(text));
  }
  return parts.join(', ');
}

/**
 * @param {Layout} layout
 * @param {Sound} sound
 * @param {Marks} marks
 * @param {{x: number, y: number}} at
 * @param {number} radius
 */
function drawButton(layout, sound, marks, at, radius) {
  const key = buttonKey(sound);
  const finger = marks.lit?.get(key);
  const second = marks.second?.get(key);
  const use = marks.classes?.get(key);
  const isDead = isDeadOn(sound, marks);
  const text = finger ?? second ?? marks.texts?.get(key);
  const label = labelOf(layout, sound);
  const arm = radius * 0.7;
  const part = { class: 'button' };
  if (finger !== undefined) {
    part.class += ' lit';
  } else if (second !== undefined) {
    part.class += ' second';
  } else if (use !== undefined) {
    part.class += ` use-${use}${marks.rings?.has(key) ? ' ring' : ''}`;
  } else {
    part.class += marks.lit || marks.classes ? ' pale' : '';
  }
  const group = svg('g', { ...part, 'data-key': key, transform: `translate(${at.x} ${at.y})` },
    !marks.tap && svg('title', {}, describe(layout, sound, marks)),
    marks.tap && svg('circle', { class: 'target', r: Math.max(radius, layout.column_mm / 2) }),
    svg('circle', { class: 'disc', r: radius }),
    sound.felt && svg('circle', { class: 'felt', r: radius * 1.12 }),
    text === undefined
      ? svg('text', { class: 'name', 'font-size': radius * (label.length > 3 ? 0.62 : 0.85), dy: '0.35em' }, label)
      : null,
    text !== undefined && svg('text', { class: 'figure', 'font-size': radius * (text.length > 3 ? 0.6 : 0.8),
      y: -radius * 0.1, dy: '0.1em' }, text),
    ' ', text !== undefined && svg('text', { class: 'name small', 'font-size': radius * 0.55, y: radius * 0.62 }, label),
    isDead && svg('path', { class: 'cross', d: `M${-arm} ${-arm}L${arm} ${arm}M${-arm} ${arm}L${arm} ${-arm}` }));
  if (marks.tap) {
    const press = () => marks.tap?.(sound);
    group.setAttribute('role', 'button');
    group.setAttribute('tabindex', '0');
    group.setAttribute('aria-label', `${text ?? ''} ${label}: ${describe(layout, sound, marks)}`.trim());
    group.addEventListener('click', press);
    group.addEventListener('keydown', (event) => {
      if (event.key === 'Enter' || event.key === ' ') {
        event.preventDefault();
        press();
      }
    });
  }
  return group;
}

/**
 * Draws the whole keyboard.
 * @param {Layout} layout
 * @param {Marks} marks
 * @returns {HTMLElement}
 */
export function boardFigure(layout, marks) {
  const turn = marks.onPaper || (marks.lying && !state.habits.turn) ? 'paper' : turnInHand(layout, Boolean(marks.tap));
  const radius = radiusOf(layout);
  const buttons = buttonsOf(layout);
  const width = Math.max(...buttons.map((sound) => sound.x));
  const height = Math.max(...buttons.map((sound) => sound.y));
  const size = { width, height };
  const edge = radius * 1.35;
  const upright = turn !== 'paper';
  const box = upright ? { w: height, h: width } : { w: width, h: height };
  const flip = (/** @type {Sound} */ sound) => ({ x: layout.mirrored ? width - sound.x : sound.x, y: sound.y });
  const discs = buttons.map((sound) => drawButton(layout, sound, marks, placeOf(turn, flip(sound), size), radius));
  const picture = svg('svg', { viewBox: `${-edge} ${-edge} ${box.w + 2 * edge} ${box.h + 2 * edge}`,
    class: 'board-picture', role: marks.tap ? 'group' : 'img', 'aria-label': boardText(layout, marks) }, ...discs);
  return el('figure', { class: `board${marks.tap ? ' to-tap' : ''}${marks.tap && state.habits.zoom ? ` zoom-${state.habits.zoom}` : ''} ${upright ? 'upright' : 'lying'}${layout.columns.length > LONG ? ' wide' : ''}`,
    vars: { columns: upright ? layout.rows.length : layout.columns.length, 'board-mm': box.w + 2 * edge, 'board-high': box.h + 2 * edge } }, picture,
    el('figcaption', { class: 'hint' }, words.board.turnedSo[turn]));
}

/**
 * The picture in words: what is pressed, with which fingers.
 * @param {Layout} layout
 * @param {Marks} marks
 */
function boardText(layout, marks) {
  const pressed = buttonsOf(layout).filter((sound) => marks.lit?.has(buttonKey(sound)));
  const names = pressed.map((sound) => words.tune.with(signs(sound.called), marks.lit?.get(buttonKey(sound)) ?? ''));
  return names.length ? words.listed(names) : words.board.name(layout.title);
}

/** Ways to turn the board, as a choice. @param {string} now @param {() => void} redraw */
export function turnChoice(now, redraw) {
  const options = Object.entries(words.board.turns).map(([value, text]) =>
    el('option', { value, selected: value === now }, text));
  return el('label', { class: 'choice' }, words.board.turn, el('select', { on: {
    change: (/** @type {Event} */ event) => {
      state.habits.turn = /** @type {HTMLSelectElement} */ (event.target).value;
      keep();
      redraw();
    },
  } }, ...options));
}

/** Sizes of the board, as a choice. @param {() => void} redraw */
export function zoomChoice(redraw) {
  const options = Object.entries(words.board.zooms).map(([value, text]) =>
    el('option', { value, selected: value === state.habits.zoom }, text));
  return el('label', { class: 'choice' }, words.board.zoom, el('select', { on: {
    change: (/** @type {Event} */ event) => {
      state.habits.zoom = /** @type {HTMLSelectElement} */ (event.target).value;
      keep();
      redraw();
    },
  } }, ...options));
}
