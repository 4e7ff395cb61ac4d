// By touch alone on a small phone: the whole job of the teacher, then the four ways of the student.

import assert from "node:assert/strict";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { hook } from "./rig/builder.mjs";
import { launchChromium, watch } from "./rig/chromium.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const BUILDER = pathToFileURL(join(ROOT, "dist/cueleaf.html")).href;
const SCORE = join(ROOT, "examples/mail-boat.musicxml");
const PHONE = { viewport: { width: 360, height: 640 }, hasTouch: true, isMobile: true };

describe("by touch alone", () => {
  let browser, file;
  before(async () => {
    browser = await launchChromium();
  });
  after(() => browser?.close());

  async function phone(address) {
    const context = await browser.newContext(PHONE);
    const page = await context.newPage();
    const seen = watch(page);
    await page.goto(address);
    return { page, seen, context };
  }

  test("from a part to a guide", async () => {
    const { page, seen, context } = await phone(BUILDER);
    const tap = (selector) => page.locator(selector).first().tap();
    const [chooser] = await Promise.all([page.waitForEvent("filechooser"), tap(hook("choose-file"))]);
    await chooser.setFiles(SCORE);
    await page.getByText("Viola", { exact: true }).first().tap();
    await tap(hook("make-guide"));
    await page.locator("#m-2").tap();
    await tap(hook("toggle-facts"));
    await page.locator("#fact-mark").tap();
    await page.keyboard.type("Q");
    await tap(hook("toggle-facts"));
    await page.waitForFunction(() => document.querySelector("#m-2").innerText.includes("Q"));
    // Two measures are chosen by two taps.
    await tap(hook("extending"));
    await page.locator("#m-3").tap();
    assert.equal(await page.getByLabel("Measures", { exact: true }).inputValue(), "2–3");
    await tap(hook("room", "tips"));
    await tap(hook("add-tip"));
    await page.locator('textarea[id^="tip-text-"]').first().tap();
    await page.keyboard.type("Sing it first.");
    await tap(hook("room", "try-it"));
    await page.frameLocator("#preview-frame").getByText("Sing it first.").first().waitFor();
    await tap(hook("room", "hand-out"));
    const [download] = await Promise.all([page.waitForEvent("download"), tap(hook("hand-out"))]);
    file = join(temporaryFolder("touch"), download.suggestedFilename());
    await download.saveAs(file);
    assert.deepEqual(seen.complaints, []);
    // Nothing is wider than the phone.
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), 360);
    await context.close();
  });

  test("the student walks, plays, counts and ticks", async () => {
    assert.ok(file, "the guide of the test before");
    const { page, seen, context } = await phone(pathToFileURL(file).href);
    await page.waitForFunction(() => window.cueleaf?.clicksInto);
    const tap = (selector) => page.locator(selector).first().tap();
    await page.getByRole("button", { name: /Play from one measure before/ }).first().tap();
    await page.waitForFunction(() => document.querySelector("#count").innerText === "2");
    await tap("#play");
    await page.getByRole("button", { name: "Choices" }).tap();
    await tap('[data-do="spot"][data-value="4"]');
    await tap('[data-do="spot"][data-value="5"]');
    assert.ok(await page.locator("#again").isChecked());
    await tap("#tab-count");
    const before = await page.locator("#step-count").innerText();
    await page.locator("#tap-here").tap();
    assert.notEqual(await page.locator("#step-count").innerText(), before);
    await tap('[data-value="tap"]');
    await tap("#tap");
    for (let count = 0; count < 4; count += 1) await tap("#tap");
    await tap("#tap-stop");
    await tap("#tab-todo");
    await page.getByRole("heading", { name: "Your practice" }).waitFor();
    for (const code of ["walk", "play", "count", "todo"]) {
      await tap(`#tab-${code}`);
      assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), 360, code);
    }
    assert.deepEqual(seen.complaints, []);
    await context.close();
  });
});
