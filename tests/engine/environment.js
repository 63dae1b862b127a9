// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The environment of the node process is the program's too.
Module["preRun"] = [() => Object.assign(ENV, process.env)];

// emscripten takes each standard stream for a terminal.
Module["onRuntimeInitialized"] = () => {
  for (const fd of [0, 1, 2]) {
    FS.streams[fd].tty = require("tty").isatty(fd);
  }
};
