// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Elements made of data. Whatever comes from outside becomes text, never markup.

import { words } from './words.js';

/** @typedef {Node | string | number | null | undefined | false} Child */

const SVG = 'http://www.w3.org/2000/svg';

/**
 * Sets attributes: `on` holds listeners, `vars` the style sheet's variables, true is an attribute without a value.
 * @param {Element} element
 * @param {Record<string, any>} attributes
 */
function setAttributes(element, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (name === 'on') {
      for (const [event, listener] of Object.entries(value)) {
        element.addEventListener(event, /** @type {EventListener} */ (listener));
      }
    } else if (name === 'vars') {
      for (const [variable, number] of Object.entries(value)) {
        /** @type {HTMLElement} */ (element).style.setProperty(`--${variable}`, String(number));
      }
    } else if (value !== false && value !== null && value !== undefined) {
      element.setAttribute(name, value === true ? '' : String(value));
    }
  }
}

/**
 * @param {Element} element
 * @param {Child[]} children
 */
function append(element, children) {
  for (const child of children) {
    if (child !== null && child !== undefined && child !== false) {
      element.append(child instanceof Node ? child : String(child));
    }
  }
}

/**
 * Makes an element of HTML.
 * @param {string} name
 * @param {Record<string, any>} [attributes]
 * @param {...Child} children
 * @returns {HTMLElement}
 */
export function el(name, attributes = {}, ...children) {
  const element = document.createElement(name);
  setAttributes(element, attributes);
  append(element, children);
  return element;
}

/**
 * Makes an element of SVG.
 * @param {string} name
 * @param {Record<string, any>} [attributes]
 * @param {...Child} children
 * @returns {SVGElement}
 */
export function svg(name, attributes = {}, ...children) {
  const element = /** @type {SVGElement} */ (document.createElementNS(SVG, name));
  setAttributes(element, attributes);
  append(element, children);
  return element;
}

/**
 * Makes a button.
 * @param {Record<string, any>} attributes
 * @param {(event: Event) => void} press
 * @param {...Child} children
 */
export function button(attributes, press, ...children) {
  return el('button', { type: 'button', ...attributes, on: { ...attributes.on, click: press } }, ...children);
}

/** What tells an element from its likes, where it was made anew. */
const NAMES = ['data-key', 'data-end', 'data-knows', 'data-index', 'data-lack', 'href', 'id', 'name'];

/**
 * The element of a new view that is what another one was in the old.
 * @param {HTMLElement} root
 * @param {Element} old
 * @returns {HTMLElement | undefined}
 */
export function sameElement(root, old) {
  const name = NAMES.find((one) => old.getAttribute(one));
  const likes = /** @type {HTMLElement[]} */ ([...root.querySelectorAll(name ? `[${name}]` : old.tagName)]);
  return likes.find((one) => name ? one.getAttribute(name) === old.getAttribute(name) : one.textContent === old.textContent);
}

/**
 * Says something, until that is put away or something else is to be said.
 * @param {string} text
 * @param {...Child} more what can be done about it
 */
export function tell(text, ...more) {
  byId('told').replaceChildren();
  if (text) {
    append(byId('told'), [el('span', {}, text), ...more,
      button({ class: 'press', 'aria-label': words.putAway }, () => tell(''), '×')]);
  }
}

/**
 * @param {string} id
 * @returns {HTMLElement}
 */
export function byId(id) {
  return /** @type {HTMLElement} */ (document.getElementById(id));
}
