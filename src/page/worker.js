// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/* global RowcallEngine */

// The engine's side of the page, after engine.js in the same script: it holds the files and answers questions.

/** @type {any} */
let engine = null;
/** @type {Record<string, Uint8Array>} */
let held = {};

/**
 * The program, compiled or packed.
 * @param {WebAssembly.Module | Uint8Array} program
 */
async function unpacked(program) {
  if (program instanceof WebAssembly.Module) {
    return program;
  }
  const stream = new Blob([/** @type {BlobPart} */ (program)]).stream().pipeThrough(new DecompressionStream('gzip'));
  return new Response(stream).arrayBuffer();
}

self.onmessage = async ({ data }) => {
  if (data.hold) {
    held = data.hold;
    return;
  }
  try {
    if (!engine) {
      engine = await RowcallEngine.open(await unpacked(data.program));
      self.postMessage({ program: engine.module });
    }
    self.postMessage({ id: data.id, answer: await engine.ask({ args: data.args, files: held }) });
  } catch (error) {
    self.postMessage({ id: data.id, failed: String(error) });
  }
};
