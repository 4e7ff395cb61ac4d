// Twenty minutes between two lessons: the guide of a part of 90 measures with 15 tips, from nothing,
// by the teacher's own hands. Every key and every tap is really made in the page and counted; what a
// person takes for it is reckoned by the keystroke-level model (rig/keystrokes.mjs). She makes up
// each word of a tip on the way, which the model counts as a thought of its own. In Chromium.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { hook, openBuilder } from "./rig/builder.mjs";
import { launchChromium } from "./rig/chromium.mjs";
import { counting } from "./rig/keystrokes.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const MINUTES = 20;

// The part is invented for this test.
const PIECE = { title: "Ferry in Fog", part: "Viola", measures: "90", meter: "4/4", tempo: "96" };
const CHANGES = [
  { at: "1", section: "Quay" },
  { at: "13", section: "Harbour", meter: "3/4", tempo: "80" },
  { at: "25", section: "Open water", meter: "5/8", groups: "2+3", unit: "eighth", tempo: "184" },
  { at: "41", section: "Fog", meter: "4/4", unit: "quarter", tempo: "60" },
  { at: "57", section: "Lighthouse", meter: "6/8", unit: "dotted quarter", tempo: "66" },
  { at: "75", section: "Home", meter: "4/4", unit: "quarter", tempo: "104" },
  { at: "85", tempo: "72" },
];
const TIPS = [
  ["1-4", "Bow", "Start near the frog and use little bow on the short notes."],
  ["7", "Bow", "Lift after the long note and come back to the lower half."],
  ["11-12", "Get ready", "The next section is slower: breathe with the low strings."],
  ["13-16", "Count", "Three slow beats; let the second one swing up to the third."],
  ["20", "Left hand", "Second finger close to the third, and keep the hand quiet."],
  ["25-28", "Count", "Clap two and three first, then play it with half the bow."],
  ["31", "Count", "Do not wait after the group of two: the next one is close."],
  ["36-40", "Sound", "Grow over all five measures and keep some for the last one."],
  ["41-44", "Listen", "The cellos have the tune: stay under them until they stop."],
  ["48", "Pluck", "Keep the bow in your hand and pluck over the fingerboard."],
  ["52-53", "Pluck", "You have four beats to bring the bow back to the string."],
  ["57-60", "Bow", "One bow for each big beat, and the same length up and down."],
  ["66", "Left hand", "Put the fourth finger down early, before the bow gets there."],
  ["75-78", "Sound", "Short and bright here; listen how the violins end each note."],
  ["88-90", "Get ready", "Watch the conductor for the last chord and let it ring out."],
];

/** Reads what was handed out, and holds it against what was wanted. */
function check(file) {
  const guide = JSON.parse(execFileSync(join(ROOT, "target/release/cueleaf"), ["saved", file], { encoding: "utf8" }));
  assert.equal(guide.title, PIECE.title);
  assert.deepEqual(guide.parts.map((part) => part.name), [PIECE.part]);
  const { measures } = guide.road_map;
  assert.equal(measures.length, 90);
  const all = (what) => measures.filter((own) => own[what] !== undefined);
  assert.deepEqual(all("section").map((own) => [own.label, own.section]), CHANGES.filter((own) => own.section).map((own) => [own.at, own.section]));
  assert.deepEqual(all("meter").map((own) => `${own.label} ${own.meter}`), ["1 4/4", "13 3/4", "25 5/8", "41 4/4", "57 6/8", "75 4/4"]);
  assert.equal(measures[24].groups, "2+3");
  assert.deepEqual(
    measures.flatMap((own) => (own.tempo ?? []).map((mark) => `${own.label} ${mark.tempo}`)),
    ["1 quarter = 96", "13 quarter = 80", "25 eighth = 184", "41 quarter = 60", "57 dotted quarter = 66", "75 quarter = 104", "85 quarter = 72"],
  );
  assert.equal(guide.tips.length, 15);
  assert.deepEqual(guide.tips.map((tip) => tip.text).sort(), TIPS.map(([, , text]) => text).sort());
  const letters = guide.tips.reduce((sum, tip) => sum + tip.text.length, 0) / guide.tips.length;
  assert.ok(letters > 55 && letters < 65, `${letters} letters a tip`);
  for (const [place, topic, text] of TIPS) {
    const tip = guide.tips.find((own) => own.text === text);
    const [first, last] = [tip.spot.from.measure + 1, (tip.spot.to ?? tip.spot.from).measure + 1];
    assert.equal(first === last ? `${first}` : `${first}-${last}`, place);
    assert.equal(tip.topic, topic.toLowerCase().replace(" ", "-"));
  }
}

/** Takes the file that is handed out, and checks the guide in it. */
async function handedOut(page, act) {
  const [download] = await Promise.all([page.waitForEvent("download"), act()]);
  const file = join(temporaryFolder("twenty"), download.suggestedFilename());
  await download.saveAs(file);
  check(file);
}

/** Tells what each part of the job took, and fails when all of it took too long. */
function inTime(t, hand) {
  const { total, lines } = hand.sum();
  for (const line of lines) t.diagnostic(line);
  assert.ok(total < MINUTES * 60, `${total} s`);
}

const focusIs = (page, selector) => page.waitForFunction((wanted) => document.activeElement?.matches(wanted), selector);
const kept = (page) => page.waitForFunction(() => document.getElementById("kept")?.innerText.includes("Kept"));

