// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A question in which the program fails says so, and harms no other: faults.mjs ENGINE, the folder with engine.js and
// rowcall.wasm. The program is given less memory than the sound of a long tune needs, by the limit that its file states.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join, resolve } from "node:path";

const PAGES = 512; // of 64 KiB: twice what it begins with
const MEMORY_SECTION = 5;

/** A number of WebAssembly's, seven bits a byte: its value and where it ends. */
function number(bytes, at) {
  let value = 0;
  for (let shift = 0; ; shift += 7) {
    value += (bytes[at] & 127) * 2 ** shift;
    if (bytes[at++] < 128) {
      return { value, end: at };
    }
  }
}

/** The program with the most memory that it may take set to PAGES. */
function confined(wasm) {
  const bytes = Uint8Array.from(wasm);
  let at = 8;
  while (bytes[at] !== MEMORY_SECTION) {
    const { value, end } = number(bytes, at + 1);
    at = end + value;
  }
  const limits = number(bytes, at + 1).end + 1; // after how many memories there are
  assert.equal(bytes[limits], 1, "the program states the most memory that it takes");
  const most = number(bytes, limits + 1).end;
  const { end } = number(bytes, most);
  for (let i = most, left = PAGES; i < end; ++i, left >>= 7) {
    bytes[i] = (left & 127) | (i + 1 < end ? 128 : 0);
  }
  return bytes;
}

const folder = resolve(process.argv[2]);
const { open, SETTINGS } = createRequire(import.meta.url)(join(folder, "engine.js"));
const wasm = readFileSync(join(folder, "rowcall.wasm"));
const tune = (bars) => ({ "tune.abc": new TextEncoder().encode(`X:1\nT:Tune\nM:4/4\nL:1/4\nQ:1/4=60\nK:C\n${'"Am"A4|"G"G4|'.repeat(bars / 2)}\n`) });
const short = { args: ["compare", "--format", "json", "tune.abc"], files: tune(8) };
const long = { args: ["listen", "tune.abc", "--on", "72", "-o", "tune.wav"], files: tune(120) };

const healthy = await open(wasm);
const expected = await healthy.ask(short);
assert.equal(expected.status, 0, expected.err);
const engine = await open(confined(wasm));
for (let round = 0; round < 3; ++round) {
  const fault = await engine.ask(long);
  assert.equal(fault.status, 134, fault.err.slice(0, 300));
  assert.match(fault.fault, /./);
  assert.deepEqual(fault.files, {});
  assert.deepEqual(await engine.ask(short), expected);
}
// Many at once, and what one writes is not there for the next.
const all = await Promise.all(Array.from({ length: 8 }, () => healthy.ask(short)));
all.forEach((answer) => assert.deepEqual(answer, expected));
const kept = await healthy.ask({ args: ["settings", "--on", "72"] });
assert.deepEqual(Object.keys(kept.files), [SETTINGS]);
assert.equal((await healthy.ask({ args: ["compare", "tune.abc"], files: { ...short.files, ...kept.files } })).status, 0);
assert.ok((await healthy.ask({ args: ["settings"], files: kept.files })).out.includes("72"));
assert.ok(!(await healthy.ask({ args: ["settings"] })).out.includes("72"));
console.log("faults: 3 questions failed for want of memory, and none spoilt the next");
