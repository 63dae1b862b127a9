// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The page in Firefox, from a file: `node firefox.mjs ROWCALL CORPUS PAGE`. It opens every view, answers as the native program
// does, and shows what a chord's buttons are.

import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import puppeteer from 'puppeteer-core';

const [rowcall, corpus, pagePath] = process.argv.slice(2).map((path) => resolve(path));
const books = readdirSync(corpus).filter((name) => name.endsWith('.yaml')).sort();

function native(...args) {
  const { stdout } = spawnSync(rowcall, [...args, '--no-settings', '--format', 'json'], { cwd: corpus, maxBuffer: 1 << 28 });
  return JSON.parse(stdout.toString());
}

const browser = await puppeteer.launch({ browser: 'firefox', executablePath: process.env.FIREFOX ?? '/usr/bin/firefox-esr',
  headless: true });
const page = await browser.newPage();
const faults = [];
page.on('console', (message) => faults.push(message.text()));
page.on('pageerror', (error) => faults.push(error.message));
const ready = () => page.waitForFunction(() => document.body.dataset.ready, { timeout: 60000 });

async function go(hash) {
  await page.evaluate((where) => {
    delete document.body.dataset.ready;
    location.hash = where;
  }, hash);
  await ready();
}

await page.goto(pathToFileURL(pagePath).href);
await ready();
const own = native('compare', ...books, '--on', '48-8x6').layouts[0].tunes;
assert.equal(await page.$eval('.sentence', (one) => one.textContent),
  `Your 48-8x6 plays ${own.playable} of ${own.total} tunes.`);
for (const hash of ['#tunes', '#keyboard', '#learn', '#buy', '#board', '#given']) {
  await go(hash);
  assert.ok((await page.$eval('main', (one) => one.innerText)).length > 40, hash);
}
await go('#tune=waltzes.yaml%3A4');
const tune = native('tune', 'waltzes.yaml', '--line', '4', '--on', '48-8x6').tunes[0];
const chords = tune.written.flat();
for (let i = 0; i < chords.length; ++i) {
  const lit = await page.evaluate((nth) => {
    document.querySelectorAll('.chord')[nth].click();
    return [...document.querySelectorAll('.panel .lit')].map((one) => one.dataset.key).sort();
  }, i);
  const way = tune.ways[chords[i].way];
  assert.deepEqual(lit, [...way.basses, ...way.chords].map((at) => `${at.row}:${at.column}`).sort(), chords[i].chord);
}
assert.deepEqual(faults, []);
await browser.close();
console.log('ok the page in Firefox');
