// What a student finds where nobody looked: measures that are left out, a room that plays on behind
// another, the end of the piece, a screen reader, colours of the system. In Chromium.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { launchChromium, watch } from "./rig/chromium.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const folder = temporaryFolder("student");

/** Six measures of 2/4 at quarter = 120, the third and the last cut. */
function cut() {
  const guide = JSON.parse(readFileSync(join(ROOT, "examples/mail-boat-viola.json"), "utf8"));
  guide.road_map = { measures: ["1", "2", "3", "4", "5", "6"].map((label) => ({ label })) };
  Object.assign(guide.road_map.measures[0], { meter: "2/4", tempo: [{ tempo: "quarter = 120" }] });
  for (const index of [2, 5]) guide.road_map.measures[index].cut = true;
  guide.parts[0].marks = [];
  guide.tips = [];
  guide.todos = [{ id: "a", text: "Clap it." }];
  const path = join(folder, "cut.json");
  writeFileSync(path, JSON.stringify(guide));
  return path;
}

const exported = (json, name) => {
  const file = join(folder, `${name}.html`);
  execFileSync(join(ROOT, "target/release/cueleaf"), ["export", json, "-o", file], { stdio: "ignore" });
  return pathToFileURL(file).href;
};
const short = exported(cut(), "cut");
const viola = exported(join(ROOT, "examples/mail-boat-viola.json"), "viola");
const cello = exported(join(ROOT, "examples/mail-boat-cello.json"), "cello");

