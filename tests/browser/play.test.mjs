// Practising in the Play room: what clicks, loops, ladder, rests, interruptions. Offline what is
// heard is checked to the sample; in real time what is handed to the audio clock, and when.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { launchChromium, watch } from "./rig/chromium.mjs";
import { openIn } from "./rig/open.mjs";
import { record, temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const folder = temporaryFolder("play");

function exported(guide, name) {
  const page = join(folder, `${name}.html`);
  execFileSync(join(ROOT, "target/release/cueleaf"), ["export", guide, "-o", page], { stdio: "ignore" });
  return pathToFileURL(page).href;
}

/** A quartet's viola: measures 29 and 30 are 7/8 in 2 + 2 + 3 at quarter = 126. */
const EIGHTH = 60 / 126 / 2;
const RATE = 44_100;

/** Four measures of 4/4 at quarter = 120, the middle two a rest, with a cue. */
function withRest() {
  const guide = JSON.parse(readFileSync(join(ROOT, "examples/mail-boat-viola.json"), "utf8"));
  guide.road_map = {
    measures: ["1", "2", "3", "4"].map((label) => ({ label })),
  };
  Object.assign(guide.road_map.measures[0], { meter: "4/4", tempo: [{ tempo: "quarter = 120" }] });
  guide.parts[0].marks = [
    { measure: 1, kind: "rest", to: { measure: 3, at: "1" } },
  ];
  guide.tips = [
    { id: "cue", spot: { from: { measure: 1 }, to: { measure: 3 } }, topic: "get-ready", text: "Take the mute off now.", cue: "mute off, bow ready now" },
  ];
  guide.todos = [];
  const path = join(folder, "rest.json");
  writeFileSync(path, JSON.stringify(guide));
  return path;
}

/** Measures of one quarter each that grow longer from 0.3 to 0.6 seconds. */
function ofShortMeasures() {
  const guide = JSON.parse(readFileSync(join(ROOT, "examples/mail-boat-viola.json"), "utf8"));
  const measures = Array.from({ length: 25 }, (_, index) => ({
    label: `${index + 1}`,
    tempo: [{ tempo: `quarter = ${200 - 4 * index}` }],
  }));
  measures[0].meter = "1/4";
  guide.road_map = { measures };
  Object.assign(guide, { tips: [], todos: [] });
  guide.parts[0].marks = [];
  const path = join(folder, "short.json");
  writeFileSync(path, JSON.stringify(guide));
  return path;
}

/** Runs before the page: gives it some seventeen frames a second. */
function slowFrames() {
  const frame = requestAnimationFrame.bind(window);
  window.ownFrame = frame;
  window.requestAnimationFrame = (draw) => setTimeout(() => frame(draw), 45);
}

/** Runs in the page: notes what of the line is seen in each frame. */
function watchLine() {
  window.lines = [];
  const look = () => {
    const boxes = [...document.querySelectorAll("#line > :not(.behind) > svg, #line > :not(.behind) > svg > g")];
    window.lines.push({
      number: document.querySelector("#where").textContent,
      wide: boxes.map((own) => own.getBoundingClientRect().width),
    });
    window.ownFrame(look);
  };
  look();
}

/** Runs in the page: renders seconds of what Play would play now; gives samples and peaks. */
async function heard([from, to, rate]) {
  const context = new OfflineAudioContext(1, Math.ceil((to - from + 0.1) * rate), rate);
  const told = window.cueleaf.clicksInto(context, from, to);
  const samples = (await context.startRendering()).getChannelData(0);
  const clicks = [];
  let last = -rate;
  for (let index = 0; index < samples.length; index += 1) {
    const loud = Math.abs(samples[index]);
    if (loud < 1e-6) continue;
    // The first sample of a click is nought, so the first that is heard is its second.
    if (index - last > rate / 100) clicks.push({ sample: index - 1, peak: 0 });
    last = index;
    clicks.at(-1).peak = Math.max(clicks.at(-1).peak, loud);
  }
  return { told: told.length, clicks };
}

/** Runs before the page: remembers every context, and what is started and stopped on its clock. */
function listenToSources() {
  window.started = [];
  window.contexts = [];
  const Original = AudioContext;
  window.AudioContext = class extends Original {
    constructor(...rest) {
      super(...rest);
      window.contexts.push(this);
    }
  };
  const { start } = AudioBufferSourceNode.prototype;
  AudioBufferSourceNode.prototype.start = function (when = 0, ...rest) {
    const { sampleRate, currentTime } = this.context;
    this.entry = { when, rate: sampleRate, ahead: when - currentTime, stopped: false };
    window.started.push(this.entry);
    return start.call(this, when, ...rest);
  };
  const { stop } = AudioScheduledSourceNode.prototype;
  AudioScheduledSourceNode.prototype.stop = function (...rest) {
    if (this.entry && this.context.currentTime < this.entry.when) this.entry.stopped = true;
    return stop.apply(this, rest);
  };
}

const sounding = async (page) => {
  const all = await page.evaluate(() => window.started.filter((own) => !own.stopped));
  return all.sort((one, other) => one.when - other.when);
};

/** Gives the times between clicks in whole eighths; fails on anything between. */
function eighths(clicks, eighth = EIGHTH) {
  return clicks.slice(1).map((click, index) => {
    const gap = click.when - clicks[index].when;
    const count = Math.round(gap / eighth);
    assert.ok(Math.abs(gap - count * eighth) < 2.5 / click.rate, `${gap} s is no number of eighths`);
    return count;
  });
}

describe("practising in the Play room", () => {
  let browser;
  let viola;
  let rest;
  before(async () => {
    browser = await launchChromium();
    viola = exported(join(ROOT, "examples/mail-boat-viola.json"), "viola");
    rest = exported(withRest(), "rest");
  });
  after(() => browser?.close());

  async function open(address, { slow, ...options } = {}) {
    const context = await browser.newContext({ viewport: { width: 360, height: 640 }, ...options });
    await context.addInitScript(listenToSources);
    if (slow) await context.addInitScript(slowFrames);
    const page = await context.newPage();
    page.setDefaultTimeout(20_000);
    const seen = watch(page);
    await page.goto(address);
    await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
    await page.locator("#tab-play").click();
    return { page, seen };
  }

  const choices = (page) => page.locator("[data-do=choices]").click();

  /** Chooses the spot by two taps, the later measure first. */
  async function tapSpot(page, first, last) {
    await page.locator("[data-do=spot]", { hasText: new RegExp(`^${last}$`) }).click();
    await page.locator("[data-do=spot]", { hasText: new RegExp(`^${first}$`) }).click();
  }

  test("every choice of clicks is heard on its sample", async () => {
    const { page, seen } = await open(viola);
    await choices(page);
    await tapSpot(page, 29, 30);
    assert.equal(await page.locator("#from option:checked").innerText(), "29");
    assert.equal(await page.locator("#to option:checked").innerText(), "30");
    assert.ok(await page.locator("#again").isChecked());
    // In eighths from the first click: a count-in of 7, then laps of 14.
    const clicksOf = async (until) => {
      const { told, clicks } = await page.evaluate(heard, [0, until * EIGHTH - 0.01, RATE]);
      assert.equal(told, clicks.length);
      return clicks;
    };
    const expect = async (until, places, what) => {
      const clicks = await clicksOf(until);
      assert.deepEqual(
        clicks.map(({ sample }) => sample),
        places.map((place) => Math.round(place * EIGHTH * RATE)),
        what,
      );
      return clicks;
    };
    const upTo = (count) => Array.from({ length: count }, (_, index) => index);
    const countIn = upTo(7);
    const every = (places) => [...countIn, ...[7, 14, 21, 28].flatMap((at) => places.map((own) => at + own))];
    const whole = await expect(35, upTo(35), "every count");
    await page.locator("#click-on").selectOption({ label: "groups only" });
    await expect(35, every([0, 2, 4]), "groups");
    await page.locator("#click-on").selectOption({ label: "downbeats only" });
    await expect(35, every([0]), "downbeats");
    await page.locator("#click-on").selectOption({ label: "off-beats" });
    await expect(35, every(upTo(7).map((count) => count + 0.5)), "off-beats");
    await page.locator("#click-on").selectOption({ label: "every count" });
    await page.locator("#between").selectOption({ label: "always" });
    await expect(35, every(upTo(14).map((count) => count / 2)), "with what lies between");
    await page.locator("#between").selectOption({ label: "where slow enough" });
    // Half an eighth is 119 ms at this tempo: too quick to help.
    await expect(35, upTo(35), "what is too quick is left out");
    await page.locator("#silent-every").selectOption({ label: "1 in 2" });
    await expect(35, [...countIn, ...[7, 21].flatMap((at) => upTo(7).map((own) => at + own))], "silent measures");
    await page.locator("#silent-every").selectOption({ label: "none" });
    await page.locator("#each").check();
    await expect(49, upTo(49), "counted in each time");
    await page.locator("#click-on").selectOption({ label: "downbeats only" });
    const laps = [...countIn, 7, 14, ...upTo(7).map((own) => 21 + own), 28, 35];
    await expect(42, laps, "the count-in clicks whole each time");
    await page.locator("#count-in").selectOption({ label: "none" });
    await expect(21, [0, 7, 14], "no count-in");
    await page.locator("#count-in").selectOption({ label: "2" });
    await page.locator("#click-on").selectOption({ label: "every count" });
    await expect(21, upTo(21), "two measures of count-in");

    // Accents, volume and sound change how a click sounds, never when.
    const loudest = (clicks) => Math.max(...clicks.map(({ peak }) => peak));
    const peaks = new Set(whole.map(({ peak }) => Math.round(peak * 1e4)));
    assert.ok(peaks.size >= 3, "three strengths");
    await page.locator("#volume").fill("40");
    const softer = await expect(21, upTo(21), "softer");
    assert.ok(Math.abs(loudest(softer) / loudest(whole) - 0.25) < 1e-3);
    await page.locator("#accents").uncheck();
    const even = await expect(21, upTo(21), "even");
    assert.ok(loudest(even) - Math.min(...even.map(({ peak }) => peak)) < 1e-4);
    const sounds = [];
    for (const label of ["clear", "wooden", "dry"]) {
      await page.locator("#sound").selectOption({ label });
      sounds.push(loudest(await expect(21, upTo(21), label)));
    }
    assert.equal(new Set(sounds.map((peak) => Math.round(peak * 1e5))).size, 3);

    // What is chosen is still there when the page is opened again.
    await page.reload();
    await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
    assert.equal(await page.locator("#sound").inputValue(), "2");
    assert.equal(await page.locator("#accents").isChecked(), false);
    assert.equal(await page.locator("#count-in").inputValue(), "2");
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });

  test("choices that were kept by another page are checked one by one", async () => {
    const { page, seen } = await open(viola);
    await page.evaluate(() => {
      localStorage.setItem("cueleaf.choices", "9 <b> -1 7 9999 2 x 1e9 0 0 1 ? 1");
      localStorage.setItem("cueleaf.latency", "9999");
    });
    await page.reload();
    await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
    const value = (id) => page.locator(`#${id}`).inputValue();
    assert.deepEqual(
      await Promise.all(["click-on", "between", "silent-every", "sound", "volume", "count-in", "rung-from", "later"].map(value)),
      ["0", "0", "0", "0", "100", "2", "60", "500"],
    );
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });

  test("two hours of a loop, rendered minute by minute, do not drift by a sample", { timeout: 240_000 }, async () => {
    const { page } = await open(viola);
    await choices(page);
    await tapSpot(page, 29, 30);
    await page.locator("#sound").selectOption({ label: "dry" });
    let number = 0;
    for (let minute = 0; minute < 120; minute += 1) {
      const { clicks } = await page.evaluate(heard, [minute * 60 - 0.05, minute * 60 + 59.95, RATE]);
      // Whole numbers: an eighth is 60/252 s, and a minute has 252 of them.
      assert.equal(clicks.length, 252, `minute ${minute}`);
      clicks.forEach(({ sample }, index) => {
        assert.equal(sample, Math.round((index * 60 * RATE) / 252 + 0.05 * RATE), `minute ${minute}, click ${index}`);
        number += 1;
      });
    }
    assert.equal(number, 30_240);
    await page.context().close();
  });

  test("clicks, count-in and loop change while it plays: no gap, no click twice", async () => {
    const { page, seen } = await open(viola);
    await choices(page);
    await tapSpot(page, 29, 30);
    await page.locator("#play").click();
    await choices(page);
    // The stage is hidden but goes on: the count-in is over.
    await page.waitForFunction(() => document.querySelector("#count").textContent === "3");
    await page.waitForFunction(() => document.querySelector("#section").textContent !== "count-in");
    await page.locator("#click-on").selectOption({ label: "groups only" });
    await page.waitForTimeout(900);
    await page.locator("#each").check();
    await page.waitForTimeout(900);
    await page.locator("#click-on").selectOption({ label: "every count" });
    await page.locator("#each").uncheck();
    await page.locator("#volume").fill("60");
    await page.waitForTimeout(900);
    await page.locator("#to").selectOption({ label: "31" });
    await page.waitForTimeout(900);
    const clicks = await sounding(page);
    const gaps = eighths(clicks);
    // A group is two or three eighths; nought would be a click twice, more a hole.
    assert.ok(gaps.every((gap) => gap >= 1 && gap <= 3), `${gaps}`);
    assert.ok(gaps.some((gap) => gap > 1) && gaps.slice(-5).every((gap) => gap === 1), `${gaps}`);
    assert.equal(await page.evaluate(() => window.contexts.length), 1);
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });

  test("the ladder goes up by tap with the next time round, and says so", async () => {
    const { page, seen } = await open(viola);
    await choices(page);
    await page.locator("#count-in").selectOption({ label: "none" });
    await page.locator("#rungs").selectOption({ label: "traditional steps" });
    await page.locator("#rung-from").fill("90");
    await page.locator("#rung-from").press("Enter");
    await tapSpot(page, 29, 30);
    await page.locator("#ladder").check();
    await choices(page);
    const rung = () => page.locator("#rung").innerText();
    // From 90 percent of quarter = 126 over 114 (rounded from 113.4), 116, 120 to 126.
    assert.equal(await rung(), "Rung 1 of 4: quarter = 113.4; clean 0 of 2");
    assert.equal(await page.locator("#percent").inputValue(), "90");
    await page.locator("#play").click();
    await page.locator("[data-do=went-well]").click();
    assert.equal(await rung(), "Rung 1 of 4: quarter = 113.4; clean 1 of 2");
    await page.locator("[data-do=once-more]").click();
    assert.equal(await rung(), "Rung 1 of 4: quarter = 113.4; clean 0 of 2");
    await page.locator("[data-do=went-well]").click();
    await page.locator("[data-do=went-well]").click();
    assert.equal(await rung(), "Rung 2 of 4: quarter = 116; clean 0 of 2");
    assert.equal(await page.locator("#speaker").textContent(), await rung());
    await page.waitForTimeout(2500);
    const clicks = await sounding(page);
    const gaps = clicks.slice(1).map((click, index) => click.when - clicks[index].when);
    const slow = 30 / 113.4;
    const quick = 30 / 116;
    const changed = gaps.findIndex((gap) => Math.abs(gap - quick) < 1e-4);
    assert.equal(changed, 14, "the first time round stays as it is");
    gaps.forEach((gap, index) => {
      assert.ok(Math.abs(gap - (index < 14 ? slow : quick)) < 3 / RATE, `gap ${index}: ${gap}`);
    });
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });

  test("a section goes at its own pace, said and kept; a tip plays at the ladder's tempo", async () => {
    const { page, seen } = await open(viola);
    await choices(page);
    await tapSpot(page, 28, 30);
    const pace = page.locator("#pace-29");
    await pace.selectOption({ label: "50 percent" });
    // Three quarters counted in, measure 28 as planned, then eighths half as quick.
    const { clicks } = await page.evaluate(heard, [0, 6 * (60 / 112) + 14 * 2 * EIGHTH - 0.01, RATE]);
    const at = [...Array(6).keys()].map((index) => (index * 60) / 112);
    for (let index = 0; index < 14; index += 1) at.push(6 * (60 / 112) + index * 2 * EIGHTH);
    assert.equal(clicks.length, at.length);
    clicks.forEach(({ sample }, index) => assert.ok(Math.abs(sample - at[index] * RATE) <= 1, `click ${index}: ${sample} for ${at[index] * RATE}`));
    await page.locator("#from").selectOption({ label: "29" });
    assert.equal(await page.locator("#section").textContent(), "Round the island, 50 percent");
    const heights = () => page.locator("#strip rect").evaluateAll((all) => all.map((own) => own.getAttribute("height")));
    assert.equal((await heights()).filter((height) => height === "4").length, 1);
    // Kept on the device, for this guide; what no one offers is not believed.
    await page.locator("#tips-at-rung").check();
    await page.locator("#rung-from").fill("70");
    await page.locator("#rung-from").press("Enter");
    await page.evaluate(() => {
      const [key] = Object.keys(localStorage).filter((own) => own.startsWith("cueleaf.pace."));
      localStorage[key] += " 13:1 30:50 49:60 x 9";
    });
    await page.reload();
    await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
    await page.locator("#tab-walk").click();
    await page.locator("[data-do=tip]").nth(3).click();
    assert.equal(await page.locator("#percent").inputValue(), "70");
    // Long enough that there is something to erase.
    await page.waitForTimeout(2000);
    await page.locator("#play").click();
    await choices(page);
    assert.equal(await pace.inputValue(), "50");
    assert.equal((await heights()).filter((height) => height !== "8").length, 2);
    // On the ladder every section goes at the tempo of the rung.
    await page.locator("#ladder").check();
    assert.equal((await heights()).filter((height) => height !== "8").length, 0);
    await page.locator("#ladder").uncheck();
    await page.locator("#tab-todo").click();
    await page.locator("[data-do=erase]").click();
    assert.equal((await heights()).filter((height) => height !== "8").length, 0);
    assert.deepEqual(await page.evaluate(() => Object.keys(localStorage).filter((own) => own.includes("pace"))), []);
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });

  test("with the page blocked for 300 ms each second every click is handed over in time", async () => {
    const { page } = await open(viola);
    await choices(page);
    await tapSpot(page, 29, 30);
    await choices(page);
    await page.evaluate(() => {
      setInterval(() => {
        const end = performance.now() + 300;
        while (performance.now() < end);
      }, 1000);
    });
    await page.locator("#play").click();
    await page.waitForTimeout(4000);
    await page.locator("#room-play [data-do=faster]").click();
    await page.waitForTimeout(8000);
    const now = await page.evaluate(() => window.contexts[0].currentTime);
    const clicks = (await sounding(page)).filter(({ when }) => when < now);
    assert.ok(clicks.length > 40, `${clicks.length}`);
    for (const { ahead } of clicks) assert.ok(ahead > 0, `handed over ${-ahead} s late`);
    const gaps = clicks.slice(1).map((click, index) => click.when - clicks[index].when);
    const steady = (gap) => [EIGHTH, EIGHTH / 1.05].some((own) => Math.abs(gap - own) < 2.5 / RATE);
    assert.ok(gaps.every(steady), `${gaps}`);
    assert.ok(gaps.some((gap) => gap < EIGHTH - 0.005), "the pace did change");
    await page.context().close();
  });

  test("what comes out of the device, recorded while the page is blocked, is on its sample", async () => {
    // Measure 28 is 3/4 at quarter = 112, 29 and 30 are 7/8 at 126.
    const loud = await launchChromium({ sound: true });
    const context = await loud.newContext({ viewport: { width: 360, height: 640 } });
    const page = await context.newPage();
    await page.goto(viola);
    await page.waitForFunction(() => window.cueleaf?.clicksInto);
    await page.click("#tab-play");
    await page.selectOption("#from", { label: "28" });
    await page.selectOption("#to", { label: "30" });
    await page.locator("#again").check();
    await page.evaluate(() => {
      setInterval(() => {
        const end = performance.now() + 300;
        while (performance.now() < end);
      }, 1000);
    });
    const recording = await record();
    await page.waitForTimeout(500);
    await page.click("#play");
    await page.waitForTimeout(11_000);
    await page.click("#room-play [data-do=faster]");
    await page.waitForTimeout(8000);
    const samples = recording.end();
    await loud.close();
    const starts = [];
    let last = -RATE;
    for (let index = 0; index < samples.length; index += 1) {
      if (Math.abs(samples[index]) < 0.003) continue;
      if (index - last > RATE / 40) starts.push(index);
      last = index;
    }
    const gaps = starts.slice(1).map((start, index) => start - starts[index]);
    // Count-in and measure 28 in quarters, two measures of seven eighths, and so on; then 5 % faster.
    const quarter = (60 / 112) * RATE;
    const eighth = EIGHTH * RATE;
    const lap = [...Array(3).fill(quarter), ...Array(14).fill(eighth)];
    const expected = [...Array(3).fill(quarter), ...Array(10).fill(lap).flat()];
    const at = (index, gap) => Math.abs(gap - expected[index]) <= 3;
    const changed = gaps.findIndex((gap, index) => !at(index, gap));
    assert.ok(changed > 30, `the pace changes after some laps: ${gaps}`);
    assert.ok(gaps.length > changed + 15, `${gaps}`);
    // The change comes with a count, so that every gap belongs to one pace or the other.
    for (const [index, gap] of gaps.slice(changed).entries()) {
      const wanted = expected[changed + index] / 1.05;
      assert.ok(Math.abs(gap - wanted) <= 3, `gap ${changed + index}: ${gap} for ${wanted}; ${gaps}`);
    }
  });

  test("a long rest is counted with its number up to the entry, beside cue and count", async () => {
    const { page, seen } = await open(rest);
    await page.locator("#play").click();
    const inMeasure = async (label, pick) => {
      await page.waitForFunction(
        (wanted) => document.querySelector("#where").textContent === `Measure ${wanted}` && document.querySelector("#section").textContent !== "count-in",
        label,
      );
      // What a measure brings comes a piece a frame.
      await page.evaluate(async () => {
        for (let frame = 0; frame < 5; frame += 1) await new Promise(requestAnimationFrame);
      });
      return page.evaluate(pick);
    };
    const shown = () => ({
      count: document.querySelector("#count").textContent,
      rest: document.querySelector("#rest").textContent,
      cue: document.querySelector("#cue").textContent,
      said: document.querySelector("#speaker").textContent,
      bottoms: ["rest", "count", "line", "cue", "next"].map((id) => document.getElementById(id).getBoundingClientRect().bottom),
      controls: document.querySelector("#room-play .controls").getBoundingClientRect().top,
      size: ["count", "cue"].map((id) => parseFloat(getComputedStyle(document.getElementById(id)).fontSize)),
    });
    const second = await inMeasure("2", shown);
    assert.equal(second.count, "1");
    assert.equal(second.rest, "rest 1 of 2, come in at measure 4, beat 2");
    assert.equal(second.cue, "mute off, bow ready now");
    assert.match(second.said, /rest 1 of 2/);
    for (const bottom of second.bottoms) assert.ok(bottom <= second.controls + 0.5, `${second.bottoms} ${second.controls}`);
    assert.ok(second.size[0] >= 96 && second.size[1] >= 40, `${second.size}`);
    const third = await inMeasure("3", shown);
    assert.equal(third.count, "2", "two takes the place of one");
    assert.equal(third.rest, "rest 2 of 2, come in at measure 4, beat 2");
    assert.doesNotMatch(third.said, /rest 2/);
    const fourth = await inMeasure("4", shown);
    assert.deepEqual([fourth.count, fourth.rest], ["1", ""]);
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });

  test("a measure that comes before its line is ready is seen whole", async () => {
    const { page, seen } = await open(exported(ofShortMeasures(), "short"), { slow: true });
    await page.locator("#play").click();
    await page.waitForFunction(() => document.querySelector("#section").textContent !== "count-in");
    await page.evaluate(watchLine);
    await page.waitForFunction(() => document.querySelector("#where").textContent === "Measure 24");
    const lines = await page.evaluate(() => window.lines);
    const shown = new Set(lines.map(({ number }) => number));
    assert.ok(shown.size > 20, `${[...shown]}`);
    for (const { number, wide } of lines) {
      assert.equal(wide.length, 3, `${number}: the line and two measures`);
      assert.ok(wide[0] > 300 && Math.min(...wide) > 0, `${number}: ${wide}`);
    }
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });

  test("with text up to twice as large Stop, the count and its line stay within reach", async () => {
    for (const percent of [130, 160, 200]) {
      const { page, seen } = await open(viola);
      await page.evaluate((own) => (document.documentElement.style.fontSize = `${own}%`), percent);
      await page.locator("#tab-walk").click();
      await page.locator("#tab-play").click();
      await page.locator("#from").selectOption({ label: "29" });
      const inView = (selector) =>
        page.evaluate((own) => {
          const { left, right, top, bottom } = document.querySelector(own).getBoundingClientRect();
          const at = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
          return left >= 0 && right <= 360 && top >= 0 && bottom <= 640 && at?.closest(own) !== null;
        }, selector);
      assert.ok(await inView("#play"), `Play at ${percent} percent`);
      await page.locator("#play").click();
      await page.waitForFunction(() => document.querySelector("#count").textContent === "3");
      assert.ok(await inView("#play"), `Stop at ${percent} percent`);
      assert.ok(await inView("#count"), `the count at ${percent} percent`);
      await page.evaluate(() => document.querySelector("#line").scrollIntoView({ block: "center" }));
      assert.ok(await inView("#line"), `the line at ${percent} percent`);
      await page.locator("#play").click();
      // Nothing is wider than the page.
      for (const room of ["walk", "play", "count", "todo"]) {
        await page.locator(`#tab-${room}`).click();
        const wide = await page.evaluate(() => document.documentElement.scrollWidth);
        assert.ok(wide <= 360, `${room} at ${percent} percent is ${wide} wide`);
      }
      await page.locator("#tab-count").click();
      await page.locator("[data-value=tap]").click();
      assert.ok(await inView("#tap"), `the place to tap at ${percent} percent`);
      assert.deepEqual(seen.complaints, []);
      await page.context().close();
    }
  });

  test("when the sound is taken away the page says what to tap, and a tap brings it back", async () => {
    const { page } = await open(viola);
    await page.locator("#play").click();
    await page.waitForFunction(() => document.querySelector("#count").textContent === "2");
    assert.ok(await page.locator("#silent").isHidden());
    await page.evaluate(() => window.contexts[0].suspend());
    await page.locator("#silent").waitFor({ state: "visible" });
    const count = await page.locator("#count").textContent();
    await page.waitForFunction((before) => document.querySelector("#count").textContent !== before, count);
    await page.locator("[data-do=sound]").click();
    await page.waitForFunction(() => window.contexts.at(-1).state === "running");
    await page.waitForFunction(() => window.contexts.at(-1).currentTime > 0.5);
    assert.ok(await page.locator("#silent").isHidden());
    assert.match(await page.locator("#play").innerText(), /Stop/);
    assert.equal(await page.evaluate(() => window.contexts.length), 2);
    await page.context().close();
  });

  test("letters are shortcuts until they are switched off", async () => {
    const { page } = await open(viola);
    await page.keyboard.press("+");
    assert.equal(await page.locator("#percent").inputValue(), "105");
    await page.keyboard.press("l");
    assert.ok(await page.locator("#again").isChecked());
    await page.keyboard.press("c");
    await page.locator("#letters").uncheck();
    await page.keyboard.press("-");
    await page.keyboard.press("c");
    assert.equal(await page.locator("#percent").inputValue(), "105");
    assert.ok(await page.locator("#choices").isVisible());
    await page.locator("#percent").fill("90");
    await page.locator("#percent").press("l");
    assert.ok(await page.locator("#again").isChecked());
    await page.context().close();
  });

  test("a tip's spot is looped from the choices", async () => {
    const { page } = await open(viola);
    await choices(page);
    const option = page.locator("#of-tip option").nth(3);
    const text = await option.innerText();
    await page.locator("#of-tip").selectOption({ index: 3 });
    const [, number] = /measures? (\w+)/.exec(text);
    assert.equal(await page.locator("#from option:checked").innerText(), number);
    assert.ok(await page.locator("#again").isChecked());
    assert.match(await page.locator("#spot-said").innerText(), new RegExp(`^Loop: measures? ${number}`));
    await page.context().close();
  });
});

for (const engine of ["firefox", "webkit"]) {
  test(`choices by real clicks, heard on the sample, in ${engine}`, { timeout: 120_000 }, async () => {
    const page = await openIn(engine, exported(join(ROOT, "examples/mail-boat-viola.json"), engine));
    try {
      await page.until(() => Boolean(window.cueleaf?.clicksInto));
      await page.click("#tab-play");
      await page.click("[data-do=choices]");
      const values = await page.evaluate(() =>
        ["29", "30"].map((label) => [...document.querySelectorAll("[data-do=spot]")].find((own) => own.textContent === label).dataset.value),
      );
      for (const value of values) await page.click(`[data-do=spot][data-value="${value}"]`);
      await page.click("#each");
      const { told, clicks } = await page.evaluate(heard, [0, 49 * EIGHTH - 0.01, RATE]);
      assert.equal(told, 49);
      assert.deepEqual(
        clicks.map(({ sample }) => sample),
        Array.from({ length: 49 }, (_, place) => Math.round(place * EIGHTH * RATE)),
      );
      await page.click("#ladder");
      assert.equal(await page.text("#rung"), "Rung 1 of 5: 60 percent; clean 0 of 2");
      await page.click("[data-do=choices]");
      await page.click("#play");
      await page.until(() => document.querySelector("#count").textContent === "3");
      await page.click("[data-do=went-well]");
      assert.match(await page.text("#rung"), /clean 1 of 2$/);
      await page.staysQuiet();
    } finally {
      await page.close();
    }
  });
}
