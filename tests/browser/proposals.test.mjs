// What the notes of a part propose, kept, edited and dropped; and what a talk was heard to say,
// ticked before it becomes a guide. In Chromium.

import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import AxeBuilder from "axe-core";
import { SCORE, choose, hook, openBuilder } from "./rig/builder.mjs";
import { launchChromium } from "./rig/chromium.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const TALK = `WEBVTT

00:01.000 --> 00:04.000
In measure 12 we pluck, so pizzicato.

00:05.000 --> 00:09.000
Make sure you save the bow in measure 25.

00:10.000 --> 00:14.000
At 28 use the whole beau.
`;

async function nothingForAxe(page) {
  await page.evaluate(AxeBuilder.source);
  const { violations } = await page.evaluate(() => globalThis.axe.run("main"));
  assert.deepEqual(violations.map((own) => `${own.id}: ${own.nodes[0].html}`), []);
}

async function fitsAPhone(page) {
  await page.setViewportSize({ width: 360, height: 640 });
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(wide <= 360, `the page is ${wide} px wide`);
  await page.setViewportSize({ width: 1280, height: 800 });
}

describe("what the notes propose", () => {
  let browser;
  let page;
  let seen;
  before(async () => {
    browser = await launchChromium();
    ({ page, seen } = await openBuilder(browser));
    await choose(page, SCORE);
    await page.getByLabel("Viola", { exact: true }).check();
    await page.locator(hook("make-guide")).click();
    await page.locator("#m-0").waitFor();
    await page.locator(hook("room", "tips")).click();
    await page.locator(".proposal").first().waitFor();
  });
  after(() => browser?.close());

  const focused = () => page.evaluate(() => document.activeElement.id);
  const first = () => page.locator(".proposal").first();
  const tips = () => page.locator(".tip-list .tip");

  test("keep one by keyboard: it is a tip, and the focus goes to the next", async () => {
    const text = await first().locator(".text").innerText();
    const next = await page.locator(".proposal").nth(1).getAttribute("id");
    await first().locator(hook("watch-keep")).focus();
    await page.keyboard.press("Enter");
    await tips().getByText(text).waitFor();
    assert.equal(await focused(), `keep-${next}`);
    assert.equal(await first().getAttribute("id"), next);
  });

  test("arrows go to the other buttons and to the next proposal, and one can be dropped so", async () => {
    const second = await page.locator(".proposal").nth(1).getAttribute("id");
    const third = await page.locator(".proposal").nth(2).getAttribute("id");
    await page.keyboard.press("ArrowDown");
    assert.equal(await focused(), `keep-${second}`);
    await page.keyboard.press("ArrowRight");
    await page.keyboard.press("ArrowRight");
    assert.equal(await focused(), `drop-${second}`);
    await page.keyboard.press("Enter");
    assert.equal(await focused(), `drop-${third}`);
    // One stop of the Tab key for each proposal.
    await page.keyboard.press("Shift+Tab");
    assert.equal(await focused(), `keep-${third}`);
    await page.keyboard.press("Tab");
    assert.match(await focused(), /^keep-/);
    await page.locator(hook("watch-dropped")).click();
  });

  test("edit one: its text is under the caret, and it is not proposed again", async () => {
    const id = await first().getAttribute("id");
    await first().locator(hook("watch-edit")).click();
    assert.match(await focused(), /^tip-text-/);
    await page.keyboard.press("Control+A");
    await page.keyboard.type("In my own words.");
    await page.keyboard.press("Control+Enter");
    await tips().getByText("In my own words.").first().waitFor();
    assert.equal(await page.locator(`#${id}`).count(), 0);
    assert.equal(await tips().count(), 2);
  });

  test("drop a kind, and ask for it again", async () => {
    await page.locator("#watch-kind").selectOption("dynamic");
    const count = await page.locator(".proposal").count();
    assert.ok(count > 1, `${count} of this kind`);
    await page.locator(hook("watch-drop-kind")).click();
    await page.getByText("Nothing is left to look at here.").waitFor();
    assert.equal(await focused(), "watch-kind");
    assert.equal(await tips().count(), 2);
    await page.locator(hook("watch-dropped")).click();
    assert.equal(await page.locator(".proposal").count(), count);
    assert.equal(await focused(), "watch-title");
    await page.locator(hook("watch-keep-kind")).click();
    await page.waitForFunction((all) => document.querySelectorAll(".tip-list .tip").length === all, count + 2);
    await page.locator("#undo").click();
    await page.waitForFunction(() => document.querySelectorAll(".tip-list .tip").length === 2);
    assert.equal(await page.locator(".proposal").count(), count);
    await page.locator("#watch-kind").selectOption("");
  });

  test("all others unfold", async () => {
    const before = await page.locator(".proposal").count();
    await page.locator("#watch-others").click();
    assert.ok((await page.locator(".proposal").count()) > before);
    assert.equal(await page.locator("#watch-others").getAttribute("aria-expanded"), "true");
  });

  test("axe finds nothing, and it fits a phone", async () => {
    await nothingForAxe(page);
    await fitsAPhone(page);
    assert.deepEqual(seen.complaints, []);
  });

  const opened = async () => {
    await page.reload();
    await page.locator(hook("kept-open")).first().click();
    await page.locator("#m-0").waitFor();
    await page.locator(hook("room", "tips")).click();
  };
  const isKept = () => page.waitForFunction(() => document.getElementById("kept")?.innerText.includes("Kept"));
  const listed = () => page.locator(".proposal .text").allInnerTexts();

  test("a drop is undone by itself, and the list is there another day", async () => {
    const before = await listed();
    await first().locator(hook("watch-drop")).click();
    await page.locator("#undo").click();
    await page.waitForFunction((count) => document.querySelectorAll(".proposal").length === count, before.length);
    assert.deepEqual(await listed(), before);
    assert.equal(await tips().count(), 2);
    await isKept();
    await opened();
    await page.locator(".proposal").first().waitFor();
    // The others are folded away again.
    const again = await listed();
    assert.ok(again.length > 0);
    assert.deepEqual(again, before.slice(0, again.length));
    assert.equal(await tips().count(), 2);
    // With the guide its list goes, and comes back with it.
    await page.locator(hook("home")).first().click();
    await page.locator(hook("kept-remove")).first().click();
    const texts = () => page.evaluate(() => new Promise((done) => {
      const asked = indexedDB.open("cueleaf-builder");
      asked.onsuccess = () => {
        const all = asked.result.transaction("texts").objectStore("texts").getAllKeys();
        all.onsuccess = () => { asked.result.close(); done(all.result.filter((key) => key.endsWith("/watch")).length); };
      };
    }));
    await page.locator("#notice-in").getByText("is removed from this device").waitFor();
    assert.equal(await texts(), 0);
    await page.locator(hook("notice")).getByText("Undo").click();
    await page.locator(hook("kept-open")).first().waitFor();
    assert.equal(await texts(), 1);
  });

  test("a guide that came without a list asks for the part, and takes only its notes", async () => {
    // As after a visit with an earlier build of the page.
    await page.evaluate(() => new Promise((done) => {
      const asked = indexedDB.open("cueleaf-builder");
      asked.onsuccess = () => {
        const texts = asked.result.transaction("texts", "readwrite").objectStore("texts");
        const all = texts.getAllKeys();
        all.onsuccess = () => {
          for (const key of all.result) if (key.endsWith("/watch")) texts.delete(key);
          texts.transaction.oncomplete = () => { asked.result.close(); done(); };
        };
      };
    }));
    await opened();
    const [chooser] = await Promise.all([page.waitForEvent("filechooser"), page.locator("#watch-open").click()]);
    await chooser.setFiles(SCORE);
    await page.locator("#add-notes").waitFor();
    assert.ok(await page.getByLabel("Viola", { exact: true }).isChecked(), "the guide's own part is chosen");
    await nothingForAxe(page);
    await page.locator("#add-notes").click();
    await page.locator(".proposal").first().waitFor();
    assert.equal(await tips().count(), 2);
    assert.deepEqual(seen.complaints, []);
  });
});

