// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Questions to the engine: a command line in, its answer out. One runs at a time, in a worker.

import { byId, tell } from './dom.js';
import { words } from './words.js';

/**
 * @typedef {{status: number, out: string, err: string, files: Record<string, Uint8Array>, fault?: string}} Answer
 * @typedef {{id: number, about: string, args: string[],
 *            idly: boolean, resolve: (answer: Answer) => void, reject: (error: Error) => void,
 *            since: number}} Question
 */

/** An older question that a newer one has replaced, or that was stopped. */
class Dropped extends Error {}

/**
 * Says what failed; a question that was dropped is no fault.
 * @param {unknown} error
 */
export function tellFault(error) {
  if (!(error instanceof Dropped)) {
    tell(`${words.failed} ${error instanceof Error ? error.message : error}`);
  }
}

const STOP_AFTER_MS = 250; // what runs longer is stopped where nobody waits for it any more

/** @type {Worker | null} */
let worker = null;
/** @type {Uint8Array | WebAssembly.Module | null} the engine's program: packed, then what a worker compiled of it */
let program = null;
/** @type {Question[]} */
let waiting = [];
/** @type {Question | null} */
let running = null;
/** @type {Record<string, Uint8Array>} */
let held = {};
let last = 0;
/** @type {(busy: boolean) => void} */
let told = () => {};

function start() {
  program ??= Uint8Array.from(atob(byId('engine').textContent ?? ''), (letter) => letter.charCodeAt(0));
  const source = new Blob([byId('worker').textContent ?? ''], { type: 'text/javascript' });
  const address = URL.createObjectURL(source);
  const made = new Worker(address);
  made.onmessage = ({ data }) => finish(made, data);
  made.onerror = (event) => finish(made, { id: running?.id, failed: event.message || 'it could not be started' });
  made.postMessage({ hold: held });
  return made;
}

function next() {
  const urgent = waiting.findIndex((question) => !question.idly);
  running = waiting.splice(Math.max(urgent, 0), 1)[0] ?? null;
  told(running !== null && !running.idly);
  if (running) {
    worker ??= start();
    running.since = performance.now();
    worker.postMessage({ id: running.id, args: running.args, program });
  }
}

/**
 * @param {Worker} from
 * @param {{id?: number, answer?: Answer, failed?: string, program?: WebAssembly.Module}} data
 */
function finish(from, data) {
  program = data.program ?? program;
  if (from !== worker || !running || data.id !== running.id) {
    return;
  }
  const question = running;
  running = null;
  if (data.answer && !data.answer.fault) {
    question.resolve(data.answer);
  } else {
    from.terminate();
    worker = null;
    question.reject(new Error(data.answer?.fault ?? data.failed));
  }
  next();
}

/** @param {Question} question */
function drop(question) {
  question.reject(new Dropped(question.about));
}

/** Stops what runs, and forgets what waits. */
export function stopAsking() {
  waiting.splice(0).forEach(drop);
  if (running) {
    const question = running;
    running = null;
    worker?.terminate();
    worker = null;
    drop(question);
  }
  told(false);
}

/**
 * Has `tell` called when the engine begins to work and when it has nothing more to do.
 * @param {(busy: boolean) => void} tell
 */
export function watchAsking(tell) {
  told = tell;
}

/**
 * Gives the engine the files that every question may name.
 * @param {Record<string, Uint8Array>} files
 */
export function holdFiles(files) {
  held = files;
  worker?.postMessage({ hold: files });
}

/** Puts what runs back among what waits. */
function interrupt() {
  if (running) {
    worker?.terminate();
    worker = null;
    waiting.push(running);
    running = null;
  }
}

/**
 * Asks; an older question about the same thing is dropped.
 * @param {string} about
 * @param {string[]} args
 * @param {boolean} [idly] while nothing else is asked
 * @returns {Promise<Answer>}
 */
export function askEngine(about, args, idly = false) {
  waiting.filter((question) => question.about === about).forEach(drop);
  waiting = waiting.filter((question) => question.about !== about);
  if (running && running.about === about) {
    const old = running;
    drop(old);
    if (performance.now() - old.since > STOP_AFTER_MS) {
      worker?.terminate();
      worker = null;
      running = null;
    }
  }
  return new Promise((resolve, reject) => {
    waiting.push({ id: ++last, about, args, idly, resolve, reject, since: 0 });
    if (running?.idly && !idly) {
      interrupt();
    }
    if (!running) {
      next();
    }
  });
}
