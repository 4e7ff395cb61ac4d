// A second file while a guide is open, in the builder: a guide of a colleague, a second part, a
// corrected edition; and all of it where the browser keeps nothing. What is added where is proven in
// crates/builder/src/adding and edition; here are the page, its controls and its room on a phone.

import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import axe from "axe-core";
import { GUIDE, SCORE, choose, drop, hook, openBuilder } from "./rig/builder.mjs";
import { launchChromium } from "./rig/chromium.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const folder = temporaryFolder("adding");
const write = (name, text) => {
  writeFileSync(join(folder, name), text);
  return join(folder, name);
};

/** A colleague's guide for the cello: a tip at measure 12, one behind the end, another meter. */
function colleague() {
  const guide = JSON.parse(readFileSync(join(ROOT, "examples/mail-boat-cello.json"), "utf8"));
  const [tip] = guide.tips;
  const spot = (measure) => ({ from: { measure } });
  const at = guide.road_map.measures.findIndex(({ label }) => label === "12");
  guide.tips = [
    { ...tip, id: "theirs", spot: spot(at), text: "Listen to the violas here" },
    { ...tip, id: "beyond", spot: spot(guide.road_map.measures.length), text: "After the end" },
  ];
  guide.road_map.measures.push({ label: "999" });
  guide.road_map.measures[at].meter = "11/8";
  guide.todos = [];
  return write("colleague.json", JSON.stringify(guide));
}

/** The score without its measure 3. */
const corrected = () =>
  write("corrected.musicxml", readFileSync(SCORE, "utf8").replace(/<measure number="3"[^]*?<\/measure>/g, ""));

async function opened(browser, { keeps = true } = {}) {
  const unkept = () => Object.defineProperty(window, "indexedDB", { value: undefined });
  const { page, seen } = await openBuilder(browser, { prepare: keeps ? undefined : unkept });
  await choose(page, GUIDE);
  await page.locator("#m-104").waitFor();
  return { page, seen };
}

/** Looks at a screen: nothing for axe, and no way to scroll sideways on a small phone. */
async function inspect(page) {
  await page.evaluate(axe.source);
  const { violations } = await page.evaluate(() => globalThis.axe.run());
  assert.deepEqual(violations.map(({ id, nodes }) => [id, nodes.map(({ html }) => html)]), []);
  await page.setViewportSize({ width: 360, height: 640 });
  assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 360);
  if (process.env.CUELEAF_PICTURES) {
    const name = await page.locator("section[aria-labelledby]").first().getAttribute("id");
    await page.screenshot({ path: join(process.env.CUELEAF_PICTURES, `${name}-360.png`), fullPage: true });
    await page.setViewportSize({ width: 1280, height: 800 });
    await page.screenshot({ path: join(process.env.CUELEAF_PICTURES, `${name}-1280.png`), fullPage: true });
  }
  await page.setViewportSize({ width: 1280, height: 800 });
}

