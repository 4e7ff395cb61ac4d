// The guides kept on this device, in the list of the first page: copied, renamed and removed by
// keyboard and by touch; another tab's changes are never overwritten. In Chromium.

import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";
import AxeBuilder from "axe-core";
import { BUILDER, GUIDE, choose, hook, openBuilder } from "./rig/builder.mjs";
import { launchChromium } from "./rig/chromium.mjs";

describe("the guides on this device", () => {
  let browser;
  let context;
  let page;
  let seen;
  before(async () => {
    browser = await launchChromium();
    ({ context, page, seen } = await openBuilder(browser, { viewport: { width: 360, height: 640 }, hasTouch: true }));
    await choose(page, GUIDE);
    await page.waitForFunction(() => document.getElementById("kept")?.innerText.includes("Kept"));
    await page.goto(BUILDER);
    await page.locator(".kept-list li").waitFor();
  });
  after(() => browser?.close());

  const names = () => page.locator(".kept-list .name").allInnerTexts();
  const focusIs = (selector) => page.waitForFunction((wanted) => document.activeElement?.matches(wanted), selector);

  test("a name, by keyboard: Escape leaves it, Enter takes it", async () => {
    const [old] = await names();
    await page.locator(hook("kept-rename")).focus();
    await page.keyboard.press("Enter");
    await focusIs(hook("kept-name"));
    await page.keyboard.type("Not this");
    await page.keyboard.press("Escape");
    await focusIs(hook("kept-rename"));
    assert.deepEqual(await names(), [old]);
    await page.keyboard.press("Enter");
    await focusIs(hook("kept-name"));
    // The old name is chosen, so typing replaces it.
    await page.keyboard.type("Boat, second desk");
    await page.keyboard.press("Enter");
    await page.locator(".kept-list .name").getByText("Boat, second desk").waitFor();
    await focusIs(hook("kept-rename"));
    assert.equal((await names()).length, 1);
  });

  test("a copy, by touch; the copy is a guide of its own", async () => {
    await page.locator(hook("kept-copy")).tap();
    await page.locator(".kept-list .name").getByText("Boat, second desk (copy)").waitFor();
    await focusIs(hook("kept-open"));
    for (const button of await page.locator(".kept-list button").all()) {
      const { height, width } = await button.boundingBox();
      assert.ok(height >= 44 && width >= 44, `${width} × ${height} px for a finger`);
    }
    await page.locator(hook("kept-open")).first().tap();
    await page.locator(hook("room", "tips")).tap();
    await page.locator(hook("remove-tip")).first().tap();
    await page.waitForFunction(() => document.getElementById("kept")?.innerText.includes("Kept"));
    const left = await page.locator(".tip-list > .tip").count();
    await page.goto(BUILDER);
    await page.getByRole("button", { name: /^Boat, second desk (?!\(copy)/ }).first().tap();
    await page.locator(hook("room", "tips")).tap();
    assert.equal(await page.locator(".tip-list > .tip").count(), left + 1);
    await page.goto(BUILDER);
  });

  test("removed and brought back", async () => {
    await page.locator(hook("kept-remove")).first().tap();
    await page.waitForFunction(() => document.querySelectorAll(".kept-list li").length === 1);
    await page.locator(hook("notice")).getByText("Undo").tap();
    await page.waitForFunction(() => document.querySelectorAll(".kept-list li").length === 2);
  });

  test("an open guide that was renamed in the list of another tab is not overwritten", async () => {
    const other = await context.newPage();
    await other.goto(BUILDER);
    await other.locator(hook("kept-open")).first().click();
    await other.locator("#map").waitFor();
    await page.locator(hook("kept-rename")).first().click();
    await page.keyboard.type("Renamed here");
    await page.keyboard.press("Enter");
    await page.locator(".kept-list .name").getByText("Renamed here").waitFor();
    await other.locator(hook("measure")).first().click();
    await other.locator("#open-facts").click();
    await other.locator("#fact-section").fill("Over there");
    await other.keyboard.press("Enter");
    await other.getByText("changed in another tab").first().waitFor();
    await other.close({ runBeforeUnload: false });
    await page.goto(BUILDER);
    await page.locator(".kept-list .name").getByText("Renamed here").waitFor();
  });

  test("axe finds nothing, with a name being typed too", async () => {
    await page.locator(hook("kept-rename")).first().tap();
    await page.evaluate(AxeBuilder.source);
    const { violations } = await page.evaluate(() => globalThis.axe.run("main"));
    assert.deepEqual(violations.map((own) => `${own.id}: ${own.nodes[0].html}`), []);
    assert.deepEqual(seen.complaints, []);
    const width = await page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(width <= 360, `${width} px wide`);
  });
});
