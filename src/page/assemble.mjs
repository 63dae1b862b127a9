// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Puts the page together: `node assemble.mjs ENGINE CORPUS NOTICES OUTPUT`. ENGINE is the folder with engine.js and
// rowcall.wasm, CORPUS that of the demo, NOTICES a text with the licences of what is inside. The modules become one
// script, in the order of their imports, so that the page needs no other file and its policy allows these bytes alone.

import { createHash } from 'node:crypto';
import { readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Script } from 'node:vm';
import { gzipSync } from 'node:zlib';

const here = dirname(fileURLToPath(import.meta.url));
const importLine = /^import \{[^}]*\} from '(\.\/[^']+)';\n/gm;

/** @param {string} message @returns {never} */
function fail(message) {
  process.stderr.write(`assemble: ${message}\n`);
  process.exit(1);
}

/**
 * The text of a module and of all that it imports, each once, those imported first.
 * @param {string} path
 * @param {Set<string>} done
 * @returns {string}
 */
function joinModules(path, done) {
  if (done.has(path)) {
    return '';
  }
  done.add(path);
  const text = readFileSync(path, 'utf8');
  const before = [...text.matchAll(importLine)].map((found) => joinModules(join(dirname(path), found[1]), done));
  const own = text.replace(importLine, '').replace(/^export (?=(async )?function|const|let|class)/gm, '');
  if (/^(import|export)\b/m.test(own)) {
    fail(`${path}: imports and exports are written as in the other modules, each import at its line's start`);
  }
  return before.join('') + own;
}

/** A script's text must not end its element. @param {string} text @param {string} what */
function checked(text, what) {
  if (/<\/script|<!--/i.test(text)) {
    fail(`${what} holds "</script" or "<!--", which would end its element`);
  }
  return text;
}

/** Modules that share a script share its names: one that two of them have is an error here. @param {string} text */
function parsed(text) {
  try {
    new Script(text);
  } catch (error) {
    fail(`the modules do not make one script: ${error}`);
  }
  return text;
}

/** @param {string} text */
function hashOf(text) {
  return `'sha256-${createHash('sha256').update(text).digest('base64')}'`;
}

/** The demo as the page's data. @param {string} corpus */
function demo(corpus) {
  const names = readdirSync(corpus).filter((name) => name.endsWith('.yaml')).sort();
  const file = (/** @type {string} */ name) => ({ name, text: readFileSync(join(corpus, name), 'utf8') });
  const data = { demo: true, tunes: names.map(file), examples: file('window.offers') };
  return JSON.stringify(data).replace(/[<>&]/g, (letter) => `\\u00${letter.charCodeAt(0).toString(16)}`);
}

const [engine, corpus, notices, output] = process.argv.slice(2).map((path) => resolve(path));
if (!output) {
  fail('expected ENGINE CORPUS NOTICES OUTPUT');
}
const style = readFileSync(join(here, 'style.css'), 'utf8');
const script = checked(parsed(joinModules(join(here, 'main.js'), new Set())), 'the script');
const loader = readFileSync(join(engine, 'engine.js'), 'utf8');
const worker = checked(`${loader}\n${readFileSync(join(here, 'worker.js'), 'utf8')}`, 'the engine');
const policy = `default-src 'none'; script-src ${hashOf(script)} 'wasm-unsafe-eval'; style-src ${hashOf(style)}; ` +
  "worker-src blob:; media-src blob:; base-uri 'none'; form-action 'none'";
/** @type {Record<string, string>} */
const parts = {
  '@POLICY@': policy,
  '@STYLE@': style,
  '@GIVEN@': demo(corpus),
  '@NOTICES@': checked(readFileSync(notices, 'utf8'), 'the notices'),
  '@ENGINE@': gzipSync(readFileSync(join(engine, 'rowcall.wasm')), { level: 9 }).toString('base64'),
  '@WORKER@': worker,
  '@SCRIPT@': script,
};
const page = readFileSync(join(here, 'index.html'), 'utf8').replace(/@[A-Z]+@/g, (mark) => parts[mark] ?? mark);
writeFileSync(output, page);
