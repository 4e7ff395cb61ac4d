// "Save page as": what a browser writes of a guide that was in use is still the guide, for the
// commands, for the teacher and for the next student who opens it.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { launchChromium } from "./rig/chromium.mjs";
import { ENGINES, openIn } from "./rig/open.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const folder = temporaryFolder("saved");
const cueleaf = (...words) =>
  execFileSync(join(ROOT, "target/release/cueleaf"), words, { encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] });
const exported = join(folder, "viola.html");
cueleaf("export", join(ROOT, "examples/mail-boat-viola.json"), "-o", exported);

/** Gives the saved form inside a page. */
const inside = (path) => /<script type="[^"]*" id="cueleaf-guide">([^]*?)<\/script>/.exec(readFileSync(path, "utf8"))[1];

/** Counts what a page must have once; runs in the page. */
const parts = () =>
  Object.fromEntries(
    ["main", "h1", ".tabs", "[role=tab]", "[data-room=walk]", "[data-room=play]", "[data-room=count]", "[data-room=todo]", "#play", "#count", ".tip", ".todos input", "script", "style", "dialog, #choices"].map(
      (selector) => [selector, document.querySelectorAll(selector).length],
    ),
  );

/** Lists names of elements that stand twice; runs in the page. */
const twice = () => {
  const ids = [...document.querySelectorAll("[id]")].map(({ id }) => id);
  return ids.filter((id, index) => ids.indexOf(id) !== index);
};

/** Lists texts of the guide that are not on the page; runs in the page. */
const unseen = () =>
  [...document.querySelectorAll(":is([data-room=walk], [data-room=todo]) :is(h1, h2, h3, p, li)")]
    .filter((element) => !element.closest(".live, [hidden]:not([data-room])"))
    .filter((element) => element.innerText.trim() === "" || element.getBoundingClientRect().height === 0)
    .map((element) => element.textContent);

/** Lists what is shown and does nothing without scripts; runs in the page. */
const dead = () =>
  [...document.querySelectorAll("button, select, textarea, input:not([type=checkbox])")]
    .filter((element) => element.getClientRects().length > 0)
    .map((element) => element.outerHTML);

for (const engine of ENGINES) {
  describe(`a guide in use, saved by ${engine}`, () => {
    const path = join(folder, `${engine}.html`);
    let page;
    let first;
    before(async () => {
      page = await openIn(engine, pathToFileURL(exported).href);
      await page.until(() => Boolean(window.cueleaf?.clicksInto));
      first = await page.evaluate(parts);
      await page.click("#tab-play");
      await page.click("#play");
      await page.until(() => document.querySelector("#count").innerText.trim() === "2");
      await page.click("#play");
      await page.click("#tab-count");
      await page.click("#tab-todo");
      await page.click(".todos input");
      writeFileSync(path, await saved("todo"));
    });

    /** Gives what the browser would write in one of the rooms. */
    async function saved(room) {
      await page.click(`#tab-${room}`);
      return page.evaluate(() => `<!doctype html>${document.documentElement.outerHTML}`);
    }
    after(() => page?.close());

    test("has the same saved form inside, byte for byte", () => {
      assert.equal(inside(path), inside(exported));
    });

    test("is read by the commands, which write the first file again", () => {
      const again = join(folder, `${engine}-again.html`);
      cueleaf("export", path, "-o", again);
      assert.ok(readFileSync(again).equals(readFileSync(exported)));
      assert.match(cueleaf("check", path), /0 findings/);
    });

    // Without scripts, as a preview or a strict viewer shows it: here they are taken out.
    test("shows its whole text where no script runs, and nothing that would need one", async () => {
      for (const room of ["play", "count", "todo"]) {
        const text = await saved(room);
        assert.match(text, /<html[^>]* class="live"/);
        const still = join(folder, `${engine}-${room}-still.html`);
        writeFileSync(still, text.replace(/<script[^]*?<\/script>/g, ""));
        const read = await openIn(engine, pathToFileURL(still).href);
        try {
          assert.deepEqual(await read.evaluate(unseen), [], room);
          assert.deepEqual(await read.evaluate(dead), [], room);
        } finally {
          await read.close();
        }
      }
    });

    test("lives again, with nothing doubled", async () => {
      const again = await openIn(engine, pathToFileURL(path).href);
      try {
        await again.until(() => Boolean(window.cueleaf?.clicksInto));
        assert.deepEqual(await again.evaluate(parts), first);
        assert.deepEqual(await again.evaluate(twice), []);
        await again.click("#tab-play");
        await again.click("#play");
        await again.until(() => document.querySelector("#count").innerText.trim() === "2");
        await again.click("#play");
        await again.staysQuiet();
      } finally {
        await again.close();
      }
    });
  });
}

test("a guide saved in Play is all there with scripts switched off", async () => {
  const browser = await launchChromium();
  try {
    const live = await browser.newPage();
    await live.goto(pathToFileURL(exported).href);
    await live.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
    await live.click("#tab-play");
    const path = join(folder, "play.html");
    writeFileSync(path, `<!doctype html>${await live.evaluate(() => document.documentElement.outerHTML)}`);
    const page = await (await browser.newContext({ javaScriptEnabled: false })).newPage();
    const read = async (file) => {
      await page.goto(pathToFileURL(file).href);
      return page.locator("main").innerText();
    };
    const text = await read(path);
    assert.ok(text.length > 1000);
    assert.equal(text, await read(exported));
  } finally {
    await browser.close();
  }
});
