// What the page hands to its audio clock while it plays: on the grid of samples, well ahead, in
// order through a change of pace and through a loop; how strong each click is; and that count,
// measure, cue and the change ahead are shown when their time comes. In Chromium, on exported pages.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { launchChromium, watch } from "./rig/chromium.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const folder = temporaryFolder("clicks");

const cueleaf = (...words) =>
  execFileSync(join(ROOT, "target/release/cueleaf"), words, { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"], maxBuffer: 1e8 });

/** Exports a guide; gives the address of the page and the timeline that the command prints. */
function exported(guide, name) {
  const page = join(folder, `${name}.html`);
  cueleaf("export", guide, "-o", page);
  return { address: pathToFileURL(page).href, line: JSON.parse(cueleaf("timeline", guide)) };
}

function draft(score, part) {
  const guide = join(folder, "draft.json");
  cueleaf("draft", join(ROOT, "examples", score), "--part", part, "-o", guide);
  return guide;
}

const fraction = (text) => {
  const [top, bottom = "1"] = text.split("/");
  return Number(top) / Number(bottom);
};

/** Gives the steady tempo at a place of the written line, in quarter notes a minute. */
const tempoAt = (line, quarters) =>
  line.tempo.findLast((own) => fraction(own.start) <= quarters).quarters_per_minute;

/** Gives every count of a piece of steady tempi, without its count-in: seconds and level. */
function countsOf(line) {
  return line.played.flatMap((own) => {
    const start = fraction(line.measures[own.index].start);
    const quarter = 60 / tempoAt(line, start);
    return own.counts.map((count) => ({
      seconds: own.start_seconds + fraction(count.at) * quarter,
      level: count.level,
      say: count.say,
    }));
  });
}

/** Runs before the page: remembers what is started and stopped on the audio clock. */
function listenToSources() {
  window.started = [];
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

/** Waits until so many clicks that will sound were queued; gives them in order of time. */
async function queued(page, count) {
  await page.waitForFunction(
    (wanted) => window.started.filter((own) => !own.stopped).length >= wanted,
    count,
  );
  const all = await page.evaluate(() => window.started.filter((own) => !own.stopped));
  return all.sort((one, other) => one.when - other.when);
}

/** Gives the times between clicks. */
const gaps = (clicks) => clicks.slice(1).map((click, index) => click.when - clicks[index].when);

/** Tells whether two times are the same but for the rounding of both ends to samples. */
const near = (one, other, rate) => Math.abs(one - other) <= 1.01 / rate;

function onTheGrid(clicks) {
  for (const { when, rate } of clicks) {
    const sample = when * rate;
    assert.ok(Math.abs(sample - Math.round(sample)) < 1e-5, `${sample} is between two samples`);
  }
}

describe("clicks while the page plays", () => {
  let browser;
  let viola;
  let chestnuts;
  before(async () => {
    browser = await launchChromium();
    viola = exported(join(ROOT, "examples/mail-boat-viola.json"), "viola");
    chestnuts = exported(draft("chestnuts.musicxml", "Violin"), "chestnuts");
  });
  after(() => browser?.close());

  async function open({ address }) {
    const context = await browser.newContext({ viewport: { width: 360, height: 640 } });
    await context.addInitScript(listenToSources);
    const page = await context.newPage();
    page.setDefaultTimeout(30_000);
    const seen = watch(page);
    await page.goto(address);
    await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
    await page.locator("#tab-play").click();
    return { page, seen };
  }

  test("are on the grid, at least two seconds ahead, and where the tempo says", async () => {
    const { page, seen } = await open(viola);
    await page.locator("#play").click();
    const clicks = await queued(page, 11);
    onTheGrid(clicks);
    // The count-in of a measure and three beats, and what follows it: all at quarter = 66.
    for (const gap of gaps(clicks)) assert.ok(near(gap, 60 / 66, clicks[0].rate), `${gap}`);
    const later = clicks.filter(({ when }) => when > clicks[0].when + 4);
    assert.ok(later.length > 5, `${later.length} clicks later than the first four seconds`);
    for (const { ahead } of later) assert.ok(ahead >= 2, `queued ${ahead} s ahead`);
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });

  test("go on without a gap when the pace changes, each once", async () => {
    const { page, seen } = await open(viola);
    await page.locator("#play").click();
    await page.waitForFunction(() => document.querySelector("#count").innerText.trim() === "2");
    await page.locator("#percent").fill("150");
    await page.locator("#percent").press("Enter");
    const clicks = await queued(page, 14);
    onTheGrid(clicks);
    const rate = clicks[0].rate;
    const paces = gaps(clicks).map((gap) => {
      if (near(gap, 60 / 66, rate)) return "100";
      if (near(gap, 60 / 66 / 1.5, rate)) return "150";
      return `${gap}`;
    });
    assert.match(paces.join(" "), /^(100 )+(150 ){5,}150$/);
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });

  test("go round and round in a loop, without a seam", async () => {
    const { page } = await open(viola);
    await page.locator("#from").selectOption({ label: "29" });
    await page.locator("#to").selectOption({ label: "30" });
    await page.locator("#again").check();
    await page.locator("#play").click();
    // A count-in of seven, then two measures of seven, again and again.
    const clicks = await queued(page, 7 + 14 * 2 + 3);
    onTheGrid(clicks);
    for (const gap of gaps(clicks)) assert.ok(near(gap, 60 / 126 / 2, clicks[0].rate), `${gap}`);
    await page.locator("#play").click();
    const count = await page.evaluate(() => window.started.length);
    await page.waitForTimeout(600);
    assert.equal(await page.evaluate(() => window.started.length), count, "nothing is queued any more");
    await page.context().close();
  });

  for (const rate of [44_100, 48_000]) {
    test(`keep to the order of play, each as strong as its count, at ${rate} Hz`, async () => {
      const { page } = await open(chestnuts);
      const counts = countsOf(chestnuts.line);
      // Repeats with two endings, and once more from the beginning to the end of the tune.
      assert.equal(chestnuts.line.played.filter(({ label }) => label === "0").length, 3);
      const [told, clicks] = await page.evaluate(async (rate) => {
        const context = new OfflineAudioContext(1, 100 * rate, rate);
        const told = window.cueleaf.clicksInto(context, 0, 99);
        const samples = (await context.startRendering()).getChannelData(0);
        const clicks = [];
        let heard = -rate;
        for (let index = 0; index < samples.length; index += 1) {
          const loud = Math.abs(samples[index]);
          // A start that is a rounding error of the clock before its sample gives that sample the
          // trillionth part of the next one: nothing anybody hears.
          if (loud < 1e-6) continue;
          // The first sample of a click is nought, so the first that is heard is its second.
          if (index - heard > rate / 100) clicks.push({ sample: index - 1, peak: 0 });
          heard = index;
          const last = clicks.at(-1);
          last.peak = Math.max(last.peak, loud);
        }
        return [[...told], clicks];
      }, rate);
      assert.equal(told.length, clicks.length);
      const countIn = clicks.length - counts.length;
      // 6/8 in two, the pickup is the last eighth: two counts, then the two before it.
      assert.equal(countIn, 4);
      const dotted = (1.5 * 60) / 138;
      // Measures before play starts: one whole, and all but the last eighth of the pickup's.
      const begins = 2 * (2 * dotted) - dotted / 3;
      const expected = [
        ...[0, 1, 2, 3].map((beat) => beat * dotted),
        ...counts.map(({ seconds }) => begins + seconds),
      ];
      assert.deepEqual(
        clicks.map(({ sample }) => sample),
        expected.map((seconds) => Math.round(seconds * rate)),
      );
      const strength = (level) => {
        const own = clicks.slice(countIn).filter((_, index) => counts[index].level === level);
        const peaks = own.map(({ peak }) => peak);
        assert.ok(Math.max(...peaks) - Math.min(...peaks) < 1e-6, `${level} is always as strong`);
        return peaks[0];
      };
      const levels = ["downbeat", "group", "beat", "subdivision"].filter((level) =>
        counts.some((count) => count.level === level),
      );
      assert.ok(levels.length >= 2, `${levels}`);
      const strengths = levels.map(strength);
      assert.deepEqual(strengths, [...strengths].sort((one, other) => other - one));
      assert.equal(new Set(strengths).size, levels.length);
      await page.context().close();
    });
  }

  test("are shown: count, measure, cue and what comes", async () => {
    const { page, seen } = await open(viola);
    await page.evaluate(() => {
      window.log = [];
      const text = (id) => document.getElementById(id).textContent.trim();
      const note = () => {
        if (text("play") !== "Stop") return;
        const now = { where: text("where"), count: text("count"), cue: text("cue"), next: text("next") };
        if (JSON.stringify(window.log.at(-1)) !== JSON.stringify(now)) window.log.push(now);
      };
      // Count, line and the rest come in frames of their own: what stands is what is looked at.
      let timer;
      const soon = () => {
        clearTimeout(timer);
        timer = setTimeout(note, 60);
      };
      new MutationObserver(soon).observe(document.querySelector("#room-play"), {
        subtree: true,
        childList: true,
        characterData: true,
      });
    });
    await page.locator("#percent").fill("80");
    await page.locator("#percent").press("Enter");
    await page.locator("#from").selectOption({ label: "35" });
    await page.locator("#to").selectOption({ label: "37" });
    await page.locator("#play").click();
    // It ends by itself after measure 37.
    await page.waitForFunction(() => document.querySelector("#play").innerText.includes("Stop"));
    await page.waitForFunction(() => document.querySelector("#play").innerText.includes("Play"));
    const log = await page.evaluate(() => window.log);
    const inMeasure = (number) => log.filter(({ where }) => where === `Measure ${number}`);
    const counts = (number) =>
      inMeasure(number)
        .map(({ count }) => count)
        .filter((count, index, all) => count !== all[index - 1])
        .join(" ");
    // The seventh and eighth measure of a rest: its number takes the place of "one". Before 35 the
    // count-in is counted with 35 on view.
    assert.equal(counts(35), "7 1 2 1 2 1 2 3 7 2 1 2 1 2 3");
    assert.equal(counts(36), "8 2 1 2 1 2 3");
    assert.equal(counts(37), "1 2 3 1 2 1 2");
    // The cue of the rest gives way to the one of 37 two seconds of music before 37, with its number.
    const cues = log.map(({ cue }) => cue).filter((cue, index, all) => cue !== all[index - 1]);
    // A last word of a letter or two stays beside the one before it.
    assert.deepEqual(cues.slice(-3), ["rest 8, C# D E\u00a0A", "37: 3 + 2 +\u00a02", "3 + 2 +\u00a02"]);
    assert.equal(inMeasure(37)[0].cue, "3 + 2 +\u00a02");
    const next = (number) => [...new Set(inMeasure(number).map((own) => own.next))];
    assert.deepEqual(next(36), ["next: 7/8, 3 + 2 + 2"]);
    assert.deepEqual(next(37), [""]);
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });
});
