// Editing in the builder, by mouse: a part dropped on the page, measures chosen by dragging and by
// Shift, every kind of fact, a tip that is written, changed and removed, and all of it taken back
// and done again. What counts is the guide that can be downloaded, and the student's page beside.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { drop, hook, openBuilder } from "./rig/builder.mjs";
import { launchChromium } from "./rig/chromium.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const folder = temporaryFolder("builder");

/** Gives the guide as it would be downloaded now, without leaving the room. */
async function guideOf(page, backTo = "road-map") {
  await page.locator(hook("room", "hand-out")).click();
  const [file] = await Promise.all([
    page.waitForEvent("download"),
    page.locator(hook("download-guide")).click(),
  ]);
  const path = join(folder, "guide.json");
  await file.saveAs(path);
  await page.locator(hook("room", backTo)).click();
  return JSON.parse(readFileSync(path, "utf8"));
}

async function fill(page, selector, text) {
  await page.locator(selector).fill(text);
  await page.locator(selector).press("Enter");
}

const chosen = (page) =>
  page.locator(`${hook("measure")}[aria-selected="true"]`).evaluateAll((all) => all.map((own) => Number(own.dataset.value)));

/** Presses a button as often as it can be pressed; gives how often that was. */
async function pressAll(page, selector) {
  let times = 0;
  while (await page.locator(selector).evaluate((own) => !own.disabled && own.getAttribute("aria-disabled") !== "true")) {
    await page.locator(selector).click();
    times += 1;
    assert.ok(times < 100, `${selector} has an end`);
  }
  return times;
}