describe("what a talk was heard to say", () => {
  let browser;
  let page;
  let seen;
  before(async () => {
    browser = await launchChromium();
    ({ page, seen } = await openBuilder(browser));
    const file = join(temporaryFolder("talk"), "our-talk.vtt");
    writeFileSync(file, TALK);
    await choose(page, file);
    await page.locator("#heard").waitFor();
  });
  after(() => browser?.close());

  const ticked = () => page.locator(".said input").evaluateAll((all) => all.map((own) => own.checked));

  test("what is doubtful is not ticked, and what was misheard is told", async () => {
    assert.deepEqual(await ticked(), [true, true, true, true, true, false]);
    await page.getByText("“beau” is taken for “bow”").waitFor();
    await nothingForAxe(page);
    await fitsAPhone(page);
  });

  test("a place takes along what was said about it, and a kind goes as a whole", async () => {
    await page.locator("#heard-3").uncheck();
    assert.deepEqual(await ticked(), [true, true, false, false, true, false]);
    await page.locator("#heard-3").check();
    await page.locator("#heard-kind-tip").check();
    assert.deepEqual(await ticked(), [true, true, true, true, true, true]);
    await page.locator("#heard-5").uncheck();
    await page.locator("#heard-1").uncheck();
    assert.deepEqual(await ticked(), [true, false, true, true, true, false]);
  });

  test("the draft holds what is ticked", async () => {
    await page.locator("#heard-make").click();
    await page.locator("#m-27").waitFor();
    assert.equal(await page.locator(hook("measure")).count(), 28);
    await page.locator(hook("room", "tips")).click();
    const texts = await page.locator(".tip-list .text").allInnerTexts();
    assert.deepEqual(texts, ["Make sure you save the bow in measure 25."]);
    await page.getByText("open its part again").waitFor();
    assert.deepEqual(seen.complaints, []);
  });
});
