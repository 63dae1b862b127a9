// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What emscripten's loader and engine.js give the scripts after them in the worker.
declare const startRowcall: any;
declare const RowcallEngine: { open(program: BufferSource | WebAssembly.Module): Promise<any> };
declare const module: { exports: any };
