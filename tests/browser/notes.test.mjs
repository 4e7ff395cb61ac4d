// The road map as plain notes, and the list of keys: typed, mended, undone, kept and found again,
// as a teacher does it. In Chromium.

import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import AxeBuilder from "axe-core";
import { drop, hook, openBuilder } from "./rig/builder.mjs";
import { launchChromium } from "./rig/chromium.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const TEXT = `Guide to Low water
For Viola
Measures 1 to 24

(ask who has a practice mute)
1  3/4, Calmly, quarter = 72
9  section The ferry, pizz
9-12  Pluck: Keep the bow in your hand while you pluck, and let every note ring until the next one comes.
17  arco
`;

describe("the notes", () => {
  let browser;
  let page;
  let seen;
  before(async () => {
    browser = await launchChromium();
    ({ page, seen } = await openBuilder(browser));
    const file = join(temporaryFolder("notes"), "low water.txt");
    writeFileSync(file, TEXT);
    await drop(page, file);
    await page.locator("#m-0").waitFor();
    await page.locator("#as-notes").click();
    await page.locator("#notes").waitFor();
  });
  after(() => browser?.close());

  const text = () => page.locator("#notes").inputValue();
  const told = (words) => page.locator("#notes-told").getByText(words).waitFor();
  /** Puts the caret after some words. */
  const caretAfter = (words) =>
    page.locator("#notes").evaluate((own, words) => {
      own.focus();
      const at = own.value.indexOf(words) + words.length;
      own.setSelectionRange(at, at);
    }, words);
  const caret = () => page.locator("#notes").evaluate((own) => [own.selectionStart, own.selectionEnd]);
  const complaints = async () => {
    await page.evaluate(AxeBuilder.source);
    const { violations } = await page.evaluate(() => globalThis.axe.run());
    return violations.map((own) => [own.id, own.nodes.map((node) => node.html)]);
  };
  /** Tells whether the field is as high as its text, and each mark lies over its line. */
  const fits = () =>
    page.evaluate(() => {
      const field = document.querySelector("#notes");
      const lines = [...document.querySelectorAll(".notes-behind > div")];
      return {
        inside: field.scrollHeight <= field.clientHeight,
        same: lines.map((own) => own.textContent).join("\n") === field.value,
        page: document.documentElement.scrollWidth <= document.documentElement.clientWidth,
      };
    });
  const FITS = { inside: true, same: true, page: true };

  test("an opened file stands there as it was, and the guide follows what is typed", async () => {
    assert.equal(await text(), TEXT);
    await caretAfter("17  arco");
    await page.keyboard.type(", mf");
    await page.locator("#undo[aria-label='Undo: change line 9 of the notes']").waitFor();
    assert.deepEqual(await fits(), FITS);
    await page.locator("#as-measures").click();
    await page.locator("#m-16").getByText("mf").first().waitFor();
    await page.locator("#as-notes").click();
    assert.ok((await text()).includes("17  arco, mf\n"));
  });

  test("a broken line is told, marked, found by its button, and kept in other rooms", async () => {
    await caretAfter("section The ferry, pizz");
    await page.keyboard.type("o");
    await told("1 line of the notes is not understood");
    await page.locator("#note-line-7.is-warning mark").waitFor();
    const broken = await text();
    await page.locator(hook("room", "tips")).click();
    await page.locator(hook("room", "road-map")).click();
    assert.equal(await text(), broken);
    await page.locator(hook("go-note", "0")).click();
    const [start, end] = await caret();
    assert.equal(broken.slice(start, end), "pizzo");
    assert.equal(await page.evaluate(() => document.activeElement.id), "notes");
    await page.keyboard.type("pizz");
    await told("Every line is understood.");
  });

  test("steps back and edits elsewhere write the text anew around the asides", async () => {
    await caretAfter("Low water");
    await page.keyboard.type(" and high");
    await page.locator("#undo[aria-label='Undo: change line 1 of the notes']").waitFor();
    await page.locator("#undo").click();
    assert.ok((await text()).startsWith("Guide to Low water\nFor Viola\n"));
    assert.ok((await text()).includes("\n(ask who has a practice mute)\n1  3/4"));
    // The field keeps the focus and the caret its place while the guide changes under it.
    await caretAfter("17  ar");
    await page.evaluate(() => document.querySelector("#redo").click());
    await page.waitForFunction(() => document.querySelector("#notes").value.includes("Low water and high"));
    const [start, end] = await caret();
    assert.equal(start, end);
    assert.ok((await text()).slice(0, start).endsWith("\n17  ar"));
    assert.equal(await page.evaluate(() => document.activeElement.id), "notes");
  });

  test("Tab leaves the field, and nothing is wrong for who cannot see it", async () => {
    await page.locator("#notes").focus();
    await page.keyboard.press("Tab");
    assert.notEqual(await page.evaluate(() => document.activeElement.id), "notes");
    assert.ok(!(await text()).includes("\t"));
    await page.locator("#notes-help-in summary").click();
    await caretAfter("17  arco");
    await page.keyboard.type("x");
    await told("1 line of the notes is not understood");
    assert.deepEqual(await complaints(), []);
  });

  test("the notes fit a phone and can be downloaded", async () => {
    await page.setViewportSize({ width: 360, height: 640 });
    assert.deepEqual(await fits(), FITS);
    const marked = await page.locator("#note-line-9 mark").boundingBox();
    const field = await page.locator("#notes").boundingBox();
    assert.ok(marked.x > field.x && marked.x + marked.width < field.x + field.width);
    const [file] = await Promise.all([
      page.waitForEvent("download"),
      page.locator(hook("download-notes")).click(),
    ]);
    assert.match(file.suggestedFilename(), /\.txt$/);
    const path = join(temporaryFolder("notes"), "downloaded.txt");
    await file.saveAs(path);
    assert.equal(readFileSync(path, "utf8"), await text());
    await page.setViewportSize({ width: 1280, height: 800 });
  });

  test("asides and broken lines are there again when the page is loaded anew", async () => {
    const before = await text();
    await page.locator("#kept.kept").waitFor();
    await page.reload();
    await page.locator(hook("kept-open")).first().click();
    await page.locator("#as-notes").click();
    assert.equal(await text(), before);
    await told("1 line of the notes is not understood");
  });

  test("the list of keys opens by its key outside fields, unless that is switched off", async () => {
    const open = () => page.locator("#shortcuts").evaluate((own) => own.open);
    await page.locator("#notes").focus();
    await page.keyboard.press("End");
    await page.keyboard.type("?");
    assert.equal(await open(), false);
    await page.keyboard.press("Backspace");
    await page.locator("#as-notes").focus();
    await page.keyboard.press("?");
    assert.equal(await open(), true);
    // It opens at its beginning, also where it is longer than the page.
    await page.keyboard.press("Escape");
    await page.setViewportSize({ width: 640, height: 360 });
    await page.keyboard.press("?");
    assert.deepEqual(
      await page.evaluate(() => [document.activeElement.id, document.getElementById("shortcuts").scrollTop]),
      ["shortcuts-title", 0],
    );
    await page.setViewportSize({ width: 1280, height: 800 });
    assert.deepEqual(await complaints(), []);
    await page.locator("#question-key").uncheck();
    await page.keyboard.press("Escape");
    assert.equal(await open(), false);
    assert.equal(await page.evaluate(() => document.activeElement.id), "as-notes");
    await page.keyboard.press("?");
    assert.equal(await open(), false);
    await page.reload();
    await page.locator(hook("kept-open")).first().waitFor();
    await page.keyboard.press("?");
    assert.equal(await open(), false);
    await page.locator("#show-shortcuts").click();
    assert.equal(await open(), true);
    assert.equal(await page.locator("#question-key").isChecked(), false);
    await page.locator("#close-shortcuts").click();
    assert.equal(await open(), false);
  });

  test("the browser had nothing to complain about", () => {
    assert.deepEqual(seen.complaints, []);
  });
});
