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

/** How many things the database holds. */
const onShelfCount = (page) =>
  page.evaluate(
    () =>
      new Promise((resolve) => {
        indexedDB.open("cueleaf-builder", 1).onsuccess = ({ target: { result } }) => {
          const transaction = result.transaction(["shelf", "texts"]);
          const counts = ["shelf", "texts"].map((name) => transaction.objectStore(name).count());
          transaction.oncomplete = () => {
            result.close();
            resolve(counts[0].result + counts[1].result);
          };
        };
      }),
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

  test("an entry that cannot be read is listed, taken as it is and removed", async () => {
    const { page, seen } = await opened();
    await onShelf(page, "no entry");
    await page.goto(BUILDER);
    await page.locator("#damaged-0").waitFor();
    assert.equal(await page.locator(hook("kept-open")).count(), 0);
    const take = page.locator("#damaged-take-0");
    const [download] = await Promise.all([page.waitForEvent("download"), take.click()]);
    const guide = JSON.parse(readFileSync(await download.path(), "utf8"));
    assert.equal(guide.title, JSON.parse(readFileSync(GUIDE, "utf8")).title);
    // It is asked first, since nothing brings it back.
    await page.locator("#damaged-remove-0").click();
    await page.locator("#close-notice").click();
    assert.equal(await page.evaluate(() => document.activeElement.id), "damaged-remove-0");
    await page.locator("#damaged-remove-0").click();
    await page.locator(hook("notice")).getByText("Remove it").click();
    await page.locator("#damaged-0").waitFor({ state: "detached" });
    assert.equal(await onShelfCount(page), 0);
    await page.reload();
    await page.locator("#shelf-title").waitFor();
    assert.equal(await page.locator("#damaged-0").count(), 0);
    assert.deepEqual(seen.complaints, []);
    await page.close();
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
