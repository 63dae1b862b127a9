// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// @ts-check
/* global startRowcall */

/**
 * The engine: the command line itself, asked with words and files in memory.
 *
 * build.sh puts emscripten's loader and this file into build-page/engine.js, a classic script that defines one name,
 * `RowcallEngine`; beside it lies build-page/rowcall.wasm. Neither fetches anything nor makes code from text, so both
 * work from file:// and under a policy of `script-src ... 'wasm-unsafe-eval'; worker-src blob:`. In a page:
 *
 * ```js
 * const source = new Blob([engineText, workerText], { type: "text/javascript" });    // workerText begins with
 * const worker = new Worker(URL.createObjectURL(source));                            // const engine = await ...
 * // in the worker:
 * const engine = await RowcallEngine.open(wasm);      // bytes, or a WebAssembly.Module that another worker compiled
 * const answer = await engine.ask({ args: ["compare", "--format", "json", "tunes"], files: { "tunes/a.abc": bytes } });
 * ```
 *
 * - A question is what the command line takes, without the program's name, in a folder of its own, with the files given by
 *   their paths in it. Everything said in the manual holds: options, formats, messages, statuses, `-o FILE`.
 * - An answer is what the program would have printed and written: `status` 0 all read, 1 some tunes or chords could not be
 *   read, 2 wrong use or nothing done; `files` are those it made or changed, by the paths used in `-o`.
 * - Each question has an instance of its own, with its own memory and files: nothing is left over, and whatever goes wrong
 *   in one harms no other. Where the program itself fails (its memory is full, or it has an error), `status` is 134 and `fault`
 *   says why; `ask` rejects only what is no question.
 * - Questions block the thread, so ask in a worker; `worker.terminate()` cancels. `engine.module` can be posted to the next
 *   worker, which then need not compile.
 * - The user's settings are read from SETTINGS (`RowcallEngine.SETTINGS`), a file like any other, and `settings` writes it.
 *
 * @typedef {{ [path: string]: Uint8Array }} Files
 * @typedef {{ args: string[], files?: Files, stdin?: Uint8Array | string }} Question
 * @typedef {{ status: number, out: string, err: string, files: Files, fault?: string }} Answer
 * @typedef {{ ask: (question: Question) => Promise<Answer>, module: WebAssembly.Module }} Engine
 */
const RowcallEngine = (() => {
  const FOLDER = "/tunes";
  const STREAMS = "/streams";
  const SETTINGS = "/settings/rowcall/settings.yaml";
  const FAULT = 134; // what a shell says of a program that was aborted

  /**
   * An instance at rest, with its files still to be laid; rejects where there is no memory for one.
   * @param {WebAssembly.Module} module
   * @param {(reason: string) => void} onFault
   * @returns {Promise<any>}
   */
  function start(module, onFault) {
    return new Promise((resolve, reject) => {
      startRowcall({
        thisProgram: "rowcall",
        /** @param {WebAssembly.Imports} imports @param {(instance: WebAssembly.Instance) => void} done */
        instantiateWasm(imports, done) {
          WebAssembly.instantiate(module, imports).then(done).catch(reject);
          return {};
        },
        /** @param {any} instance */
        preRun(instance) {
          Object.assign(instance.ENV, { LANG: "C.UTF-8", XDG_CONFIG_HOME: "/settings" });
        },
        onAbort: onFault,
        /** @param {number} _status @param {unknown} toThrow */
        quit(_status, toThrow) {
          throw toThrow;
        },
        printErr() {},
      }).then(resolve, reject);
    });
  }

  /** @param {any} fs @param {string} path from the root @param {Uint8Array | string} content */
  function lay(fs, path, content) {
    fs.mkdirTree(path.slice(0, path.lastIndexOf("/")));
    fs.writeFile(path, content);
  }

  /** Standard input, output and error as files: whole, as bytes, and no terminal. @param {any} fs @param {Question} question */
  function layStreams(fs, question) {
    lay(fs, `${STREAMS}/in`, question.stdin ?? "");
    for (const [fd, [name, mode]] of [["in", "r"], ["out", "w"], ["err", "w"]].entries()) {
      fs.close(fs.getStream(fd));
      fs.open(`${STREAMS}/${name}`, mode); // the lowest number that is free
    }
  }

  /** The files of a folder and below, each by its path there. @param {any} fs @param {string} folder @returns {string[]} */
  function within(fs, folder) {
    return fs.readdir(folder).filter((/** @type {string} */ name) => name !== "." && name !== "..").flatMap(
      (/** @type {string} */ name) => {
        const path = `${folder}/${name}`;
        return fs.isDir(fs.stat(path).mode) ? within(fs, path) : [path];
      });
  }

  /**
   * What the program wrote: it replaces a file and never writes into one.
   * @param {any} fs
   * @param {Set<number>} given the files that were there before
   * @returns {Files}
   */
  function written(fs, given) {
    /** @type {Files} */
    const files = {};
    for (const path of [...within(fs, FOLDER), ...within(fs, "/settings")]) {
      if (!given.has(fs.stat(path).ino)) {
        files[path.startsWith(`${FOLDER}/`) ? path.slice(FOLDER.length + 1) : path] = fs.readFile(path);
      }
    }
    return files;
  }

  /** @param {WebAssembly.Module} module @param {Question} question @returns {Promise<Answer>} */
  async function ask(module, { args, files = {}, stdin }) {
    let fault = "";
    const told = (/** @type {unknown} */ error) => error instanceof Error ? error.message : String(error);
    let program;
    try {
      program = await start(module, (reason) => { fault = reason; });
    } catch (error) {
      return { status: FAULT, out: "", err: "", files: {}, fault: told(error) };
    }
    const fs = program.FS;
    fs.mkdirTree("/settings");
    fs.mkdirTree(FOLDER);
    fs.chdir(FOLDER);
    const given = new Set();
    for (const [path, bytes] of Object.entries(files)) {
      const whole = path.startsWith("/") ? path : `${FOLDER}/${path}`;
      lay(fs, whole, bytes);
      given.add(fs.stat(whole).ino);
    }
    layStreams(fs, { args, stdin });
    let status = FAULT;
    try {
      status = program.callMain([...args]);
    } catch (error) {
      fault ||= told(error);
    }
    const text = (/** @type {string} */ name) => new TextDecoder().decode(fs.readFile(`${STREAMS}/${name}`));
    const answer = { status, out: text("out"), err: text("err"), files: written(fs, given) };
    return fault ? { ...answer, fault, status: FAULT } : answer;
  }

  /**
   * Compiles the program, once.
   * @param {BufferSource | WebAssembly.Module} wasm
   * @returns {Promise<Engine>}
   */
  async function open(wasm) {
    const module = wasm instanceof WebAssembly.Module ? wasm : await WebAssembly.compile(wasm);
    return { ask: (question) => ask(module, question), module };
  }

  return { open, SETTINGS };
})();

if (typeof module === "object") {
  module.exports = RowcallEngine;
}
