// The exported example over file:// in three engines: to read, to play, to count, without a
// complaint and without a request; in Chromium also its weight, its text without scripts, its
// ticks, and its clicks to the sample.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readdirSync, readFileSync, statSync } from "node:fs";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { launchChromium, watch } from "./rig/chromium.mjs";
import { ENGINES, openIn } from "./rig/open.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const COMMAND = join(ROOT, "target/release/cueleaf");
const EXAMPLES = join(ROOT, "examples");
const folder = temporaryFolder("guides");

function exported(name) {
  const page = join(folder, `${name}.html`);
  execFileSync(COMMAND, ["export", join(EXAMPLES, `${name}.json`), "-o", page]);
  return page;
}

const VIOLA = exported("mail-boat-viola");
const ADDRESS = pathToFileURL(VIOLA).href;
const GUIDE = JSON.parse(readFileSync(join(EXAMPLES, "mail-boat-viola.json"), "utf8"));

/** The heaviest an exported example may be, in bytes on disk. */
const HEAVIEST = 117_000;

for (const engine of ENGINES) {
  describe(engine, () => {
    let page;
    before(async () => {
      page = await openIn(engine, ADDRESS);
      await page.until(() => Boolean(window.cueleaf?.clicksInto));
    });
    after(() => page?.close());

    test("it can be read at once", async () => {
      const text = await page.evaluate(() => document.body.innerText);
      for (const expected of ["The Mail Boat Sets Out", "Round the island", GUIDE.tips[0].text]) {
        assert.ok(text.includes(expected), expected);
      }
    });

    test("it plays: the count goes on, then stops", async () => {
      await page.click("#tab-play");
      await page.click("#play");
      const seen = () => document.querySelector("#count").innerText.trim();
      await page.until(() => document.querySelector("#count").innerText.trim() === "2");
      await page.until(() => document.querySelector("#count").innerText.trim() === "3");
      await page.click("#play");
      const stopped = await page.evaluate(seen);
      await new Promise((done) => setTimeout(done, 1500));
      assert.equal(await page.evaluate(seen), stopped);
    });

    test("a measure of 7/8 is stepped through in its groups", async () => {
      await page.click("#tab-count");
      const said = [];
      for (let step = 0; step < 7; step += 1) {
        said.push((await page.text("#step-count")).trim());
        await page.click('button[data-do="step"]');
      }
      assert.deepEqual(said, ["1", "2", "1", "2", "1", "2", "3"]);
    });

    test("the console is clean and nothing was asked for", () => page.staysQuiet());
  });
}

describe("the exported examples", () => {
  let browser;
  before(async () => {
    browser = await launchChromium();
  });
  after(() => browser?.close());

  for (const file of readdirSync(EXAMPLES).filter((file) => file.endsWith(".json"))) {
    test(`${file} weighs at most ${HEAVIEST} bytes`, () => {
      const bytes = statSync(exported(file.replace(".json", ""))).size;
      assert.ok(bytes <= HEAVIEST, `${bytes} bytes`);
    });
  }

  test("without scripts everything is there to read", async () => {
    const context = await browser.newContext({ javaScriptEnabled: false });
    const page = await context.newPage();
    await page.goto(ADDRESS);
    const text = await page.locator("body").innerText();
    for (const tip of GUIDE.tips) assert.ok(text.includes(tip.text), tip.text);
    for (const todo of GUIDE.todos) assert.ok(text.includes(todo.text), todo.text);
    assert.ok(text.includes("7/8, 2 + 2 + 3: 1 2 | 1 2 | 1 2 3"));
    await context.close();
  });

  test("a tick is kept on the device", async () => {
    const context = await browser.newContext();
    const page = await context.newPage();
    await page.goto(ADDRESS);
    await page.locator("#tab-todo").click();
    const tick = page.locator('[data-do="tick"]:visible').first();
    await tick.check();
    await page.reload();
    await page.locator("#tab-todo").click();
    assert.ok(await page.locator('[data-do="tick"]:visible').first().isChecked());
    await context.close();
  });

  test("where storage throws, the page goes on", async () => {
    const context = await browser.newContext();
    await context.addInitScript(() => {
      Object.defineProperty(window, "localStorage", {
        get: () => {
          throw new DOMException("no", "SecurityError");
        },
      });
    });
    const page = await context.newPage();
    const seen = watch(page);
    await page.goto(ADDRESS);
    await page.locator("#tab-todo").click();
    await page.locator('[data-do="tick"]:visible').first().check();
    await page.locator("#tab-count").click();
    await page.locator('button[data-do="step"]').click();
    assert.equal((await page.locator("#step-count").innerText()).trim(), "2");
    assert.deepEqual(seen.complaints, []);
    await context.close();
  });

  test("by keyboard alone: play, stop, step", async () => {
    const context = await browser.newContext();
    const page = await context.newPage();
    await page.goto(ADDRESS);
    await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
    await page.locator("#tab-walk").focus();
    await page.keyboard.press("ArrowRight");
    await page.keyboard.press("Tab");
    await page.locator("#play").focus();
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.querySelector("#count").innerText.trim() === "2");
    await page.keyboard.press("Enter");
    await page.locator("#tab-count").click();
    await page.locator("#step-line").waitFor();
    await page.keyboard.press("PageDown");
    assert.equal((await page.locator("#step-count").innerText()).trim(), "2");
    await context.close();
  });

  for (const rate of [44_100, 48_000]) {
    for (const percent of [100, 80]) {
      test(`every click is on its sample at ${rate} Hz and ${percent} %`, async () => {
        const context = await browser.newContext();
        const page = await context.newPage();
        await page.goto(ADDRESS);
        await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
        await page.locator("#tab-play").click();
        await page.locator("#percent").fill(String(percent));
        await page.locator("#percent").press("Enter");
        const length = 240;
        const { told, onsets } = await page.evaluate(
          async ([rate, length, percent]) => {
            const context = new OfflineAudioContext(1, length * rate, rate);
            // From and to are seconds of the piece in its own tempo.
            const told = window.cueleaf.clicksInto(context, 0, (length * percent) / 100);
            const buffer = await context.startRendering();
            const samples = buffer.getChannelData(0);
            // The first sample of a click is zero, so its second is the first that is heard. A
            // time that is a rounding error short of its sample blends 1e-12 of it into the first.
            const onsets = [];
            let silentSince = -rate;
            for (let index = 0; index < samples.length; index += 1) {
              if (Math.abs(samples[index]) < 1e-6) continue;
              if (index - silentSince > rate * 0.02) onsets.push(index - 1);
              silentSince = index;
            }
            return { told: Array.from(told), onsets };
          },
          [rate, length, percent],
        );
        const expected = expectedSamples(percent, rate, length);
        assert.ok(expected.length > 300, `${expected.length} clicks`);
        assert.equal(told.length, onsets.length);
        assert.deepEqual(onsets.slice(0, expected.length), expected);
        await context.close();
      });
    }
  }
});

