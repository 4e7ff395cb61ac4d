// A piece of a thousand measures in the builder: its map is drawn in turns, and an edit touches
// what it changes and nothing else. In Chromium.

import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { choose, hook } from "./rig/builder.mjs";
import { launchChromium, watch } from "./rig/chromium.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const BUILDER = pathToFileURL(join(resolve(import.meta.dirname, "../.."), "dist/cueleaf.html")).href;
const MEASURES = 1_000;

/** Marks every measure in the page, to see later which of them are still the same. */
function markAll() {
  for (const own of document.querySelectorAll(".measure")) own.marked = own.innerHTML;
}

/** Gives the measures that are others than when they were marked, or changed since. */
function changed() {
  const all = [...document.querySelectorAll(".measure")];
  return all.filter((own) => own.marked !== own.innerHTML).map((own) => own.id);
}

describe("a long piece", () => {
  let browser;
  let page;
  let seen;
  before(async () => {
    const measures = Array.from({ length: MEASURES }, (_, index) => ({
      label: `${index + 1}`,
      ...(index === 0 && { meter: "4/4" }),
      ...(index % 100 === 0 && { section: `Part ${index / 100 + 1}`, tempo: [{ tempo: "quarter = 90" }] }),
    }));
    const guide = { cueleaf: "1.0", id: "long", title: "A long way", parts: [{ id: "vn", name: "Violin" }], road_map: { measures } };
    const file = join(temporaryFolder("long"), "long.json");
    writeFileSync(file, JSON.stringify(guide));
    browser = await launchChromium();
    page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
    seen = watch(page);
    await page.goto(BUILDER);
    await choose(page, file);
    await page.locator(`#m-${MEASURES - 1}`).waitFor({ state: "attached" });
  });
  after(() => browser?.close());

  const ids = () => page.evaluate(() => [...document.querySelectorAll(".measure")].map((own) => own.id));
  const all = Array.from({ length: MEASURES }, (_, index) => `m-${index}`);

  test("all measures are there once the page is at rest, each once and in order", async () => {
    await page.waitForFunction((count) => document.querySelectorAll(".measure").length === count, MEASURES);
    assert.deepEqual(await ids(), all);
  });

  test("an edit changes its measure and no other", async () => {
    await page.locator("#m-3").click();
    await page.evaluate(markAll);
    const words = page.locator("#fact-tempo-words");
    await words.fill("Calmly");
    await words.press("Enter");
    await page.locator("#m-3", { hasText: "Calmly" }).waitFor();
    // What is written at a measure may reach over the next one only where that has room.
    assert.deepEqual(
      (await page.evaluate(changed)).filter((id) => id !== "m-2"),
      ["m-3"],
    );
    assert.equal(await page.evaluate(() => document.activeElement.id), "fact-tempo-words");
  });

  test("a section that begins splits its line, and the others stay", async () => {
    await page.evaluate(markAll);
    await page.locator("#m-10").click();
    await page.locator("#fact-section").fill("The bend");
    await page.locator("#fact-section").press("Enter");
    await page.locator(".heading", { hasText: "The bend" }).waitFor();
    await page.waitForFunction((count) => document.querySelectorAll(".measure").length === count, MEASURES);
    assert.deepEqual(await ids(), all);
    const moved = (await page.evaluate(changed)).map((id) => Number(id.slice(2)));
    assert.ok(moved.every((index) => index < 100), `${moved}`);
  });

  test("a measure more moves all that follow, and undo brings them back", async () => {
    await page.locator(hook("insert-measure")).click();
    await page.waitForFunction((count) => document.querySelectorAll(".measure").length === count, MEASURES + 1);
    assert.deepEqual(await ids(), [...all, `m-${MEASURES}`]);
    await page.locator("#undo").click();
    await page.waitForFunction((count) => document.querySelectorAll(".measure").length === count, MEASURES);
    assert.deepEqual(await ids(), all);
  });

  test("keys go on through measures that were drawn later, and the picture leads to any", async () => {
    await page.locator("#m-500").click();
    await page.keyboard.press("ArrowRight");
    await page.keyboard.press("ArrowRight");
    assert.equal(await page.evaluate(() => document.activeElement.id), "m-502");
    assert.equal(await page.locator("#m-502").getAttribute("aria-selected"), "true");
    assert.equal(await page.locator("[aria-selected=true]").count(), 1);
    await page.locator("#select-text").fill("990");
    await page.locator("#select-text").press("Enter");
    await page.locator("#m-989.chosen").waitFor();
    assert.ok(await page.locator("#m-989").isVisible());
  });

  test("other rooms and back, and the notes", async () => {
    await page.locator(hook("room", "tips")).click();
    await page.locator(hook("room", "road-map")).click();
    await page.waitForFunction((count) => document.querySelectorAll(".measure").length === count, MEASURES);
    assert.deepEqual(await ids(), all);
    await page.locator("#as-notes").click();
    const notes = page.locator("#notes");
    await notes.click();
    await page.keyboard.press("Control+End");
    await page.keyboard.type("(mine)");
    await page.waitForFunction(() => document.querySelector(".notes-behind").lastElementChild.textContent.endsWith("(mine)"));
    const same = () => page.evaluate(() =>
      [...document.querySelectorAll(".notes-behind > div")].map((own) => own.textContent).join("\n") ===
        document.querySelector("#notes").value);
    assert.ok(await same());
    await page.keyboard.press("Enter");
    await page.keyboard.type("(and this)");
    await page.waitForFunction(() => document.querySelector(".notes-behind").lastElementChild.textContent === "(and this)");
    assert.ok(await same());
  });

  test("nothing was complained about", () => assert.deepEqual(seen.complaints, []));
});
