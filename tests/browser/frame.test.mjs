// What the builder's preview rests on, in all three engines over file://: a srcdoc frame inherits
// the policy of its page, so the hashes of the frame's script and style must stand in that one;
// frame-src is not asked for srcdoc; sandbox="allow-scripts" keeps the frame from storage and from
// its parent's document, while wasm, a handed-over port and sound after a click work in it.

import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";
import { ENGINES, openIn } from "./rig/open.mjs";
import { hashSource, strictPolicy, writePage } from "./rig/policy.mjs";
import { until } from "./rig/surroundings.mjs";

const CHILD_STYLE = "button { position: fixed; inset: 0; color: rgb(1, 2, 3) }";

// Tells over the handed-over port what it finds. The module answers 42, as in rig.test.mjs.
const CHILD_SCRIPT = `
  const module = "AGFzbQEAAAABBQFgAAF/AwIBAAcKAQZhbnN3ZXIAAAoGAQQAQSoL";
  const attempt = (action) => { try { return action(); } catch (error) { return error.name; } };
  addEventListener("message", async (event) => {
    const [port] = event.ports;
    const bytes = Uint8Array.from(atob(module), (letter) => letter.charCodeAt(0));
    const { instance } = await WebAssembly.instantiate(bytes);
    const button = document.querySelector("button");
    port.postMessage({
      fromParent: event.source === parent,
      wasm: instance.exports.answer(),
      colour: getComputedStyle(button).color,
      storage: attempt(() => typeof localStorage.length),
      document: attempt(() => parent.document.title),
    });
    button.addEventListener("click", async () => {
      const context = new AudioContext();
      await context.resume();
      port.postMessage({ sound: context.state });
    });
    port.onmessage = ({ data }) => port.postMessage({ echo: data });
  });
  parent.postMessage("ready", "*");
`;

const CHILD = `<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Child</title>
<style>${CHILD_STYLE}</style></head><body><button>Sound</button>
<script>${CHILD_SCRIPT}</script></body></html>`;

const PARENT_SCRIPT = `
  window.told = {};
  const frame = document.querySelector("iframe");
  addEventListener("message", (event) => {
    if (event.source !== frame.contentWindow || event.data !== "ready") return;
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => Object.assign(window.told, data);
    frame.contentWindow.postMessage("port", "*", [port2]);
    port1.postMessage("hello");
  });
  frame.srcdoc = ${JSON.stringify(CHILD).replaceAll("</", "<\\/")};
`;

function parentPage(scripts) {
  const policy = strictPolicy({ scripts, styles: [CHILD_STYLE], more: "; frame-src 'none'" });
  return `<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Parent</title>
<meta http-equiv="Content-Security-Policy" content="${policy}"></head><body>
<iframe title="Child" sandbox="allow-scripts"></iframe>
<script>${PARENT_SCRIPT}</script></body></html>`;
}

for (const engine of ENGINES) {
  describe(`${engine}: a sandboxed srcdoc frame`, () => {
    let page;
    before(async () => {
      page = await openIn(engine, writePage(parentPage([PARENT_SCRIPT, CHILD_SCRIPT])));
    });
    after(() => page?.close());

    test("runs what its page lists, and nothing of its page is open to it", async () => {
      await page.until(() => window.told.echo === "hello" && window.told.wasm !== undefined);
      assert.deepEqual(await page.evaluate(() => window.told), {
        fromParent: true,
        wasm: 42,
        colour: "rgb(1, 2, 3)",
        storage: "SecurityError",
        document: "SecurityError",
        echo: "hello",
      });
    });

    test("sounds after a click in it", async () => {
      await page.click("iframe");
      await page.until(() => window.told.sound === "running");
    });

    test("stayed quiet", () => page.staysQuiet());

    test("does not run what its page does not list", async () => {
      const strict = await openIn(engine, writePage(parentPage([PARENT_SCRIPT])));
      try {
        // The refusal comes to the console a moment later; in Chromium with the script's hash.
        await until("the refusal is told", async () =>
          (await strict.complaints()).some((text) => /script/i.test(text)),
        );
        assert.deepEqual(await strict.evaluate(() => window.told), {});
        if (engine === "chromium") {
          const complaints = await strict.complaints();
          assert.ok(complaints.some((text) => text.includes(hashSource(CHILD_SCRIPT))));
        }
      } finally {
        await strict.close();
      }
    });
  });
}
