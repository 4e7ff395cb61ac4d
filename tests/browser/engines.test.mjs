// The builder as one file over file:// in the other two engines, by real clicks and keys: from a
// part to a guide with a tip, tried and handed out.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { basename, join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { hook } from "./rig/builder.mjs";
import { openIn } from "./rig/open.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const BUILDER = pathToFileURL(join(ROOT, "dist/cueleaf.html")).href;
const SCORE = join(ROOT, "examples/mail-boat.musicxml");

/** Drops a file on the page; runs in the page. */
function dropped([base64, name]) {
  const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
  const transfer = new DataTransfer();
  transfer.items.add(new File([bytes], name));
  document.querySelector("#app").dispatchEvent(new DragEvent("drop", { dataTransfer: transfer, bubbles: true, cancelable: true }));
}

const there = (selector) => Boolean(document.querySelector(selector));

for (const engine of ["firefox", "webkit"]) {
  describe(`the builder in ${engine}`, () => {
    let page;
    before(async () => {
      page = await openIn(engine, BUILDER, { size: { width: 1280, height: 800 } });
      await page.until(there, hook("choose-file"));
    });
    after(() => page?.close());

    const type = async (text) => {
      for (const letter of text) await page.press(letter);
    };

    test("a part becomes a guide", async () => {
      await page.evaluate(dropped, [readFileSync(SCORE).toString("base64"), basename(SCORE)]);
      await page.until(() => [...document.querySelectorAll("label")].some((label) => label.innerText.trim() === "Viola"));
      await page.evaluate(() => {
        const label = [...document.querySelectorAll("label")].find((own) => own.innerText.trim() === "Viola");
        label.id = "the-viola";
      });
      await page.click("#the-viola");
      await page.click(hook("make-guide"));
      await page.until(there, "#m-0");
      // A pickup and 104 measures.
      assert.equal(await page.evaluate(() => document.querySelectorAll("[id^='m-']").length), 105);
    });

    test("a fact is edited at a measure and taken back", async () => {
      await page.click("#m-2");
      await page.until(there, "#fact-mark");
      await page.click("#fact-mark");
      await type("Q9");
      await page.press("Enter");
      await page.until(() => document.querySelector("#m-2").innerText.includes("Q9"));
      await page.click(hook("undo"));
      await page.until(() => !document.querySelector("#m-2").innerText.includes("Q9"));
    });

    test("a tip is written, and shown in the student's page", async () => {
      await page.click(hook("room", "tips"));
      await page.click(hook("add-tip"));
      await page.until(there, 'textarea[id^="tip-text-"]');
      await page.click('textarea[id^="tip-text-"]');
      await type("Breathe");
      await page.until(() => document.querySelector("#kept")?.innerText.includes("Kept"));
      await page.click(hook("room", "try-it"));
      await page.until(there, "#preview-frame");
      const listed = await page.evaluate(() => document.querySelector("#preview-frame").srcdoc.includes("Breathe"));
      assert.ok(listed);
    });

    test("it can be handed out", async () => {
      await page.click(hook("room", "hand-out"));
      await page.until(there, hook("hand-out"));
      await page.until(() => /kB/.test(document.querySelector("#app").innerText));
    });

    test("the console is clean and nothing was asked for", () => page.staysQuiet());
  });
}
