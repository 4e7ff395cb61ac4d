// What a student does in an order that nobody planned: ends of a spot the wrong way round, a swipe
// on glass and then a tap, ticks in two tabs, a lock on the screen that comes late. In Chromium.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { launchChromium, watch } from "./rig/chromium.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const folder = temporaryFolder("unexpected");

/** Six measures of 4/4 at quarter = 240, the third cut; a tip over the second and third. */
function quick() {
  const guide = JSON.parse(readFileSync(join(ROOT, "examples/mail-boat-viola.json"), "utf8"));
  guide.road_map = { measures: ["1", "2", "3", "4", "5", "6"].map((label) => ({ label })) };
  Object.assign(guide.road_map.measures[0], { meter: "4/4", tempo: [{ tempo: "quarter = 240" }] });
  guide.road_map.measures[2].cut = true;
  guide.parts[0].marks = [];
  guide.tips = [{ id: "over", spot: { from: { measure: 1 }, to: { measure: 2 } }, topic: "count", text: "Mind the cut." }];
  guide.todos = [{ id: "a", text: "Clap it." }, { id: "b", text: "Sing it." }];
  const path = join(folder, "quick.json");
  writeFileSync(path, JSON.stringify(guide));
  return path;
}

const file = join(folder, "quick.html");
execFileSync(join(ROOT, "target/release/cueleaf"), ["export", quick(), "-o", file], { stdio: "ignore" });

describe("in an unexpected order", () => {
  let browser;
  before(async () => {
    browser = await launchChromium();
  });
  after(() => browser?.close());

  /** Opens the guide on a phone that is touched. */
  async function open(context, prepare = () => {}) {
    const page = await context.newPage();
    page.setDefaultTimeout(10_000);
    const seen = watch(page);
    await page.addInitScript(prepare);
    await page.goto(pathToFileURL(file).href);
    await page.waitForFunction(() => window.cueleaf?.clicksInto);
    return { page, seen };
  }
  const phone = () => browser.newContext({ viewport: { width: 360, height: 640 }, hasTouch: true });

  test("a swipe by touch swallows no tap", async () => {
    const context = await phone();
    const { page } = await open(context);
    await page.locator("#tab-count").tap();
    const count = () => page.locator("#step-count").innerText();
    const button = page.locator("#tap-here");
    await button.tap();
    await button.tap();
    assert.equal(await count(), "3");
    const { y, height } = await button.boundingBox();
    const session = await context.newCDPSession(page);
    const touch = (type, points) => session.send("Input.dispatchTouchEvent", { type, touchPoints: points });
    const at = { y: y + height / 2 };
    await touch("touchStart", [{ ...at, x: 80 }]);
    for (let x = 90; x <= 220; x += 10) await touch("touchMove", [{ ...at, x }]);
    await touch("touchEnd", []);
    await page.waitForFunction(() => document.querySelector("#step-count").innerText === "2");
    // A tap that stops what a finger set moving is no click in Chromium: whoever swipes looks first.
    await page.waitForTimeout(500);
    await button.tap();
    assert.equal(await count(), "3");
    await context.close();
  });

  test("a spot ends where it is played, and its ends may come the wrong way round", async () => {
    const context = await phone();
    const { page, seen } = await open(context);
    const ends = () => page.evaluate(() => ["from", "to"].map((id) => document.getElementById(id).selectedOptions[0]?.innerText));
    await page.locator("#tab-play").tap();
    await page.evaluate(() => {
      const select = document.getElementById("of-tip");
      select.value = "0";
      select.dispatchEvent(new Event("change", { bubbles: true }));
    });
    assert.deepEqual(await ends(), ["2", "2"]);
    assert.match(await page.locator("#spot-said").textContent(), /measure 2/);
    await page.locator("#from").selectOption({ label: "5" });
    assert.deepEqual(await ends(), ["2", "5"]);
    await page.locator("#to").selectOption({ label: "1" });
    assert.deepEqual(await ends(), ["1", "2"]);
    assert.deepEqual(seen.complaints, []);
    await context.close();
  });

  test("a tick that another tab took back does not return", async () => {
    const context = await phone();
    const [one, two] = [await open(context), await open(context)];
    const tick = ({ page }, id) => page.locator(`[data-do="tick"][data-value="${id}"]`);
    for (const own of [one, two]) await own.page.locator("#tab-todo").tap();
    await tick(one, "a").check();
    await two.page.reload();
    await two.page.waitForFunction(() => window.cueleaf?.clicksInto);
    await two.page.locator("#tab-todo").tap();
    await tick(two, "a").uncheck();
    await tick(one, "b").check();
    const kept = await one.page.evaluate(() => Object.entries(localStorage).find(([key]) => key.startsWith("cueleaf.done"))[1]);
    assert.equal(kept, "b");
    await context.close();
  });

  test("of locks on the screen that come late none is left after Stop", async () => {
    const context = await phone();
    const { page } = await open(context, () => {
      window.held = new Set();
      const request = async () => {
        await new Promise((done) => setTimeout(done, 60));
        const lock = new EventTarget();
        lock.release = async () => {
          window.held.delete(lock);
          lock.dispatchEvent(new Event("release"));
        };
        window.held.add(lock);
        return lock;
      };
      Object.defineProperty(navigator, "wakeLock", { value: { request } });
    });
    await page.locator("#tab-play").tap();
    await page.locator("#play").tap();
    await page.keyboard.press("ArrowRight");
    await page.keyboard.press("ArrowRight");
    await page.waitForFunction(() => window.held.size > 0);
    await page.locator("#play").tap();
    await page.waitForFunction(() => window.held.size === 0);
    // What was asked for before it stopped may still come, and is given back.
    await page.waitForTimeout(200);
    assert.equal(await page.evaluate(() => window.held.size), 0);
    await context.close();
  });

  test("a ladder that is chosen while it plays goes up, too", async () => {
    const context = await phone();
    const { page } = await open(context);
    await page.locator("#tab-play").tap();
    await page.locator("#play").tap();
    await page.waitForFunction(() => document.querySelector("#play").innerText.includes("Stop"));
    await page.evaluate(() => {
      const ladder = document.getElementById("ladder");
      ladder.checked = true;
      ladder.dispatchEvent(new Event("change", { bubbles: true }));
    });
    await page.locator('[data-do="went-well"]').tap();
    assert.match(await page.locator("#rung").textContent(), /clean 1 of 2/);
    await context.close();
  });

  test("leaving in the middle of finding the delay leaves Count as it was", async () => {
    const context = await phone();
    const { page } = await open(context);
    await page.evaluate(() => document.querySelector('[data-do="calibrate"]').click());
    await page.waitForFunction(() => document.querySelector("#room-count").hidden === false);
    await page.locator("#tab-walk").tap();
    await page.locator("#tab-count").tap();
    await page.locator('#room-count [data-value="step"]').waitFor();
    await page.locator("#step-line").waitFor();
    await context.close();
  });

  test("a loop of one measure buzzes each time round", async () => {
    const context = await phone();
    const { page } = await open(context, () => {
      window.buzzed = 0;
      navigator.vibrate = () => {
        window.buzzed += 1;
        return true;
      };
    });
    await page.locator("#tab-play").tap();
    await page.evaluate(() => {
      for (const id of ["buzz", "again"]) {
        document.getElementById(id).checked = true;
        document.getElementById(id).dispatchEvent(new Event("change", { bubbles: true }));
      }
      document.getElementById("to").value = "0";
    });
    await page.locator("#play").tap();
    await page.waitForFunction(() => window.buzzed >= 3);
    await context.close();
  });
});