describe("twenty minutes", () => {
  let browser;
  before(async () => {
    browser = await launchChromium();
  });
  after(() => browser?.close());

  test("by keyboard alone", async (t) => {
    const { page, seen } = await openBuilder(browser);
    await page.locator(hook("toggle-form")).waitFor();
    const hand = counting(page);
    /** Goes on by Tab until the focus is where it is wanted. */
    async function tabTo(selector, key = "Tab") {
      for (let stop = 0; stop < 30; stop += 1) {
        await hand.press(key);
        if (await page.evaluate((wanted) => document.activeElement.matches(wanted), selector)) return;
      }
      assert.fail(`no way to ${selector}`);
    }

    hand.part("the form");
    hand.home();
    hand.think();
    await tabTo(hook("toggle-form"));
    await hand.press("Enter");
    await focusIs(page, "#new-title");
    for (const [field, text] of [["part", PIECE.title], ["measures", PIECE.part], ["meter", PIECE.measures], ["pickup", PIECE.meter], ["unit", ""], ["tempo", ""]]) {
      if (text) {
        hand.think();
        await hand.type(text);
      }
      await hand.press("Tab");
      await focusIs(page, `#new-${field}`);
    }
    hand.think();
    await hand.type(PIECE.tempo);
    await hand.press("Enter");
    await page.locator("#m-0").waitFor();
    await focusIs(page, "#main");

    hand.part("the road map");
    await tabTo(hook("measure"));
    for (const change of CHANGES) {
      hand.think();
      await hand.type(change.at);
      await focusIs(page, `#m-${Number(change.at) - 1}`);
      await hand.press("Enter");
      await focusIs(page, "#facts-title");
      for (const [field, text] of [["section", change.section], ["meter", change.meter], ["groups", change.groups], ["tempo-unit", change.unit], ["tempo-number", change.tempo]]) {
        if (!text) continue;
        hand.think();
        await tabTo(`#fact-${field}`);
        // In a list the first letters choose; every unit is told apart by them.
        await hand.type(field === "tempo-unit" ? text.slice(0, text.startsWith("dotted") ? 8 : 1) : text);
      }
      await hand.press("Escape");
      await focusIs(page, hook("measure"));
    }

    hand.part("the tips");
    let topic = "Bow";
    for (const [place, about, text] of TIPS) {
      hand.think();
      await hand.type(place);
      hand.think();
      await hand.press("Control+Enter");
      await focusIs(page, 'textarea[id^="tip-text-"]');
      await hand.compose(text);
      if (about !== topic) {
        hand.think();
        await hand.press("Shift+Tab");
        await focusIs(page, '[id^="tip-topic-"]');
        await hand.type(about.slice(0, 2).toLowerCase());
        topic = about;
      }
      hand.think();
      await hand.press("Control+Enter");
      await focusIs(page, hook("measure"));
    }

    hand.part("handing out");
    await kept(page);
    hand.think();
    await tabTo(hook("room", "road-map"), "Shift+Tab");
    await hand.press("End");
    await focusIs(page, hook("room", "hand-out"));
    await tabTo(hook("hand-out"));
    hand.think();
    await handedOut(page, () => hand.press("Enter"));
    inTime(t, hand);
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });

  test("by touch on a phone", async (t) => {
    const phone = { viewport: { width: 360, height: 640 }, hasTouch: true, isMobile: true };
    const { page, seen } = await openBuilder(browser, phone);
    await page.locator(hook("toggle-form")).waitFor();
    const hand = counting(page, { glass: true });
    /** Taps into a field and types over what stands there. */
    async function fill(selector, text) {
      hand.think();
      await hand.tap(selector);
      const before = await page.locator(selector).first().inputValue();
      await page.locator(selector).first().evaluate((own) => own.setSelectionRange(own.value.length, own.value.length));
      await hand.press("Backspace", before.length);
      await hand.type(text);
    }

    hand.part("the form");
    hand.think();
    await hand.tap(hook("toggle-form"));
    for (const field of ["title", "part", "measures", "meter", "tempo"]) await fill(`#new-${field}`, PIECE[field]);
    await hand.press("Enter");
    await page.locator("#m-0").waitFor();

    hand.part("the road map");
    for (const change of CHANGES) {
      await fill("#select-text", change.at);
      await hand.press("Enter");
      hand.think();
      await hand.tap("#open-facts");
      if (change.section) await fill("#fact-section", change.section);
      if (change.meter) {
        await fill("#fact-meter", change.meter);
        await hand.press("Enter");
      }
      if (change.groups) {
        // The usual groups of the meter stand below it.
        hand.think();
        await hand.tap(hook("groups", change.groups));
      }
      if (change.unit) {
        hand.think();
        await hand.choose("#fact-tempo-unit", change.unit);
      }
      if (change.tempo) await fill("#fact-tempo-number", change.tempo);
      await hand.press("Enter");
      await hand.tap("#close-facts");
    }

    hand.part("the tips");
    let topic = "bow";
    for (const [place, about, text] of TIPS) {
      await fill("#select-text", place);
      await hand.press("Enter");
      hand.think();
      await hand.tap("#add-tip");
      await focusIs(page, 'textarea[id^="tip-text-"]');
      await hand.compose(text);
      const code = about.toLowerCase().replace(" ", "-");
      if (code !== topic) {
        hand.think();
        await hand.choose(hook("tip-topic"), code);
        topic = code;
      }
      hand.think();
      await hand.tap(hook("close-tip"));
      await page.locator(".facts-side").waitFor({ state: "hidden" });
    }

    hand.part("handing out");
    await kept(page);
    hand.think();
    hand.swipe();
    await hand.tap(hook("room", "hand-out"));
    hand.think();
    await handedOut(page, () => hand.tap(hook("hand-out")));
    inTime(t, hand);
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });
});
