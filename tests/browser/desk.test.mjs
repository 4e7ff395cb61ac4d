// What stays as it was on the teacher's desk: the focus when the sheet of facts closes on a phone,
// what was unfolded when she comes back from another room, and what she dropped of the watch list
// when she opens the part another day. In Chromium.

import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";
import { SCORE, choose, hook, openBuilder } from "./rig/builder.mjs";
import { launchChromium } from "./rig/chromium.mjs";

describe("the desk", () => {
  let browser;
  let page;
  let seen;
  before(async () => {
    browser = await launchChromium();
    ({ page, seen } = await openBuilder(browser, { viewport: { width: 360, height: 640 } }));
    await choose(page, SCORE);
    await page.getByLabel("Viola", { exact: true }).check();
    await page.locator(hook("make-guide")).click();
    await page.locator("#m-0").waitFor();
  });
  after(() => browser?.close());

  const focusIs = (selector) => page.waitForFunction((wanted) => document.activeElement?.matches(wanted), selector);
  const kept = () => page.waitForFunction(() => document.getElementById("kept")?.innerText.includes("Kept"));

  test("Escape closes the sheet and gives the focus back to what opened it", async () => {
    await page.locator("#m-3").click();
    await page.locator("#open-facts").click();
    await focusIs("#facts-title");
    await page.locator("#fact-section").focus();
    await page.keyboard.type("Harbour");
    await page.keyboard.press("Escape");
    await page.locator(".facts-side").waitFor({ state: "hidden" });
    await focusIs("#open-facts");
    // What was typed is taken, as when a field is left.
    await page.locator("#map").getByText("Harbour").first().waitFor();
    await page.locator("#m-3").focus();
    for (let times = 0; times < 2; times += 1) {
      await page.keyboard.press("Enter");
      await focusIs("#facts-title");
      await page.keyboard.press("Escape");
      await focusIs("#m-3");
    }
    // A sheet that came for a new tip goes with it.
    await page.locator("#add-tip").click();
    await page.keyboard.type("Look up.");
    await page.keyboard.press("Escape");
    await focusIs("#add-tip");
    await page.locator(".facts-side").waitFor({ state: "hidden" });
    // A tip that is opened in the sheet closes first.
    await page.locator("#open-facts").click();
    await page.locator(hook("open-tip")).first().click();
    await focusIs('textarea[id^="tip-text-"]');
    await page.keyboard.press("Escape");
    await focusIs(hook("open-tip"));
    await page.keyboard.press("Escape");
    await page.locator(".facts-side").waitFor({ state: "hidden" });
  });

  test("what was unfolded is so after a visit to another room", async () => {
    await page.locator("#open-facts").click();
    await page.locator("#group-order > summary").click();
    await page.locator("#whole-piece > summary").evaluate((own) => own.click());
    // A phone has no room for it until it is wanted.
    await page.waitForFunction(() => document.getElementById("whole-piece").open);
    await page.keyboard.press("Escape");
    await page.locator(hook("room", "tips")).click();
    await page.locator("#tips-head").waitFor();
    await page.locator(hook("room", "road-map")).click();
    await page.locator("#open-facts").click();
    assert.ok(await page.locator("#group-order").evaluate((own) => own.open));
    assert.ok(await page.locator("#whole-piece").evaluate((own) => own.open));
    assert.ok(!(await page.locator("#group-length").evaluate((own) => own.open)));
    // Folded again by hand it stays folded while the page changes.
    await page.locator("#group-order > summary").click();
    await page.locator("#fact-section").fill("Pier");
    await page.keyboard.press("Enter");
    await page.locator("#map").getByText("Pier").first().waitFor();
    assert.ok(!(await page.locator("#group-order").evaluate((own) => own.open)));
    await page.keyboard.press("Escape");
  });

  test("what was dropped stays dropped another day", async () => {
    await page.locator(hook("room", "tips")).click();
    const first = page.locator(".proposal").first();
    const words = await first.innerText();
    const id = await first.locator(hook("watch-drop")).getAttribute("data-value");
    await first.locator(hook("watch-drop")).click();
    await page.locator(`.proposal ${hook("watch-drop", id)}`).waitFor({ state: "detached" });
    await kept();
    await page.reload();
    await page.locator(hook("kept-open")).first().click();
    await page.locator(hook("room", "tips")).click();
    // The list is kept beside the guide.
    await page.locator(".proposal").first().waitFor();
    assert.equal(await page.locator(`.proposal ${hook("watch-drop", id)}`).count(), 0, words);
    await page.locator(hook("watch-dropped")).click();
    await page.locator(`.proposal ${hook("watch-drop", id)}`).waitFor();
    assert.deepEqual(seen.complaints, []);
  });
});
