// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Holds the engine's answers against those of the native program, byte by byte: answers.mjs PROGRAM ENGINE CORPUS WHERE...,
// where ENGINE is the folder with engine.js and rowcall.wasm, and WHERE is node, chromium or firefox. In a browser the engine
// works in a worker of a page opened by file://.

import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { openBrowser } from "./browser.mjs";
import { questions } from "./questions.mjs";

const [program, engineFolder, corpus] = process.argv.slice(2, 5).map((path) => resolve(path));
const places = process.argv.slice(5);
const scratch = mkdtempSync(join(tmpdir(), "rowcall-engine-"));
const asked = questions(corpus);

/** The native program's answer, in a folder of its own with the same files. */
function native({ args, files, stdin = "" }, index) {
  const folder = join(scratch, `${index}`);
  mkdirSync(folder);
  for (const [path, bytes] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), bytes);
  }
  const { status, stdout, stderr } = spawnSync(program, args, { cwd: folder, input: stdin, maxBuffer: 1 << 28,
    env: { LC_ALL: "C.UTF-8", XDG_CONFIG_HOME: join(scratch, "settings") } });
  const written = readdirSync(folder, { withFileTypes: true }).filter((entry) => entry.isFile() && !(entry.name in files));
  const made = Object.fromEntries(written.map(({ name }) => [name, readFileSync(join(folder, name)).toString("base64")]));
  rmSync(folder, { recursive: true });
  return { status, out: stdout.toString(), err: stderr.toString(), files: made };
}

const base64 = (bytes) => Buffer.from(bytes).toString("base64");

/** Asks in node, each question at once. */
async function askNode() {
  const engine = await createRequire(import.meta.url)(join(engineFolder, "engine.js")).open(readFileSync(join(engineFolder, "rowcall.wasm")));
  return async (index) => {
    const answer = await engine.ask(asked[index]);
    return { ...answer, files: Object.fromEntries(Object.entries(answer.files).map(([name, bytes]) => [name, base64(bytes)])) };
  };
}

/** A page that asks its worker, with all questions in it. */
function page() {
  const worker = `
    const bytes = (text) => Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
    const text = (data) => { let all = ""; for (const byte of data) { all += String.fromCharCode(byte); } return btoa(all); };
    const each = (files, change) => Object.fromEntries(Object.entries(files).map(([name, data]) => [name, change(data)]));
    let engine;
    onmessage = async ({ data: { wasm, id, question } }) => {
      engine ??= RowcallEngine.open(bytes(wasm));
      const { args, files, stdin } = question;
      const answer = await (await engine).ask({ args, files: each(files, bytes), stdin: stdin && bytes(stdin) });
      postMessage({ id, answer: { ...answer, files: each(answer.files, text) } });
    };`;
  const data = { wasm: base64(readFileSync(join(engineFolder, "rowcall.wasm"))),
    source: readFileSync(join(engineFolder, "engine.js"), "utf8") + worker,
    questions: asked.map(({ args, files, stdin }) => ({ args, stdin: stdin && base64(stdin),
      files: Object.fromEntries(Object.entries(files).map(([name, bytes]) => [name, base64(bytes)])) })) };
  return `<!doctype html><meta charset="utf-8"><title>Engine</title>
    <meta http-equiv="Content-Security-Policy" content="default-src 'none'; script-src 'unsafe-inline' 'wasm-unsafe-eval' blob:; worker-src blob:">
    <script type="application/json" id="data">${JSON.stringify(data).replaceAll("<", "\\u003c")}</script>
    <script>
      const data = JSON.parse(document.getElementById("data").textContent);
      const worker = new Worker(URL.createObjectURL(new Blob([data.source], { type: "text/javascript" })));
      const waiting = new Map();
      worker.onmessage = ({ data: { id, answer } }) => waiting.get(id).resolve(answer);
      worker.onerror = ({ message }) => waiting.forEach(({ reject }) => reject(new Error(message)));
      function ask(id) {
        return new Promise((resolve, reject) => {
          waiting.set(id, { resolve, reject });
          worker.postMessage({ id, wasm: data.wasm, question: data.questions[id] });
        }).then(JSON.stringify);
      }
    </script>`;
}

async function askBrowser(name) {
  const path = join(scratch, "page.html");
  writeFileSync(path, page());
  const { evaluate, close } = await openBrowser(name, pathToFileURL(path).href);
  return { ask: async (index) => JSON.parse(await evaluate(`ask(${index})`)), close };
}

/** The first difference in words, or nothing. */
function difference(got, wanted) {
  const at = (a, b) => { let i = 0; while (a[i] === b[i]) { ++i; } return `byte ${i}: \`${a.slice(i, i + 60)}\`, native \`${b.slice(i, i + 60)}\``; };
  if (got.fault) {
    return `a fault: ${got.fault}`;
  }
  if (got.status !== wanted.status) {
    return `status ${got.status}, native ${wanted.status}: ${got.err}${wanted.err}`;
  }
  for (const stream of ["out", "err"]) {
    if (got[stream] !== wanted[stream]) {
      return `${stream}, ${at(got[stream], wanted[stream])}`;
    }
  }
  const [made, expected] = [got.files, wanted.files].map((files) => JSON.stringify(files, Object.keys(files).sort()));
  return made === expected ? "" : `files ${Object.keys(got.files)}, native ${Object.keys(wanted.files)}: ${at(made, expected)}`;
}

const size = ({ out, err, files }) => Buffer.byteLength(out) + Buffer.byteLength(err) +
  Object.values(files).reduce((sum, text) => sum + Buffer.from(text, "base64").length, 0);
const wanted = asked.map(native);
let failed = 0;
for (const place of places) {
  const { ask, close } = place === "node" ? { ask: await askNode() } : await askBrowser(place);
  let bytes = 0;
  let differ = 0;
  for (const [index, { args }] of asked.entries()) {
    const answer = await ask(index);
    const why = difference(answer, wanted[index]);
    bytes += size(answer);
    if (why) {
      ++differ;
      console.log(`${place}: ${args.join(" ")}: ${why}`);
    }
  }
  await close?.();
  console.log(`${place}: ${asked.length} answers compared, ${bytes} bytes, ${differ} differ`);
  failed += differ;
}
rmSync(scratch, { recursive: true });
process.exit(failed ? 1 : 0);