describe("a guide in the making", () => {
  let browser;
  let page;
  let seen;
  let frame;
  let first;
  before(async () => {
    browser = await launchChromium();
    ({ page, seen } = await openBuilder(browser, { viewport: { width: 1400, height: 900 } }));
    await page.locator(hook("choose-file")).waitFor();
    frame = page.frameLocator("#preview-frame");
  });
  after(() => browser?.close());

  test("a part is dropped and chosen", async () => {
    await drop(page, join(ROOT, "examples/mail-boat.musicxml"));
    for (const name of ["Violin I", "Violin II", "Viola", "Cello"]) {
      await page.getByLabel(name, { exact: true }).waitFor();
    }
    await page.getByLabel("Cello", { exact: true }).check();
    await page.locator(hook("make-guide")).click();
    await page.locator("#m-104").waitFor();
    first = await guideOf(page);
    assert.deepEqual(first.parts.map(({ name }) => name), ["Cello"]);
    assert.equal(first.road_map.measures.length, 105);
    assert.deepEqual(first.tips, []);
  });

  test("measures are chosen by dragging, by Shift and by number", async () => {
    // Measures of one line lie side by side.
    const middle = async (index) => {
      await page.locator(`#m-${index}`).scrollIntoViewIfNeeded();
      const { x, y, width, height } = await page.locator(`#m-${index}`).boundingBox();
      return [x + width / 2, y + height / 2];
    };
    await page.mouse.move(...(await middle(2)));
    await page.mouse.down();
    await page.mouse.move(...(await middle(3)));
    await page.mouse.move(...(await middle(4)));
    await page.mouse.up();
    assert.deepEqual(await chosen(page), [2, 3, 4]);
    await page.locator("#m-29").click();
    await page.locator("#m-32").click({ modifiers: ["Shift"] });
    assert.deepEqual(await chosen(page), [29, 30, 31, 32]);
    await fill(page, "#select-text", "50-51");
    assert.deepEqual(await chosen(page), [50, 51]);
    await fill(page, "#select-text", "not there");
    await page.locator(`[id^="select"]`).getByText(/not there|no measure/i).first().waitFor();
    assert.deepEqual(await chosen(page), [50, 51], "what is not there chooses nothing else");
  });

  test("facts are set, and wrong ones are told and change nothing", async () => {
    await fill(page, "#select-text", "29-32");
    await page.locator(hook("groups", "3+2+2")).click();
    await page.locator("#m-50").click();
    await fill(page, "#fact-tempo-number", "fast");
    await page.locator('#fact-tempo-number[aria-invalid="true"]').waitFor();
    await fill(page, "#fact-tempo-number", "120");
    await fill(page, "#fact-tempo-words", "A little slower");
    await fill(page, "#fact-section", "Where the wind <drops>");
    await fill(page, "#fact-label", "50a");
    await fill(page, "#fact-meter", "4/3");
    await page.locator('#fact-meter[aria-invalid="true"]').waitFor();
    // A fault in a field does not keep the rest from being handed out.
    const { road_map } = await guideOf(page);
    const [at, before] = [road_map.measures[50], first.road_map.measures[50]];
    assert.equal(at.section, "Where the wind <drops>");
    assert.equal(at.label, "50a");
    assert.equal(at.meter, before.meter);
    assert.deepEqual(at.tempo, [{ words: "A little slower", tempo: "quarter = 120" }]);
    assert.equal(road_map.measures[29].groups, "3+2+2");
    // After the chosen measures it goes on as it was.
    assert.equal(road_map.measures[33].groups, "2+2+3");
    assert.equal(road_map.measures.length, 105);
  });

  test("the student's page beside follows every change", async () => {
    await page.locator(hook("beside")).click();
    await frame.locator("#tab-walk").waitFor();
    await frame.getByText("Where the wind <drops>").first().waitFor();
    await page.locator("#m-60").click();
    await fill(page, "#fact-section", "Home in sight");
    await frame.getByText("Home in sight").first().waitFor();
    // It stays in its room and at its measure while the guide changes.
    await frame.locator("#tab-count").click();
    await frame.locator("#measure").selectOption({ label: "29" });
    await fill(page, "#select-text", "29-32");
    await page.locator(hook("groups", "2+3+2")).click();
    await frame.locator("#step-said").getByText("1 2 | 1 2 3 | 1 2").waitFor();
    await frame.locator(`button${hook("step")}`).click();
    assert.equal((await frame.locator("#step-count").innerText()).trim(), "2");
  });

  test("a tip is written, changed and removed", async () => {
    await fill(page, "#select-text", "57-58");
    await page.locator(hook("room", "tips")).click();
    await page.locator(hook("add-tip")).first().click();
    const text = page.locator('textarea[id^="tip-text-"]');
    await text.fill("Start in the lower half.");
    await page.locator('[id^="tip-cue-"]').first().fill("lower half");
    await page.locator('select[data-do="tip-topic"]').selectOption("bow");
    const tips = async () => (await guideOf(page, "tips")).tips;
    const [tip, ...others] = await tips();
    assert.deepEqual(others, []);
    assert.deepEqual(
      [tip.text, tip.cue, tip.topic, tip.spot],
      ["Start in the lower half.", "lower half", "bow", { from: { measure: 57 }, to: { measure: 58 } }],
    );
    // Closed and opened again; the place is typed as it is said.
    await page.locator(hook("close-tip")).click();
    await page.locator(hook("open-tip")).first().click();
    await fill(page, '[id^="tip-place-"]', "61");
    await page.locator('textarea[id^="tip-text-"]').fill("Start in the upper half.");
    const [changed] = await tips();
    assert.deepEqual([changed.id, changed.text, changed.spot.from.measure], [tip.id, "Start in the upper half.", 61]);
    await page.locator(hook("remove-tip")).first().click();
    assert.deepEqual(await tips(), []);
    await page.locator(hook("undo")).click();
    assert.deepEqual(await tips(), [changed]);
  });

  test("everything is taken back, step by step, and done again", async () => {
    await page.locator(hook("room", "road-map")).click();
    const last = await guideOf(page);
    const steps = await pressAll(page, hook("undo"));
    assert.ok(steps >= 8, `${steps} steps`);
    assert.deepEqual(await guideOf(page), first);
    await frame.getByText("Home in sight").first().waitFor({ state: "detached" });
    for (let step = 0; step < steps; step += 1) await page.locator(hook("redo")).click();
    assert.deepEqual(await guideOf(page), last);
    // One more: the tip that was removed, and brought back by Undo.
    assert.equal(await pressAll(page, hook("redo")), 1);
    assert.deepEqual((await guideOf(page)).tips, []);
  });

  test("it is all there again after the page was loaded anew", async () => {
    const last = await guideOf(page);
    await page.waitForFunction(() => document.getElementById("kept")?.innerText.includes("Kept"));
    await page.reload();
    await page.locator(hook("kept-open")).first().click();
    await page.locator("#m-104").waitFor();
    assert.deepEqual(await guideOf(page), last);
  });

  test("without a complaint", () => assert.deepEqual(seen.complaints, []));
});
