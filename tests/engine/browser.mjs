// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A headless browser of Debian's that shows one file and evaluates JavaScript in it: Chromium by the Chrome DevTools
// Protocol, Firefox by W3C's WebDriver BiDi, each over the WebSocket that it opens itself.

import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";

const { WebSocket } = createRequire(import.meta.url)("/usr/share/nodejs/ws"); // Debian's node-ws

const KINDS = {
  chromium: {
    command: (profile) => ["chromium", "--headless", "--no-sandbox", "--remote-debugging-port=0", `--user-data-dir=${profile}`],
    listening: /DevTools listening on (ws:\S+)/,
    socket: (address) => address,
    async open(call, url) {
      const { targetId } = await call("Target.createTarget", { url });
      const { sessionId } = await call("Target.attachToTarget", { targetId, flatten: true });
      const evaluate = async (expression) => {
        const { result, exceptionDetails } =
          await call("Runtime.evaluate", { expression, awaitPromise: true, returnByValue: true }, sessionId);
        if (exceptionDetails) {
          throw new Error(exceptionDetails.exception?.description ?? exceptionDetails.text);
        }
        return result.value;
      };
      while (await evaluate("location.href === 'about:blank' || document.readyState") !== "complete") {
        await new Promise((resolve) => setTimeout(resolve, 20));
      }
      return evaluate;
    },
  },
  firefox: {
    command: (profile) => ["firefox-esr", "--headless", "--no-remote", "--profile", profile, "--remote-debugging-port=0"],
    listening: /WebDriver BiDi listening on (ws:\S+)/,
    socket: (address) => `${address}/session`,
    async open(call, url) {
      await call("session.new", { capabilities: {} });
      const { contexts: [{ context }] } = await call("browsingContext.getTree", {});
      await call("browsingContext.navigate", { context, url, wait: "complete" });
      return async (expression) => {
        const { type, result, exceptionDetails } =
          await call("script.evaluate", { expression, target: { context }, awaitPromise: true });
        if (type !== "success") {
          throw new Error(exceptionDetails.text);
        }
        return result.value;
      };
    },
  },
};

/** Calls of a JSON protocol with numbered messages, which both speak. */
function caller(socket) {
  const waiting = new Map();
  let last = 0;
  socket.on("message", (data) => {
    const { id, result, error, message } = JSON.parse(data);
    const asked = waiting.get(id);
    waiting.delete(id);
    if (asked && error) {
      asked.reject(new Error(message ?? error.message));
    } else if (asked) {
      asked.resolve(result);
    }
  });
  return (method, params, sessionId) => new Promise((resolve, reject) => {
    waiting.set(++last, { resolve, reject });
    socket.send(JSON.stringify({ id: last, method, params, sessionId }));
  });
}

/**
 * Opens @p url in a browser.
 * @param {"chromium" | "firefox"} name
 * @param {string} url
 * @returns {Promise<{ evaluate: (expression: string) => Promise<any>, close: () => Promise<void> }>}
 */
export async function openBrowser(name, url) {
  const kind = KINDS[name];
  const profile = mkdtempSync(join(tmpdir(), `rowcall-${name}-`));
  const [command, ...args] = kind.command(profile);
  const process = spawn(command, args, { stdio: ["ignore", "ignore", "pipe"] });
  const address = await new Promise((resolve, reject) => {
    createInterface(process.stderr).on("line", (line) => {
      const found = line.match(kind.listening);
      if (found) {
        resolve(found[1]);
      }
    });
    process.on("error", reject);
    process.on("exit", (status) => reject(new Error(`${command} ended at once, with status ${status}`)));
  });
  const socket = new WebSocket(kind.socket(address), { maxPayload: 1 << 30 });
  await once(socket, "open");
  const evaluate = await kind.open(caller(socket), url);
  return {
    evaluate,
    async close() {
      socket.terminate();
      const ended = once(process, "exit");
      process.kill();
      await ended;
      rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
    },
  };
}