/**
 * Where the clicks must be, worked out from what the command prints: the count-in of one measure of
 * 4/4 and the three beats before the pickup, then every count. Lines of one tempo and gradual ones
 * are timed by numeric integration of the printed tempi.
 */
function expectedSamples(percent, rate, length) {
  const line = JSON.parse(
    execFileSync(COMMAND, ["timeline", join(EXAMPLES, "mail-boat-viola.json")], { maxBuffer: 1e8 }),
  );
  const fraction = (text) => {
    const [top, bottom = "1"] = text.split("/");
    return Number(top) / Number(bottom);
  };
  const tempi = line.tempo.map((item, index) => ({
    start: fraction(item.start),
    from: item.quarters_per_minute,
    to: item.to ?? item.quarters_per_minute,
    end: item.end ? fraction(item.end) : undefined,
    shape: item.shape,
    until: index + 1 < line.tempo.length ? fraction(line.tempo[index + 1].start) : Infinity,
  }));
  const power = { "even-in-beats": 1, "even-in-time": 2, runner: 3 };
  const pace = (tempo, at) => {
    if (tempo.to === tempo.from) return tempo.from;
    const q = power[tempo.shape];
    const part = Math.min(1, (at - tempo.start) / (tempo.end - tempo.start));
    return tempo.from * (1 + ((tempo.to / tempo.from) ** q - 1) * part) ** (1 / q);
  };
  // Gauss-Legendre with five points, in pieces of a quarter at most.
  const nodes = [0, 0.5384693101056831, -0.5384693101056831, 0.906179845938664, -0.906179845938664];
  const weights = [0.5688888888888889, 0.47862867049936647, 0.47862867049936647, 0.23692688505618908, 0.23692688505618908];
  const between = (from, to) => {
    let sum = 0;
    for (const tempo of tempi) {
      const [begin, end] = [Math.max(from, tempo.start), Math.min(to, tempo.until)];
      if (end <= begin) continue;
      const pieces = Math.ceil((end - begin) * 4);
      for (let piece = 0; piece < pieces; piece += 1) {
        const half = (end - begin) / pieces / 2;
        const middle = begin + half * (2 * piece + 1);
        nodes.forEach((node, index) => {
          sum += (weights[index] * half * 60) / pace(tempo, middle + node * half);
        });
      }
    }
    return sum;
  };
  const first = tempi[0].from;
  const seconds = [0, 1, 2, 3, 0, 1, 2].map((beat, index) => (index * 60) / first);
  const begin = (7 * 60) / first;
  // The holds of the example: two quarters longer, and one count leads on.
  for (const played of line.played) {
    const measure = line.measures[played.index];
    const start = fraction(measure.start);
    const holds = GUIDE.road_map.measures[played.index].holds ?? [];
    let waited = 0;
    let rest = [...holds];
    const place = (at) => begin + played.start_seconds + between(start, start + at) + waited;
    const counts = played.counts.map((count) => fraction(count.at));
    for (const [index, at] of counts.entries()) {
      seconds.push(place(at));
      const held = rest.find((hold) => fraction(hold.at ?? "0") >= at && !(counts[index + 1] <= fraction(hold.at ?? "0")));
      if (held) {
        rest = rest.filter((hold) => hold !== held);
        const tempo = tempi.findLast((own) => own.start <= start + fraction(held.at ?? "0"));
        const quarter = 60 / pace(tempo, start + fraction(held.at ?? "0"));
        const waits = fraction(held.longer) * quarter;
        const next = counts[index + 1] ?? fraction(measure.length);
        const on = place(next) + waits;
        seconds.push(on - quarter * (next - at < 1 ? next - at : 1));
        waited += waits;
      }
    }
  }
  const factor = 100 / percent;
  return seconds
    .map((second) => Math.round(second * factor * rate))
    .filter((sample) => sample < (length - 1) * rate);
}
