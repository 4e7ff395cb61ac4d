// The preview beside the rooms is told what each edit changed. After any of them it shows and
// plays what the file would that is handed out then. In Chromium.

import assert from "node:assert/strict";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { after, before, describe, test } from "node:test";
import { choose, GUIDE, hook, openBuilder } from "./rig/builder.mjs";
import { launchChromium } from "./rig/chromium.mjs";
import { temporaryFolder, until } from "./rig/surroundings.mjs";

/** What a live guide shows: its rooms to read, and the measures at which play can begin. */
function shownIn() {
  const html = (id) => document.getElementById(id).innerHTML;
  return { walk: html("room-walk"), todo: html("room-todo"), from: html("from"), strip: html("strip") };
}

describe("the preview", () => {
  let browser;
  let context;
  let page;
  let seen;
  let frame;
  before(async () => {
    browser = await launchChromium();
    ({ context, page, seen } = await openBuilder(browser, { acceptDownloads: true }));
    await choose(page, GUIDE);
    await page.locator("#m-2").click();
    await page.locator("#beside").click();
    await page.locator("#try-tools-in", { hasNotText: "Loading" }).waitFor();
    frame = page.frames().find((own) => own !== page.mainFrame());
    await frame.waitForFunction(() => document.documentElement.classList.contains("live"));
  });
  after(() => browser?.close());

  const go = async (number) => {
    await page.locator("#select-text").fill(String(number));
    await page.locator("#select-text").press("Enter");
  };
  const type = async (id, text) => {
    await page.locator(`#fact-${id}`).fill(text);
    await page.locator(`#fact-${id}`).press("Enter");
  };

  /** Opens the file that is handed out now, and gives what it shows. */
  const handedOut = async (number) => {
    await page.locator(hook("room", "hand-out")).click();
    const [file] = await Promise.all([
      page.waitForEvent("download"),
      page.locator(`#files ${hook("hand-out")}`).first().click(),
    ]);
    const path = join(temporaryFolder("preview"), `guide-${number}.html`);
    await file.saveAs(path);
    const guide = await context.newPage();
    await guide.goto(pathToFileURL(path).href);
    await guide.waitForFunction(() => document.documentElement.classList.contains("live"));
    const shown = await guide.evaluate(shownIn);
    await guide.close();
    await page.locator(hook("room", "road-map")).click();
    return shown;
  };

  const steps = {
    "words of a tempo": async () => {
      await go(3);
      await type("tempo-words", "Like fog");
    },
    "a new section": async () => {
      await go(30);
      await type("section", "Narrows");
    },
    "a new measure": async () => {
      await go(12);
      await page.locator(hook("insert-measure")).first().click();
    },
    "a new tip": async () => {
      await go(20);
      await page.locator("#add-tip").click();
      await page.locator(hook("tip-text")).fill("Breathe before the <fog>.");
    },
    "fewer measures": async () => {
      await page.locator("#undo").click();
      await go("40-44");
      await page.locator(hook("remove-measures")).first().click();
    },
    "all of it undone": async () => {
      while (!(await page.locator("#undo").getAttribute("aria-disabled"))) {
        await page.locator("#undo").click();
      }
    },
  };

  for (const [index, [name, step]] of Object.entries(steps).entries()) {
    test(`${name}: shows what is handed out then`, async () => {
      await step();
      const wanted = await handedOut(index);
      await until(`the preview shows ${name}`, async () => {
        const shown = await frame.evaluate(shownIn);
        return JSON.stringify(shown) === JSON.stringify(wanted);
      }).catch(async () => assert.deepEqual(await frame.evaluate(shownIn), wanted));
    });
  }

  test("the text follows at once, and what is played once the edits rest", async () => {
    await frame.evaluate(() => {
      window.told = [];
      const watch = (id) => {
        const note = () => window.told.push(id);
        new MutationObserver(note).observe(document.getElementById(id), { subtree: true, childList: true });
      };
      watch("room-walk");
      watch("room-play");
    });
    await go(5);
    await type("section", "Harbour");
    await until("both rooms are told", () =>
      frame.evaluate(() => window.told.includes("room-walk") && window.told.includes("room-play")),
    );
    assert.equal(await frame.evaluate(() => window.told[0]), "room-walk");
    // What is the same is not drawn anew: the strip and the lists of measures stay.
    const kept = await frame.evaluateHandle(() => document.getElementById("from"));
    await type("tempo-words", "Still");
    await frame.waitForFunction(() => document.getElementById("room-walk").textContent.includes("Still"));
    await page.waitForTimeout(600);
    assert.equal(await frame.evaluate((own) => own.isConnected, kept), true);
  });

  test("stayed quiet", () => assert.deepEqual(seen.complaints, []));
});
