// The teacher's phrases: put into a tip by one key and by one tap, kept from a tip, edited, removed
// and brought back, on this device alone. In Chromium.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import AxeBuilder from "axe-core";
import { BUILDER, GUIDE, choose, hook, openBuilder } from "./rig/builder.mjs";
import { launchChromium } from "./rig/chromium.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

describe("phrases of the teacher's own", () => {
  let browser;
  let context;
  let page;
  let seen;
  before(async () => {
    browser = await launchChromium();
    ({ context, page, seen } = await openBuilder(browser, { viewport: { width: 360, height: 640 } }));
    await choose(page, GUIDE);
    await page.locator(hook("room", "tips")).click();
  });
  after(() => browser?.close());

  const text = () => page.locator(".tip.open textarea");

  test("by keys: one to go there, a digit to put it in, at the caret", async () => {
    await page.locator("#add-tip").click();
    await page.keyboard.type("Now. Then.");
    for (let step = 0; step < 6; step += 1) await page.keyboard.press("ArrowLeft");
    await page.keyboard.press("Control+.");
    await page.waitForFunction(() => document.activeElement.dataset.do === "phrase");
    const second = (await page.locator(hook("phrase")).nth(1).innerText()).replace(/^2\s*/, "");
    await page.keyboard.press("2");
    await page.waitForFunction(() => document.activeElement.localName === "textarea");
    assert.equal(await text().inputValue(), `Now. ${second} Then.`);
    await page.keyboard.type("!");
    assert.equal(await text().inputValue(), `Now. ${second}! Then.`, "the caret stands after it");
    await page.keyboard.press("Control+.");
    await page.keyboard.press("ArrowDown");
    await page.keyboard.press("Escape");
    await page.waitForFunction(() => document.activeElement.localName === "textarea");
  });

  test("by a tap, at the caret", async () => {
    await text().fill("");
    const first = page.locator(hook("phrase")).first();
    const words = (await first.innerText()).replace(/^1\s*/, "");
    await first.click();
    assert.equal(await text().inputValue(), words);
    const size = await first.boundingBox();
    assert.ok(size.height >= 44, `${size.height} px for a finger`);
  });

  test("kept from a tip, and there in the next tip and after a reload", async () => {
    await text().fill("Think of gulls. And of rain.");
    await text().evaluate((own) => own.setSelectionRange(0, 15));
    await page.locator(hook("phrase-keep")).click();
    await page.locator(hook("phrase")).getByText("Think of gulls.").waitFor();
    await page.waitForFunction(() => document.getElementById("kept")?.innerText.includes("Kept"));
    await page.goto(BUILDER);
    await page.locator(hook("kept-open")).first().click();
    await page.locator(hook("room", "tips")).click();
    await page.locator("#own-phrases > summary").click();
    await page.locator('#own-phrases input[value="Think of gulls."]').waitFor();
  });

  test("edited, removed, brought back; another tab hears of it", async () => {
    const other = await context.newPage();
    await other.goto(BUILDER);
    await other.locator(hook("example")).first().click();
    await other.locator(hook("room", "tips")).click();
    const field = page.locator('#own-phrases input[value="Think of gulls."]');
    await field.fill("Think of crows.");
    await page.keyboard.press("Enter");
    await other.locator('#own-phrases input[value="Think of crows."]').waitFor({ state: "attached" });
    const about = page.getByRole("combobox", { name: "What it is about: Think of crows." });
    await about.focus();
    await about.selectOption("listen");
    const listening = page.locator("#own-phrases h3", { hasText: "listen" }).locator("+ ul");
    await listening.locator('input[value="Think of crows."]').waitFor();
    assert.equal(await page.evaluate(() => document.activeElement.dataset.do), "phrase-topic", "the focus goes along");
    await page.getByRole("button", { name: "Remove: Think of crows." }).click();
    await other.locator('#own-phrases input[value="Think of crows."]').waitFor({ state: "detached" });
    await page.locator(hook("notice")).getByText("Undo").click();
    await other.locator('#own-phrases input[value="Think of crows."]').waitFor({ state: "attached" });
    await other.close();
  });

  test("no guide holds them", async () => {
    await page.locator(hook("room", "hand-out")).click();
    const [download] = await Promise.all([
      page.waitForEvent("download"),
      page.locator(hook("hand-out")).first().click(),
    ]);
    const file = join(temporaryFolder("phrases"), download.suggestedFilename());
    await download.saveAs(file);
    const handed = readFileSync(file, "utf8");
    assert.ok(handed.includes("Think of gulls."), "what stands in a tip");
    assert.ok(!handed.includes("Think of crows."), "what is a phrase only");
  });

  test("axe finds nothing in the open palette and in the list", async () => {
    await page.locator(hook("room", "tips")).click();
    await page.locator(hook("open-tip")).first().click();
    if (!(await page.locator(hook("phrase")).first().isVisible())) await page.locator(hook("phrases")).click();
    await page.locator("#own-phrases > summary").click();
    await page.evaluate(AxeBuilder.source);
    const { violations } = await page.evaluate(() => globalThis.axe.run("main"));
    assert.deepEqual(violations.map((own) => `${own.id}: ${own.nodes[0].html}`), []);
    assert.deepEqual(seen.complaints, []);
  });
});