describe("a second file", () => {
  let browser;
  before(async () => {
    browser = await launchChromium();
  });
  after(() => browser?.close());

  test("of a colleague is looked at, and its tips come to their measures", async () => {
    const { page, seen } = await opened(browser);
    await drop(page, colleague());
    await page.locator("#adding").waitFor();
    const text = await page.locator("#adding").innerText();
    for (const expected of ["A new part: Cello", "Measure 12: ", "Listen to the violas here", "“After the end”, at measure 999", "“colleague.json” has 11/8 at its measure 12"]) {
      assert.ok(text.includes(expected), `${expected}\n${text}`);
    }
    await inspect(page);
    // Only the tip and its part; the rest stays where it is.
    for (const box of await page.locator(hook("adding")).all()) await box.check();
    await page.locator("#adding-add").click();
    await page.getByText("Listen to the violas here").first().waitFor();
    await page.locator("[data-fragment=notice]").getByText("undo takes").waitFor();
    // Closed, a message gives the focus back to where it was.
    await page.locator(hook("undo")).focus();
    await page.locator("#close-notice").click();
    assert.equal(await page.evaluate(() => document.activeElement.id), "undo");
    await page.locator(hook("undo")).click();
    await page.getByText("Listen to the violas here").first().waitFor({ state: "detached" });
    // By itself it is another guide.
    await drop(page, colleague());
    await page.locator("#adding-own").click();
    await page.getByText("999").first().waitFor({ state: "attached" });
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });

  test("of the same score adds a part, or is a corrected edition", async () => {
    const { page, seen } = await opened(browser);
    await drop(page, SCORE);
    await page.locator("#for-open").waitFor();
    await inspect(page);
    await page.getByLabel("Viola", { exact: true }).uncheck();
    await page.getByLabel("Cello", { exact: true }).check();
    await page.locator("#add-parts").click();
    await page.locator("#adding").getByText("A new part: Cello").waitFor();
    await page.locator("#adding-add").click();
    await page.locator(".proposal").first().waitFor();
    await page.locator(hook("undo")).click();

    await drop(page, corrected());
    await page.getByLabel("Viola", { exact: true }).check();
    await page.locator("#add-edition").click();
    await page.locator("#edition").waitFor();
    assert.match(await page.locator("#edition").innerText(), /105 measures before, 104 after/);
    await inspect(page);
    const tips = (place) => page.locator(place).allInnerTexts();
    await page.locator("#edition-take").click();
    await page.locator("#m-103").waitFor();
    assert.equal(await page.locator(hook("measure")).count(), 104);
    await page.locator(hook("room", "tips")).click();
    const after = await tips(".tip-list .text");
    assert.equal(after.length, JSON.parse(readFileSync(GUIDE, "utf8")).tips.length);
    await page.locator(hook("undo")).click();
    assert.deepEqual(await tips(".tip-list .text"), after);
    // What told of it is not true any more.
    assert.equal(await page.locator("#notice-in").count(), 0);

    // Where the two say another tempo, it is said which stands, and the other is one tick away.
    const other = readFileSync(SCORE, "utf8").replaceAll(">112<", ">100<").replaceAll('tempo="112"', 'tempo="100"');
    await drop(page, write("slower.musicxml", other));
    await page.getByLabel("Viola", { exact: true }).check();
    await page.locator("#add-edition").click();
    await page.locator("#edition").waitFor();
    await page.locator("#edition").getByText("quarter = 100 stands").first().waitFor();
    await inspect(page);
    assert.equal(await page.locator(hook("edition-tempo")).count(), 1);
    await page.locator("#edition-tempo-0").check();
    await page.locator(".disagreeing").getByText("Quarter = 112 stands").waitFor();
    await page.locator("#edition-take").click();
    await page.locator("#m-104").waitFor();
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });

  test("of a talk disagrees only where it says something, and its recording is named once", async () => {
    const { page, seen } = await opened(browser);
    const said = ["In measure 20 stay in the lower half of the bow.", "In measure 29 save the bow."];
    const lines = said.map((text, at) => `00:0${at}.000 --> 00:0${at}.900\n${text}\n`);
    await drop(page, write("talk.vtt", `WEBVTT\n\n${lines.join("\n")}`));
    await page.locator("#heard").waitFor();
    await page.locator("#heard-address").fill("example.org/talk");
    await page.locator("#add-heard").click();
    await page.locator("#heard-address-hint.problem").waitFor();
    await page.locator("#heard-address").fill("https://example.org/talk");
    await page.keyboard.press("Tab");
    await inspect(page);
    await page.locator("#add-heard").click();
    await page.locator("#adding").waitFor();
    assert.equal(await page.locator(".disagreeing").count(), 0);
    await page.locator("#adding-add").click();
    await page.getByText("stay in the lower half").first().waitFor();
    const own = page.locator(".tip-list .tip", { hasText: "lower half" });
    await own.locator(hook("open-tip")).first().click();
    const address = page.locator("[id^=tip-watch-address]").first();
    await address.waitFor({ state: "attached" });
    assert.equal(await address.inputValue(), "https://example.org/talk");
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });

  test("is offered where nothing is kept, and nothing is let go unasked", async () => {
    const { page, seen } = await opened(browser, { keeps: false });
    await page.locator("#m-2").click();
    await page.locator("#fact-mark").fill("Q9");
    await page.keyboard.press("Enter");
    await drop(page, SCORE);
    await page.locator("#for-open").waitFor();
    await page.locator(hook("make-guide")).click();
    const notice = page.locator("[data-fragment=notice]");
    await notice.getByText("is not kept").waitFor();
    const [download] = await Promise.all([page.waitForEvent("download"), notice.getByText("Download this one").click()]);
    assert.match(readFileSync(await download.path(), "utf8"), /"Q9"/);
    await page.locator(hook("cancel")).click();
    await page.locator("#m-2").getByTitle("rehearsal mark Q9").waitFor();
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });
});
