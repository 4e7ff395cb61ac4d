// What a tip shows besides words, entered as a teacher does and seen as a student does: a stroke
// of the bow by mouse, a rhythm and a place in a recording by keyboard alone. In Chromium.

import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";
import AxeBuilder from "axe-core";
import { GUIDE, choose, hook, openBuilder } from "./rig/builder.mjs";
import { launchChromium } from "./rig/chromium.mjs";

describe("what a tip shows", () => {
  let browser;
  let page;
  let seen;
  before(async () => {
    browser = await launchChromium();
    ({ page, seen } = await openBuilder(browser));
    await choose(page, GUIDE);
    await page.locator("#m-29").click();
    await page.locator(hook("room", "tips")).click();
    await page.locator(hook("add-tip")).first().click();
    await page.keyboard.type("Save the bow.");
  });
  after(() => browser?.close());

  const student = () => page.frameLocator("#preview-frame").locator(".tip", { hasText: "Save the bow." });

  test("a stroke of the bow, by mouse", async () => {
    await page.locator(".tip.open summary", { hasText: "A bow stroke" }).click();
    await page.locator('.tip.open [id^="tip-bow-from-"]').selectOption("upper-half");
    await page.locator('.tip.open [id^="tip-bow-amount-"]').selectOption("whole");
    // There is not so much bow left, and the tip says so.
    await page.locator(".tip.open .tip-findings").getByText("The bow runs out before the end of this stroke").waitFor();
    await page.locator('.tip.open [id^="tip-bow-amount-"]').selectOption("quarter");
    const picture = page.locator(".tip.open .bow svg");
    assert.equal(await picture.getAttribute("aria-label"), "up-bow from the upper half, a quarter of the bow");
  });

  test("a rhythm and a place in a recording, by keyboard alone", async () => {
    await page.locator('.tip.open [id^="tip-bow-amount-"]').focus();
    await page.keyboard.press("Tab");
    await page.keyboard.type("quarter, fish");
    await page.keyboard.press("Enter");
    await page.getByText("“fish” is no note.").waitFor();
    await page.keyboard.press("Control+A");
    await page.keyboard.type("quarter, 2 eighths, eighth rest, quarter");
    await page.keyboard.press("Tab");
    await page.keyboard.type("3:20");
    await page.keyboard.press("Tab");
    await page.keyboard.type("https://example.org/talk");
    await page.keyboard.press("Tab");
    const counts = await page.locator(".tip.open .rhythm b").allInnerTexts();
    assert.deepEqual(counts, ["1", "1", "2", "(1)", "2"], "7/8 as 2 + 2 + 3, counted in each group");
    const address = await page.locator(".tip.open .watch a").getAttribute("href");
    assert.equal(address, "https://example.org/talk");
  });

  test("the student sees it, and undo takes it back step by step", async () => {
    await page.locator(hook("room", "try-it")).click();
    await student().locator(".bow svg").waitFor();
    assert.equal(await student().locator(".rhythm li").count(), 5);
    assert.equal(await student().locator(".watch a").getAttribute("rel"), "noopener noreferrer");
    await page.locator(hook("undo")).click();
    await student().locator(".watch a").waitFor({ state: "detached" });
    await student().getByText("Watch at 3:20").waitFor();
    await page.locator(hook("redo")).click();
    await student().locator(".watch a").waitFor();
  });

  test("how important: the student is told in words, the list follows for the visit", async () => {
    await page.locator(hook("room", "tips")).click();
    await page.locator('.tip.open [id^="tip-importance-"]').selectOption("start-here");
    await page.locator(hook("close-tip")).click();
    await page.locator("#order-tips").selectOption("importance");
    const first = page.locator(".tip-list > .tip").first();
    await first.getByText("Save the bow.").first().waitFor();
    assert.match(await first.innerText(), /start here/);
    await page.locator(hook("room", "try-it")).click();
    await student().getByText("Start here").waitFor();
    await page.locator(hook("room", "tips")).click();
    assert.equal(await page.locator("#order-tips").inputValue(), "importance");
    await first.locator(hook("open-tip")).click();
  });

  test("a task for home, written and placed, stands in the student's list", async () => {
    await page.locator(hook("room", "tips")).click();
    await page.locator("#add-todo").click();
    await page.keyboard.type("Clap it <three> times.");
    await page.keyboard.press("Tab");
    await page.keyboard.type("99999");
    await page.keyboard.press("Enter");
    await page.locator(".todos .problem").waitFor();
    await page.keyboard.press("Control+A");
    await page.keyboard.type("29-30");
    await page.keyboard.press("Enter");
    await page.locator(".todos .problem").waitFor({ state: "detached" });
    await page.locator(".todos li").last().getByRole("button", { name: /^Move up/ }).click();
    await page.locator(hook("room", "try-it")).click();
    const frame = page.frameLocator("#preview-frame");
    await frame.locator("#tab-todo").click();
    await frame.locator(".todos").getByText("Clap it <three> times.").first().waitFor();
    await frame.locator("#tab-walk").click();
  });

  test("axe finds nothing in the open tip", async () => {
    await page.locator(hook("room", "tips")).click();
    await page.evaluate(AxeBuilder.source);
    const { violations } = await page.evaluate(() => globalThis.axe.run("main"));
    assert.deepEqual(violations.map((own) => `${own.id}: ${own.nodes[0].html}`), []);
    assert.deepEqual(seen.complaints, []);
  });
});
