// What the builder keeps on this device, where something goes wrong: an entry that cannot be read,
// another tab that saves in the moment of removing, a page that gives up. In Chromium.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, before, describe, test } from "node:test";
import { BUILDER, GUIDE, SCORE, choose, drop, hook, openBuilder } from "./rig/builder.mjs";
import { launchChromium } from "./rig/chromium.mjs";

/** The first entry of the list as the database holds it; with a value, it is put there instead. */
const onShelf = (page, value) =>
  page.evaluate(
    (value) =>
      new Promise((resolve, reject) => {
        const opening = indexedDB.open("cueleaf-builder", 1);
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const transaction = opening.result.transaction(["shelf"], "readwrite");
          const shelf = transaction.objectStore("shelf");
          let found;
          shelf.openCursor().onsuccess = ({ target: { result: cursor } }) => {
            found = cursor.value;
            if (value !== undefined) cursor.update(value);
          };
          transaction.oncomplete = () => {
            opening.result.close();
            resolve(found);
          };
        };
      }),
    value,
  );

const isKept = (page) => page.waitForFunction(() => document.getElementById("kept")?.innerText.includes("Kept"));

/** Edits the section of the first measure. */
async function edit(page, text) {
  await page.locator(hook("measure")).first().click();
  await page.locator("#fact-section").fill(text);
  await page.keyboard.press("Enter");
}

describe("what is kept", () => {
  let browser;
  before(async () => {
    browser = await launchChromium();
  });
  after(() => browser?.close());

  async function opened() {
    const { page, seen } = await openBuilder(browser);
    await choose(page, GUIDE);
    await isKept(page);
    return { page, seen };
  }

  test("an entry that cannot be read is not overwritten", async () => {
    const { page, seen } = await opened();
    await onShelf(page, "no entry");
    await edit(page, "Mine");
    await page.getByText("Nothing was overwritten").first().waitFor();
    assert.equal(await onShelf(page), "no entry");
    await page.getByText("Open the kept one").click();
    await page.getByText("is damaged, and was left as it is").first().waitFor();
    assert.deepEqual(seen.complaints, []);
    await page.close({ runBeforeUnload: false });
  });

  test("what another tab saves while a guide is removed comes back with Undo", async () => {
    const { page, seen } = await opened();
    await page.goto(BUILDER);
    await page.locator(".kept-list li").waitFor();
    // Right before the page writes for the first time, another tab has its turn.
    await page.evaluate(() => {
      const own = IDBDatabase.prototype.transaction;
      IDBDatabase.prototype.transaction = function (stores, mode, ...more) {
        if (mode === "readwrite") {
          IDBDatabase.prototype.transaction = own;
          const shelf = own.call(this, ["shelf"], "readwrite").objectStore("shelf");
          shelf.openCursor().onsuccess = ({ target: { result: cursor } }) =>
            cursor.update({ ...cursor.value, title: "Saved elsewhere", revision: cursor.value.revision + 1 });
        }
        return own.call(this, stores, mode, ...more);
      };
    });
    await page.locator(hook("kept-remove")).click();
    await page.locator(hook("notice")).getByText("Undo").click();
    await page.locator(".kept-list .name").getByText("Saved elsewhere").waitFor();
    assert.deepEqual(seen.complaints, []);
    await page.close();
  });

  test("a page that gives up offers the open guide, also while a second file is looked at", async () => {
    const { page, seen } = await opened();
    await edit(page, "Mine");
    await isKept(page);
    await drop(page, SCORE);
    await page.locator("#part-0, .parts").first().waitFor();
    assert.equal(await page.locator("#map").count(), 0);
    // Where memory runs out the page hears no more than this.
    await page.evaluate(() => {
      const error = new WebAssembly.RuntimeError("unreachable");
      for (let time = 0; time < 2; time += 1) dispatchEvent(new ErrorEvent("error", { error }));
    });
    const told = page.locator("body > .trouble");
    await told.getByText("it cannot go on").waitFor();
    assert.equal(await told.count(), 1);
    const [download] = await Promise.all([
      page.waitForEvent("download"),
      told.getByText("Download the guide as it is now").click(),
    ]);
    const guide = JSON.parse(readFileSync(await download.path(), "utf8"));
    assert.equal(guide.road_map.measures[0].section, "Mine");
    assert.deepEqual(seen.complaints, []);
    await page.close({ runBeforeUnload: false });
  });
});
