// The road map room: everything that orders and times a piece, entered as a teacher does, by
// mouse and by keyboard, and seen in the student's page beside it. In Chromium.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import AxeBuilder from "axe-core";
import { hook, openBuilder } from "./rig/builder.mjs";
import { launchChromium } from "./rig/chromium.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

describe("the road map", () => {
  let browser;
  let page;
  let seen;
  before(async () => {
    browser = await launchChromium();
    ({ page, seen } = await openBuilder(browser));
    await page.locator(hook("toggle-form")).click();
    await page.locator("#new-title").fill("Eight steps");
    await page.locator("#new-part").fill("Viola");
    await page.locator("#new-measures").fill("12");
    await page.locator("#new-meter").fill("4/4");
    await page.locator("#new-tempo").fill("96");
    await page.locator("#new-tempo").press("Enter");
    await page.locator("#m-0").waitFor();
  });
  after(() => browser?.close());

  const go = async (number) => {
    await page.locator("#select-text").fill(String(number));
    await page.locator("#select-text").press("Enter");
  };
  const open = async (group) => {
    const details = page.locator(`#group-${group}`);
    if (!(await details.evaluate((own) => own.open))) await details.locator("summary").click();
  };
  /** The same by keyboard alone; what was unfolded before has stayed so. */
  const unfold = async (group) => {
    const details = page.locator(`#group-${group}`);
    if (await details.evaluate((own) => own.open)) return;
    await details.locator("summary").focus();
    await page.keyboard.press("Enter");
  };
  const enter = async (id, text) => {
    await page.locator(`#printed-${id}`).fill(text);
    await page.locator(`#printed-${id}`).press("Enter");
  };
  /** Downloads the document for editing and reads it. */
  const saved = async () => {
    await page.locator(hook("room", "hand-out")).click();
    const [file] = await Promise.all([
      page.waitForEvent("download"),
      page.locator(hook("download-guide")).click(),
    ]);
    const path = join(temporaryFolder("map"), "guide.json");
    await file.saveAs(path);
    await page.locator(hook("room", "road-map")).click();
    return JSON.parse(readFileSync(path, "utf8"));
  };

  test("a repeat with two endings, by mouse", async () => {
    await go(2);
    await open("order");
    await page.locator("#printed-repeat-from").check();
    await go(4);
    await enter("ending", "1");
    await enter("repeat-back", "1");
    await page.getByText("from 2 to 99").waitFor();
    await enter("repeat-back", "2");
    await go(5);
    await enter("ending", "2");
    await page.locator("#m-3").getByText("ending 1").first().waitFor();
    const { measures } = (await saved()).road_map;
    assert.deepEqual(
      measures.slice(1, 5).map((own) => [own.repeat_from ?? false, own.repeat_back ?? 0, own.ending ?? []]),
      [[true, 0, []], [false, 0, []], [false, 2, [1]], [false, 0, [2]]],
    );
  });

  test("a D.S. al Coda and a cut, by keyboard alone", async () => {
    const tick = async (id) => {
      await page.locator(`#${id}`).focus();
      await page.keyboard.press("Space");
    };
    await unfold("order");
    await go(1);
    await tick("printed-segno");
    await go(6);
    await tick("printed-to-coda");
    await go(7);
    const has = ([id, value]) => document.getElementById(id).value === value;
    const turn = async (key, id, value) => {
      await page.locator(`#${id}`).focus();
      await page.keyboard.press(key);
      await page.waitForFunction(has, [id, value]);
    };
    await turn("ArrowDown", "printed-jump", "beginning");
    await page.locator("#printed-jump-until").waitFor();
    await turn("ArrowDown", "printed-jump", "segno");
    await page.locator("#printed-jump-segno").waitFor();
    // The To Coda on the way says already how far play goes.
    await page.waitForFunction(has, ["printed-jump-until", "coda"]);
    await turn("ArrowUp", "printed-jump-until", "fine");
    await turn("ArrowDown", "printed-jump-until", "coda");
    await go(9);
    await tick("printed-coda");
    await go(11);
    await tick("printed-cut");
    const { measures } = (await saved()).road_map;
    assert.deepEqual(measures[6].jump, { to_segno: "", until: "coda" });
    assert.deepEqual([measures[0].segno, measures[5].to_coda, measures[8].coda, measures[10].cut], ["", "", "", true]);
    // The student's page says the order of play.
    await page.locator(hook("room", "try-it")).click();
    await page.frameLocator("#preview-frame").getByText("1–4, then 2–3, then 5–7, then 1–3, then 5–6, then 9–10, then 12").waitFor();
    await page.locator(hook("room", "road-map")).click();
  });

  test("a gradual change by shape, a return and a fermata", async () => {
    await go(3);
    await page.locator("#fact-tempo-number").fill("60");
    await page.locator("#fact-tempo-number").press("Enter");
    await open("gradual");
    await enter("tempo-until", "2");
    await page.getByText("It has to end after it starts.").waitFor();
    await enter("tempo-until", "4 beat 3");
    await page.locator("#printed-tempo-shape").selectOption("runner");
    await go(5);
    await page.locator("#printed-tempo-back").selectOption("to-before");
    await open("holds");
    await enter("hold-at", "7");
    await page.getByText("has the beats 1, 2, 3, 4").waitFor();
    await enter("hold-at", "4");
    await enter("hold-longer-0", "2");
    await enter("hold-lead-in-0", "2");
    const { measures } = (await saved()).road_map;
    assert.deepEqual(measures[2].tempo[0], {
      tempo: "quarter = 60",
      until: { measure: 3, at: "2" },
      shape: "runner",
    });
    assert.deepEqual(measures[4].tempo[0], { back: "to-before" });
    assert.deepEqual(measures[4].holds, [{ at: "3", longer: "2", lead_in: 2 }]);
  });

  test("marks of the part: a hairpin and a dynamic", async () => {
    await go(8);
    await open("marks");
    await page.locator("#mark-kind").selectOption("grow");
    await page.locator("#mark-to").fill("9");
    await page.locator("#mark-add").click();
    await page.locator("#mark-kind").selectOption("dynamic");
    await page.locator("#mark-add").click();
    await page.locator("#mark-problem").waitFor();
    await page.locator("#mark-text").fill("p");
    await page.locator("#mark-add").click();
    await page.locator(".marks-here").getByText("crescendo from 8 to the end of 9").waitFor();
    const { parts } = await saved();
    assert.deepEqual(parts[0].marks.map((mark) => [mark.kind, mark.measure, mark.to?.measure, mark.text]), [
      ["grow", 7, 9, undefined],
      ["dynamic", 7, undefined, "p"],
    ]);
    await page.locator("#m-7").getByText("cresc.").first().waitFor();
    await page.locator(".curves .loudness").waitFor({ state: "attached" });
  });

  test("copies and moves measures, one undo step each", async () => {
    const count = () => page.locator(hook("measure")).count();
    const before = await saved();
    await go("8-9");
    await page.locator("#duplicate-measures").click();
    assert.equal(await count(), 14);
    await page.locator("#shift-later").click();
    await page.locator(hook("undo")).click();
    await page.locator(hook("undo")).click();
    assert.equal(await count(), 12);
    assert.deepEqual((await saved()).road_map, before.road_map);
  });

  test("the picture of the whole piece leads to a measure, by key", async () => {
    await page.locator("#seek").focus();
    await page.keyboard.press("End");
    await page.locator('#m-11[tabindex="0"]').waitFor();
    assert.match(await page.locator("#seek").getAttribute("aria-valuetext"), /12/);
  });

  test("a tap in the picture leads to its measure, and the words say the same", async () => {
    const tap = page.locator('.curves .tap[data-value="4"]');
    await tap.click();
    await page.locator('#m-4[aria-selected="true"]').waitFor();
    assert.equal(await page.evaluate(() => document.activeElement.id), "m-4");
    await page.locator("#whole-piece-words summary").click();
    const words = await page.locator("#whole-piece-words").innerText();
    assert.match(words, /from 3 to 4: from quarter = 96 to quarter = 60/);
    assert.match(words, /crescendo from 8 to the end of 9; p at 8/);
  });

  test("a rit. on a beat inside a measure, by keyboard; other words leave its end alone", async () => {
    const type = async (id, text) => {
      await page.locator(`#${id}`).focus();
      await page.keyboard.press("ControlOrMeta+a");
      await page.keyboard.type(text);
      await page.keyboard.press("Enter");
    };
    await go(12);
    await unfold("gradual");
    await type("tempo-beat", "6");
    await page.getByText("has the beats 1, 2, 3, 4").waitFor();
    await type("tempo-beat", "3");
    await type("fact-tempo-words", "Moderato");
    await page.locator("#tempo-ranges summary").focus();
    await page.keyboard.press("Enter");
    await page.getByText("They disagree, so the number is yours to choose.").waitFor();
    await type("fact-tempo-number", "50");
    await type("printed-tempo-until", "end");
    await type("fact-tempo-words", "rit.");
    const { measures } = (await saved()).road_map;
    assert.deepEqual(measures[11].tempo, [
      { at: "2", words: "rit.", tempo: "quarter = 50", until: { measure: 12 } },
    ]);
    // Another measure, and back: its fields are those of its first beat again.
    await go(11);
    await go(12);
    assert.equal(await page.locator("#tempo-beat").inputValue(), "1");
    await page.getByRole("button", { name: "Edit the tempo on beat 3" }).click();
    assert.equal(await page.locator("#fact-tempo-words").inputValue(), "rit.");
  });

  test("axe finds nothing with all groups open, light and dark", async () => {
    for (const group of ["order", "gradual", "holds", "length", "marks"]) await open(group);
    await page.evaluate(AxeBuilder.source);
    for (const colorScheme of ["light", "dark"]) {
      await page.emulateMedia({ colorScheme });
      const { violations } = await page.evaluate(() => globalThis.axe.run());
      assert.deepEqual(violations.map((own) => `${own.id}: ${own.nodes[0].html}`), [], colorScheme);
    }
    assert.deepEqual(seen.complaints, []);
  });
});
