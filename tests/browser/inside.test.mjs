// What happens inside a measure and a beat: a pickup that begins inside a beat, a tempo that changes
// on a beat, a fermata that lasts; what the student sees of them in Play and in Count, and hears.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { openIn } from "./rig/open.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const FOLDER = temporaryFolder("inside");
const GUIDE = {
  cueleaf: "1.0",
  id: "inside",
  title: "Inside",
  parts: [{ id: "va", name: "Viola" }],
  road_map: {
    measures: [
      // One eighth of 6/8, at two beats a second.
      { label: "0", meter: "6/8", length: "1/2", pickup: true, tempo: [{ tempo: "dotted quarter = 120" }] },
      { label: "1" },
      { label: "2", tempo: [{ at: "3/2", tempo: "dotted quarter = 60" }], holds: [{ at: "3/2", longer: "3/2" }] },
      { label: "3", length: "5/2" },
    ],
  },
};

function exported() {
  const saved = join(FOLDER, "inside.json");
  const page = join(FOLDER, "inside.html");
  writeFileSync(saved, JSON.stringify(GUIDE));
  execFileSync(join(ROOT, "target/release/cueleaf"), ["export", saved, "-o", page], { stdio: "ignore" });
  return pathToFileURL(page).href;
}

/** Runs in the page: gives the seconds of the clicks of a run. */
async function clicks() {
  const rate = 48_000;
  const context = new OfflineAudioContext(1, 10 * rate, rate);
  return [...window.cueleaf.clicksInto(context, 0, 10)].map((at) => Math.round(at * 1000) / 1000);
}

/** Runs in the page: plays, and gives each text that stood where the next change is told, until it ends. */
function told() {
  return new Promise((done) => {
    const seen = [];
    const ends = performance.now() + 15_000;
    const look = () => {
      const text = document.querySelector("#next").textContent.trim();
      if (text !== "" && !seen.includes(text)) seen.push(text);
      const where = document.querySelector("#where").textContent.trim();
      if (where.endsWith(" 3") || performance.now() > ends) done(seen);
      else requestAnimationFrame(look);
    };
    look();
  });
}

describe("inside a measure and a beat", () => {
  let page;
  before(async () => {
    page = await openIn("chromium", exported());
    await page.until(() => Boolean(window.cueleaf?.clicksInto));
  });
  after(() => page?.close());

  test("a pickup inside a beat has no number, and its beats divide as whole ones do", async () => {
    await page.click("#tab-count");
    const shown = () => [
      document.querySelector("#step-count").innerText.trim(),
      document.querySelector("#step-line svg").getAttribute("aria-label").split(";")[0],
      document.querySelectorAll('#step-line [data-c]:not(.ahead *)').length,
    ];
    assert.deepEqual(await page.evaluate(shown), ["&", "measure 0: 6/8, counted &", 1]);
  });

  test("a fermata that lasts and a tempo on a beat are told a measure before and drawn", async () => {
    await page.click("#tab-play");
    await page.click("#play");
    const seen = await page.evaluate(told);
    assert.deepEqual(seen, ["next: beat 2: dotted quarter = 60, fermata on beat 2"]);
    await page.click("#play");
    await page.evaluate(() => {
      const from = document.querySelector("#from");
      from.value = "2";
      from.dispatchEvent(new Event("change", { bubbles: true }));
    });
    const label = () => document.querySelector("#line svg").getAttribute("aria-label");
    assert.match(await page.evaluate(label), /^measure 2: 6\/8, counted 1 2; fermata on beat 2; measure 3/);
    await page.evaluate(() => {
      const from = document.querySelector("#from");
      from.value = "0";
      from.dispatchEvent(new Event("change", { bubbles: true }));
    });
  });

  test("a loop of one measure is counted in without a mark on its line, and counted without rest", async () => {
    const seen = await page.evaluate(async () => {
      const choose = (id, value) => {
        const field = document.getElementById(id);
        if (typeof value === "boolean") field.checked = value;
        else field.value = value;
        field.dispatchEvent(new Event("change", { bubbles: true }));
      };
      for (const [id, value] of [["from", "1"], ["to", "1"], ["again", true], ["each", true]]) choose(id, value);
      document.querySelector("#play").click();
      const count = document.querySelector("#count");
      const states = [];
      const ends = performance.now() + 12_000;
      await new Promise((done) => {
        const look = () => {
          const counted = document.querySelector("#section").textContent === "count-in";
          const line = document.querySelector("#line > :not(.behind)");
          // Some frames after a count all that belongs to it is drawn.
          const state = [counted, count.classList.contains("resting"), line.querySelector(".now") !== null].join(" ");
          const last = states.at(-1);
          if (last?.state === state) last.frames += 1;
          else states.push({ state, frames: 1 });
          if (performance.now() > ends) done();
          else requestAnimationFrame(look);
        };
        look();
      });
      document.querySelector("#play").click();
      for (const [id, value] of [["from", "0"], ["to", ""], ["again", false], ["each", false]]) choose(id, value);
      // Before the first count it rests, too.
      return states.filter(({ frames }) => frames > 10).map(({ state }) => state).slice(1);
    });
    // Counted in: resting and no mark. Music: neither rest nor without one. In turns.
    assert.ok(seen.length >= 5, seen.join("; "));
    for (const state of seen) assert.ok(["true true false", "false false true"].includes(state), seen.join("; "));
  });

  test("the clicks follow, and the last measure divides in eighths", async () => {
    // Counted in: a measure and the two beats before the eighth; it lies 1/6 s before measure 1.
    const lead = 1 + 5 / 6;
    const heard = await page.evaluate(clicks);
    const start = lead + 1 / 6;
    const expected = [0, 0.5, 1, 1.5, lead, start, start + 0.5, start + 1, start + 1.5];
    // The beat of a second waits for another, on which one count leads on, then two beats of measure 3.
    expected.push(start + 2.5, start + 3.5, start + 4.5);
    assert.deepEqual(heard, expected.map((at) => Math.round(at * 1000) / 1000));
    await page.evaluate(() => {
      const between = document.querySelector("#between");
      between.value = "2";
      between.dispatchEvent(new Event("change", { bubbles: true }));
    });
    const all = await page.evaluate(clicks);
    const eighths = [0, 1, 2, 3, 4].map((one) => Math.round((start + 3.5 + one / 3) * 1000) / 1000);
    assert.deepEqual(all.slice(-5), eighths);
  });
});
