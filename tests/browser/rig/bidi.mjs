// A small client of WebDriver BiDi (W3C), the protocol that Firefox speaks by itself: JSON
// messages over one WebSocket.

import WebSocket from "ws";
import { within } from "./surroundings.mjs";

/** How long the browser may take for one answer, in milliseconds. */
const LIMIT = 60_000;

/** Connects; gives `send(method, params)`, `on(event, listener)` and `close()`. An answer that does
    not come is an error that names what was asked. */
export async function connectBidi(address) {
  const socket = new WebSocket(address, { handshakeTimeout: LIMIT });
  await new Promise((resolve, reject) => {
    socket.once("open", resolve);
    socket.once("error", reject);
  });
  const waiting = new Map();
  const listeners = [];
  let next = 1;
  socket.on("message", (data) => {
    const message = JSON.parse(data);
    if (message.type === "event") {
      for (const [event, listener] of listeners) {
        if (event === message.method) listener(message.params);
      }
      return;
    }
    const { resolve, reject, method } = waiting.get(message.id) ?? {};
    waiting.delete(message.id);
    if (message.type === "success") resolve?.(message.result);
    else reject?.(new Error(`${method}: ${message.error}: ${message.message}`));
  });
  socket.on("close", () => {
    for (const { reject, method } of waiting.values()) {
      reject(new Error(`${method}: the browser is gone`));
    }
    waiting.clear();
  });
  return {
    send(method, params = {}) {
      const id = next++;
      return within(LIMIT, method, new Promise((resolve, reject) => {
        waiting.set(id, { resolve, reject, method });
        socket.send(JSON.stringify({ id, method, params }));
      }));
    },
    on: (event, listener) => listeners.push([event, listener]),
    close: () => socket.close(),
  };
}