describe("what a student finds", () => {
  let browser;
  before(async () => {
    browser = await launchChromium();
  });
  after(() => browser?.close());

  /** Opens a guide on a phone. */
  async function open(address, [width, height] = [360, 640], more = {}) {
    const context = await browser.newContext({ viewport: { width, height }, ...more });
    const page = await context.newPage();
    page.setDefaultTimeout(10_000);
    const seen = watch(page);
    await page.goto(address);
    await page.waitForFunction(() => window.cueleaf?.clicksInto);
    const speaker = () => page.locator("#speaker").textContent();
    const done = async () => {
      assert.deepEqual(seen.complaints, []);
      await context.close();
    };
    return { page, speaker, done };
  }

  test("what is left out leads to where play goes on", async () => {
    const { page, done } = await open(short);
    const find = async (text) => {
      await page.locator("#find").fill(text);
      await page.locator("#find").press("Enter");
      return (await page.locator("#play-piece").innerText()).trim();
    };
    assert.equal(await find("3"), "Play from measure 4");
    assert.equal(await find("m. 2"), "Play from measure 2");
    assert.equal(await find("bar 999"), "Play from measure 2");
    assert.ok(await page.locator("#find-said", { hasText: "There is no measure bar 999." }).isVisible());
    assert.equal(await find("6"), "Play from the beginning");
    assert.ok(await page.locator("#find-said").isHidden());
    await page.click("#play-piece");
    await page.waitForFunction(() => document.querySelector("#where").innerText === "Measure 1");
    await page.locator("#play", { hasText: "Stop" }).waitFor();
    await done();
  });

  test("every room stops what plays", async () => {
    const { page, done } = await open(short);
    const play = async () => {
      await page.click("#tab-play");
      await page.check("#again");
      await page.click("#play");
    };
    const stopped = () => page.locator("#play", { hasText: "Play" }).waitFor({ state: "attached" });
    await play();
    await page.click("#tab-walk");
    await page.locator("#play-piece", { hasText: "Stop" }).click();
    await stopped();
    assert.equal((await page.locator("#play-piece").innerText()).trim(), "Play from the beginning");
    for (const room of ["count", "todo"]) {
      await play();
      await page.click(`#tab-${room}`);
      await page.locator(`#room-${room} button.stops`).click();
      await stopped();
      assert.ok(await page.locator(`#room-${room} button.stops`).isHidden());
    }
    await play();
    await page.click("#tab-todo");
    await page.evaluate(() => document.activeElement.blur());
    await page.keyboard.press("Space");
    await stopped();
    await done();
  });

  test("stepping is said, and goes round at the end", async () => {
    const { page, speaker, done } = await open(short);
    await page.click("#tab-count");
    await page.locator("#measure").selectOption({ label: "4" });
    const said = [];
    for (let tap = 0; tap < 5; tap += 1) {
      await page.click("#room-count button.large.stepping");
      said.push(await speaker());
    }
    // From the first count of measure 4; at the end of 5 the piece is over.
    assert.deepEqual(said, ["2", "measure 5. 1", "2", "1", "2"]);
    await page.click("#tab-play");
    await page.click("[data-do=faster]");
    assert.equal(await speaker(), "105 percent");
    await done();
  });

  test("a long rest is stepped with its number", async () => {
    const { page, done } = await open(viola);
    const rests = JSON.parse(readFileSync(join(ROOT, "examples/mail-boat-viola.json"), "utf8")).parts[0].marks;
    const rest = rests.find(({ kind, measure, to }) => kind === "rest" && to.measure - measure > 1);
    await page.click("#tab-count");
    await page.selectOption("#measure", String(rest.measure + 1));
    assert.equal(await page.locator("#step-count").innerText(), "2");
    await done();
  });

  test("the ladder counts nothing before it was played", async () => {
    const { page, speaker, done } = await open(short);
    await page.click("#tab-play");
    await page.click("[data-do=choices]");
    await page.check("#ladder");
    await page.click("[data-do=choices]");
    const rung = () => page.locator("#rung").innerText();
    await page.click("[data-do=went-well]");
    assert.match(await rung(), /clean 0 of 2$/);
    assert.equal(await speaker(), await rung());
    await page.click("[data-do=went-well]");
    assert.match(await rung(), /clean 1 of 2$/);
    await done();
  });

  test("Home and End turn to the first and the last tab", async () => {
    const { page, done } = await open(short);
    await page.focus("#tab-walk");
    await page.keyboard.press("End");
    assert.equal(await page.evaluate(() => document.activeElement.id), "tab-todo");
    await page.keyboard.press("Home");
    assert.equal(await page.evaluate(() => document.activeElement.id), "tab-walk");
    await done();
  });

  test("what to do and what came of tapping along are in view", async () => {
    for (const size of [[360, 640], [320, 568]]) {
      const { page, done } = await open(viola, size);
      await page.click("#tab-count");
      await page.click("[data-value=tap]");
      const inView = async () => {
        const [text, controls] = await Promise.all(["#tapped", "#room-count > .controls"].map((own) => page.locator(own).boundingBox()));
        assert.ok(text.height > 0 && text.y + text.height <= controls.y + 1, `${size}: ${text.y + text.height} over ${controls.y}`);
      };
      await inView();
      await page.click("#tap");
      await page.locator("#step-count").waitFor();
      await page.click("#tap-stop");
      await page.locator("#tapped", { hasText: "After the count-in" }).waitFor();
      await done();
    }
  });

  test("finding the delay shows no measure, and leads back", async () => {
    const { page, done } = await open(viola);
    await page.click("#tab-play");
    await page.click("[data-do=choices]");
    await page.click("[data-do=calibrate]");
    await page.locator("#step-count", { hasText: "2" }).waitFor();
    for (const id of ["step-line", "step-said", "measure"]) assert.ok(await page.locator(`#${id}`).isHidden(), id);
    await page.locator("#delay-said", { hasText: "Too few taps" }).waitFor({ timeout: 20_000 });
    assert.ok(await page.locator("#choices").isVisible());
    await page.click("#tab-count");
    assert.ok(await page.locator("#step-line").isVisible());
    await done();
  });

  test("a chosen measure is read whole, and nothing is wider than the screen", async () => {
    for (const size of [[320, 568], [360, 640], [568, 320], [640, 360]]) {
      const { page, done } = await open(viola, size);
      await page.click("#tab-play");
      await page.locator("#from").selectOption({ label: "103" });
      const widths = await page.evaluate(() => {
        const pen = document.createElement("canvas").getContext("2d");
        const wide = (id) => {
          const select = document.getElementById(id);
          const own = getComputedStyle(select);
          pen.font = own.font;
          // The arrow takes some twenty pixels.
          return select.clientWidth - parseFloat(own.paddingLeft) - parseFloat(own.paddingRight) - 20 - pen.measureText("103").width;
        };
        const out = [...document.querySelectorAll("#room-play .controls *")].map((own) => own.getBoundingClientRect().right);
        return { spare: Math.min(wide("from"), wide("to")), right: Math.max(...out), page: document.documentElement.scrollWidth };
      });
      assert.ok(widths.spare >= 0, `${size}: ${widths.spare}`);
      assert.ok(widths.right <= size[0] && widths.page <= size[0], `${size}: ${widths.right}, ${widths.page}`);
      await done();
    }
  });

  test("with text twice as large the choices stay on the page", async () => {
    const { page, done } = await open(viola);
    await page.click("#tab-play");
    await page.evaluate(() => {
      document.documentElement.style.fontSize = "200%";
    });
    await page.click("[data-do=choices]");
    const right = await page.evaluate(() => {
      const all = [...document.querySelectorAll("#choices :is(select, input, button)")];
      return Math.max(...all.map((own) => own.getBoundingClientRect().right));
    });
    assert.ok(right <= 360, `${right}`);
    // The name of the place is whole, and not under the button.
    await page.click("[data-do=choices]");
    const lines = await page.evaluate(() => {
      const range = document.createRange();
      range.selectNodeContents(document.getElementById("where"));
      const words = [...range.getClientRects()].map(({ right, top, bottom }) => ({ right, top, bottom }));
      const { left, bottom } = document.querySelector("[data-do=choices]").getBoundingClientRect();
      return words.filter((own) => own.right > left && own.top < bottom).length;
    });
    assert.equal(lines, 0);
    await done();
  });

  test("a change ahead is whole on a small phone", async () => {
    for (const size of [[320, 568], [640, 360]]) {
      const { page, done } = await open(cello, size);
      await page.click("#tab-play");
      await page.locator("#from").selectOption({ label: "73" });
      await page.click("#play");
      await page.waitForFunction(() => document.querySelector("#next").innerText.includes("gradually"), null, { timeout: 20_000 });
      const { next, controls } = await page.evaluate(() => {
        const range = document.createRange();
        range.selectNodeContents(document.getElementById("next"));
        return { next: range.getBoundingClientRect().bottom, controls: document.querySelector("#room-play > .controls").getBoundingClientRect().top };
      });
      assert.ok(next <= controls + 1, `${size}: ${next} over ${controls}`);
      await done();
    }
  });

  test("in the system's colours the chosen way is marked", async () => {
    const { page, done } = await open(viola, [360, 640], { forcedColors: "active" });
    await page.click("#tab-count");
    const outline = (value) => page.locator(`[data-do=how][data-value=${value}]`).evaluate((own) => getComputedStyle(own).outlineStyle);
    assert.equal(await outline("step"), "solid");
    assert.equal(await outline("tap"), "none");
    await done();
  });
});
