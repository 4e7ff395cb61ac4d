// Proves the rig itself, in all three engines: a self-made page under the strict policy opens
// over file://, runs wasm from inlined bytes, takes clicks and keys, and its audio clock runs;
// a page that complains or asks the network for something is seen.

import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";
import { ENGINES, openIn, PHONE } from "./rig/open.mjs";
import { strictPolicy, writePage } from "./rig/policy.mjs";

// The smallest module with one function: (func (export "answer") (result i32) i32.const 42).
const WASM = Buffer.from(
  "0061736d010000000105016000017f03020100070a0106616e7377657200000a06010400412a0b",
  "hex",
);

const STYLE = "button { min-height: 44px; color: rgb(1, 2, 3) }";

const SCRIPT = `
  const byId = (id) => document.getElementById(id);
  const bytes = Uint8Array.from(atob(byId("module").textContent), (c) => c.charCodeAt(0));
  WebAssembly.instantiate(bytes).then(({ instance }) => {
    byId("wasm").textContent = String(instance.exports.answer());
  });
  let clicks = 0;
  byId("button").addEventListener("click", async () => {
    clicks += 1;
    byId("clicks").textContent = String(clicks);
    const context = new AudioContext();
    await context.resume();
    const begin = context.currentTime;
    setInterval(() => { byId("audio").textContent = context.currentTime > begin ? "runs" : "stands"; }, 50);
  });
  addEventListener("keydown", (event) => { byId("key").textContent = event.key; });
`;

const PAGE = `<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Rig</title>
<meta http-equiv="Content-Security-Policy" content="${strictPolicy({ scripts: [SCRIPT], styles: [STYLE] })}">
<style>${STYLE}</style></head><body>
<button id="button">Click</button>
<p id="wasm"></p><p id="clicks"></p><p id="audio"></p><p id="key"></p>
<script type="application/octet-stream" id="module">${WASM.toString("base64")}</script>
<script>${SCRIPT}</script></body></html>`;

const LOUD = `<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Loud</title></head>
<body><p id="ready">ready</p><script>console.warn("a warning of the page");</script></body></html>`;

const LATE = `<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Late</title></head>
<body><button id="button">Click</button><script>
addEventListener("click", () => { throw new Error("an error at the click"); });
</script></body></html>`;

const ASKING = `<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Asks</title></head>
<body><p id="ready">ready</p><img alt="" src="http://nowhere.invalid/picture.png"></body></html>`;

for (const engine of ENGINES) {
  describe(engine, () => {
    let page;
    before(async () => {
      page = await openIn(engine, writePage(PAGE));
    });
    after(() => page?.close());

    test("wasm runs from inlined bytes under the strict policy", async () => {
      await page.until(() => document.getElementById("wasm").textContent === "42");
    });

    test("the inlined style counts, by its hash", async () => {
      const colour = await page.evaluate(
        () => getComputedStyle(document.getElementById("button")).color,
      );
      assert.equal(colour, "rgb(1, 2, 3)");
    });

    test("a click is a gesture: the audio clock runs", async () => {
      await page.click("#button");
      assert.equal(await page.text("#clicks"), "1");
      await page.until(() => document.getElementById("audio").textContent === "runs");
    });

    test("keys arrive", async () => {
      for (const key of ["PageDown", "ArrowLeft", " ", "n"]) {
        await page.press(key);
        await page.until((wanted) => document.getElementById("key").textContent === wanted, key);
      }
    });

    test("values travel both ways, promises are waited for, errors are thrown", async () => {
      const back = await page.evaluate(async (value) => ({ got: value }), ["a", 1, null]);
      assert.deepEqual(back, { got: ["a", 1, null] });
      await assert.rejects(page.evaluate(() => Promise.reject(new Error("on purpose"))), /on purpose/);
    });

    test("the page is as large as a small phone", async () => {
      const size = await page.evaluate(() => [innerWidth, innerHeight]);
      // MiniBrowser's tool bar keeps its window about 450 pixels wide.
      const width = engine === "webkit" ? size[0] : PHONE.width;
      assert.deepEqual(size, [width, PHONE.height]);
    });

    test("a picture can be taken", async () => {
      const picture = await page.screenshot();
      assert.equal(picture.subarray(1, 4).toString(), "PNG");
    });

    test("the page stayed quiet", () => page.staysQuiet());

    test("a page that warns is seen", async () => {
      const loud = await openIn(engine, writePage(LOUD));
      try {
        await assert.rejects(loud.staysQuiet(), /a warning of the page/);
      } finally {
        await loud.close();
      }
    });

    test("a page that fails later is seen", async () => {
      const late = await openIn(engine, writePage(LATE));
      try {
        await late.staysQuiet();
        await late.click("#button");
        // WebKit hides the words of an error in a file: page from listeners.
        await assert.rejects(late.staysQuiet(), /an error at the click|Script error/);
      } finally {
        await late.close();
      }
    });

    test("a page that asks the network is seen", async () => {
      const asking = await openIn(engine, writePage(ASKING));
      try {
        await asking.until(() => document.readyState === "complete");
        await assert.rejects(asking.staysQuiet());
        const seen = asking.gate.some((request) => request.includes("nowhere.invalid"));
        assert.ok(seen, "by the proxy");
      } finally {
        await asking.close();
      }
    });
  });
}
