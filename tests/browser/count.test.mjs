// Counting with the student: tapping along and what it shows, the delay of the device, steps by
// swipe and by voice; and what the page keeps of practice, finds, and shows of the whole piece.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { launchChromium, watch } from "./rig/chromium.mjs";
import { ENGINES, openIn } from "./rig/open.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const file = join(temporaryFolder("count"), "viola.html");
execFileSync(join(ROOT, "target/release/cueleaf"), ["export", join(ROOT, "examples/mail-boat-viola.json"), "-o", file], { stdio: "ignore" });
const ADDRESS = pathToFileURL(file).href;

/** Runs in the page: from now on taps whenever a count of the music appears, off by so many
    milliseconds, each in turn. */
function tapAlong(delays) {
  let before = "";
  let taps = 0;
  const look = () => {
    const count = document.querySelector("#step-count");
    // The first count of the music may have the number the count-in ended on, so its mark counts.
    const now = count.classList.contains("resting") ? "" : document.querySelector("#step-line .now")?.dataset.c ?? "";
    if (now !== before && now !== "") {
      setTimeout(() => {
        document.querySelector("#tap").dispatchEvent(new PointerEvent("pointerdown", { bubbles: true }));
      }, delays[taps % delays.length]);
      taps += 1;
    }
    before = now;
    if (document.querySelector("#tapped").textContent === "") requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}

/** Chooses an option of a select by its value; runs in the page. */
function choose([id, value]) {
  const select = document.getElementById(id);
  select.value = value;
  select.dispatchEvent(new Event("change", { bubbles: true }));
}

const shown = () => document.querySelector("#tapped").innerText !== "" && !document.querySelector("#tapped").innerText.startsWith("After");

for (const engine of ENGINES) {
  describe(`tapping along in ${engine}`, () => {
    let page;
    before(async () => {
      page = await openIn(engine, ADDRESS);
      await page.until(() => Boolean(window.cueleaf?.clicksInto));
      await page.click("#tab-count");
      await page.click('[data-value="tap"]');
      // 4/4 at quarter = 66: a frame is less than two hundredths of a count.
      await page.evaluate(choose, ["measure", "5"]);
      for (let more = 0; more < 4; more += 1) await page.click('#room-count [data-do="faster"]');
    });
    after(() => page?.close());

    for (const [name, delays, verdict] of [
      ["with the count, always as late", [90], "Steady."],
      ["early and late by turns", [0, 330, 120, 260], "Try it slower."],
    ]) {
      test(`${name}: ${verdict}`, async () => {
        await page.click("#tap");
        await page.evaluate(tapAlong, delays);
        await page.until(shown);
        const said = await page.text("#tapped");
        assert.ok(said.includes(verdict), said);
        const [, early, on, late] = /(\d+) early, (\d+) on, (\d+) late/.exec(said);
        assert.ok(Number(early) + Number(on) + Number(late) >= 8, said);
        const dots = await page.evaluate(() => document.querySelectorAll("#tapped circle").length);
        assert.equal(dots, Number(early) + Number(on) + Number(late));
      });
    }

    test("without taps nothing is judged; Stop ends a round", async () => {
      await page.click("#tap");
      await page.click("#tap-stop");
      assert.equal(await page.evaluate(() => document.querySelector("#tap-stop").hidden), true);
      await page.click("#tap");
      await page.until(shown);
      assert.ok((await page.text("#tapped")).startsWith("Too few taps"));
    });

    test("the console is clean and nothing was asked for", () => page.staysQuiet());
  });
}

describe("counting, finding, keeping", () => {
  let browser, context, page, seen;
  before(async () => {
    browser = await launchChromium();
    context = await browser.newContext({ viewport: { width: 360, height: 640 }, reducedMotion: "reduce" });
    // A device with a voice of its own, and one that would send the words away.
    await context.addInitScript(() => {
      window.spoken = [];
      const voices = [
        { lang: "en-GB", localService: false, name: "far" },
        { lang: "en-GB", localService: true, name: "near" },
      ];
      window.SpeechSynthesisUtterance = class {
        constructor(text) {
          this.text = text;
        }
      };
      Object.defineProperty(window, "speechSynthesis", {
        value: { getVoices: () => voices, cancel() {}, speak: (words) => window.spoken.push([words.text, words.voice.name]) },
      });
    });
    page = await context.newPage();
    seen = watch(page);
    await page.goto(ADDRESS);
    await page.waitForFunction(() => window.cueleaf?.clicksInto);
  });
  after(() => browser?.close());

  test("the counts are spoken by the device's own voice, where that is wanted", async () => {
    await page.click("#tab-count");
    await page.click('button[data-do="step"]');
    assert.deepEqual(await page.evaluate(() => window.spoken), []);
    await page.getByLabel("Speak the counts").check();
    await page.click('button[data-do="step"]');
    await page.keyboard.press("PageDown");
    assert.deepEqual(await page.evaluate(() => window.spoken), [["1", "near"], ["2", "near"]]);
  });

  test("a swipe to the right steps back, to the left forward, and is no tap", async () => {
    const count = () => page.locator("#step-count").innerText();
    const swipe = async (from, to) => {
      const { y } = await page.locator("#step-count").boundingBox();
      await page.mouse.move(from, y + 40);
      await page.mouse.down();
      await page.mouse.move(to, y + 44, { steps: 4 });
      await page.mouse.up();
    };
    assert.equal(await count(), "2");
    await swipe(80, 220);
    assert.equal(await count(), "1");
    await swipe(220, 80);
    assert.equal(await count(), "2");
    await page.locator("#tap-here").click();
    assert.equal(await count(), "1");
  });

  test("the space bar and a pedal tap along, too", async () => {
    await page.click('[data-value="tap"]');
    await page.evaluate(choose, ["measure", "5"]);
    for (let more = 0; more < 10; more += 1) await page.click('#room-count [data-do="faster"]');
    await page.focus("#tap");
    await page.keyboard.press("Space");
    await page.waitForFunction(() => document.querySelector("#step-line .now") && !document.querySelector("#step-count.resting"));
    // Quarter = 99: about as quick as this hand goes.
    for (let tap = 0; tap < 16 && !(await page.evaluate(shown)); tap += 1) {
      await page.keyboard.press(tap % 2 ? "PageDown" : "Space");
      await page.waitForTimeout(590);
    }
    await page.waitForFunction(shown);
    assert.ok((await page.locator("#tapped circle").count()) >= 8, await page.locator("#tapped").innerText());
  });

  test("the delay of the device is found by tapping with even clicks, and kept", async () => {
    await page.click("#tab-play");
    await page.getByRole("button", { name: "Choices" }).click();
    await page.getByRole("button", { name: "Find the delay of this device" }).click();
    await page.evaluate(() => {
      let before = "";
      const look = () => {
        const count = document.querySelector("#step-count");
        const now = count.classList.contains("resting") ? "" : count.innerText;
        if (now !== before && now !== "") {
          setTimeout(() => document.querySelector("#tap").dispatchEvent(new PointerEvent("pointerdown", { bubbles: true })), 100);
        }
        before = now;
        if (!/later|Too few/.test(document.querySelector("#delay-said").innerText)) requestAnimationFrame(look);
      };
      look();
    });
    await page.waitForFunction(() => /milliseconds later/.test(document.querySelector("#delay-said").innerText), null, { timeout: 20_000 });
    // A hundred late, a frame at most, and fifty for the habit of tapping ahead.
    const [, delay] = /(\d+) milliseconds/.exec(await page.locator("#delay-said").innerText());
    assert.ok(Number(delay) >= 140 && Number(delay) <= 190, delay);
    assert.equal(await page.evaluate(() => localStorage.getItem("cueleaf.latency")), delay);
    await page.evaluate(() => localStorage.removeItem("cueleaf.latency"));
  });

  test("the strip shows where play is", async () => {
    await page.click("#tab-play");
    const mark = () => page.locator("#here-now").getAttribute("d");
    await page.selectOption("#from", "12");
    const first = await mark();
    await page.selectOption("#from", "40");
    assert.notEqual(await mark(), first);
  });

  test("what was practised is shown to the student, to copy and to erase", async () => {
    await page.selectOption("#from", "12");
    await page.selectOption("#to", "15");
    await page.click("#play");
    await page.waitForTimeout(3500);
    await page.click("#play");
    await page.click("#tab-todo");
    // What was not come to was not practised.
    assert.match(await page.locator("#teacher-line").inputValue(), /; measure 12: < 1 min$/);
    await page.click("#tab-play");
    await page.check("#again");
    await page.selectOption("#from", "13");
    await page.selectOption("#to", "14");
    await page.click("#play");
    // What went round was played whole, wherever it stopped.
    await page.waitForFunction(() => document.querySelector("#where").innerText === "Measure 14");
    await page.waitForFunction(() => document.querySelector("#where").innerText === "Measure 13");
    await page.waitForTimeout(300);
    await page.click("#play");
    await page.uncheck("#again");
    await page.click("#tab-todo");
    await page.locator(".todos input").first().check();
    const line = await page.locator("#teacher-line").inputValue();
    assert.match(line, /The Mail Boat Sets Out, Viola; 1 of \d+ tasks done; .*measures 13–14: < 1 min/);
    await context.grantPermissions(["clipboard-read", "clipboard-write"]).catch(() => {});
    await page.getByRole("button", { name: "Copy" }).click();
    await page.waitForFunction(() => document.querySelector("#speaker").innerText === "Copied.");
    await page.locator("#copied", { hasText: "Copied." }).waitFor();
    await page.reload();
    await page.click("#tab-todo");
    await page.locator("#practised li", { hasText: "Measures 13–14: < 1 min" }).waitFor();
    await page.getByRole("button", { name: "Erase what this device keeps" }).click();
    await page.getByText("Nothing yet.").waitFor();
    assert.equal(await page.locator(".todos input").first().isChecked(), false);
    const left = await page.evaluate(() => Object.keys(localStorage).filter((key) => /done|minutes/.test(key)));
    assert.deepEqual(left, []);
  });

  test("a measure is found by its printed number", async () => {
    await page.click("#tab-walk");
    await page.getByLabel("Go to measure").fill("29");
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.activeElement.innerText.startsWith("Measure 29") || document.activeElement.id === "s29");
    const { y } = await page.locator(":focus").boundingBox();
    assert.ok(y > 40 && y < 500, `${y}`);
    await page.getByLabel("Go to measure").fill("4000");
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.querySelector("#speaker").innerText === "There is no measure 4000.");
    assert.equal(await page.getByLabel("Go to measure").getAttribute("aria-invalid"), "true");
    // The large button plays from what was found.
    await page.locator("[data-do=play-piece]", { hasText: "Play from measure 29" }).click();
    await page.waitForFunction(() => document.querySelector("#from").selectedOptions[0].textContent === "29");
    await page.click("#play");
    await page.click("#tab-walk");
    await page.getByLabel("Go to measure").fill("");
    await page.keyboard.press("Enter");
    await page.locator("[data-do=play-piece]", { hasText: "Play from the beginning" }).waitFor();
  });

  test("the sections at a glance lead to their places, without scripts too", async () => {
    const still = await browser.newContext({ javaScriptEnabled: false });
    const own = await still.newPage();
    await own.goto(ADDRESS);
    const links = own.locator(".glance a");
    assert.ok((await links.count()) > 3);
    await links.nth(3).click();
    assert.match(own.url(), /#s\d+$/);
    await still.close();
  });

  test("nothing was asked for and the console is clean", () => {
    assert.deepEqual(seen.complaints, []);
  });
});
