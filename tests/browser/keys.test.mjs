// The whole way from a part to a guide that is played, by keyboard alone: no mouse, no focus set by
// the test. Every stop on the way must be seen: WCAG 2.2, 2.1.1 Keyboard, 2.4.3 Focus Order,
// 2.4.7 Focus Visible, 2.4.11 Focus Not Obscured (Minimum).

import assert from "node:assert/strict";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { SCORE, hook, openBuilder } from "./rig/builder.mjs";
import { launchChromium, watch } from "./rig/chromium.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

/** The most stops from one thing to the next: more would be no way to work. */
const STOPS = 40;

/** Tells where the focus is and what is wrong with the sight of it. */
function look(page) {
  return page.evaluate(() => {
    const own = document.activeElement;
    const name = `${own.localName}#${own.id} ${own.dataset.do ?? ""} ${own.dataset.value ?? ""}`;
    // The frame draws what has the focus in it by itself.
    if (own === document.body || own.localName === "iframe") return { name, wrong: [] };
    const wrong = [];
    const drawn = [own, own.closest("label"), own.querySelector("*")].filter(Boolean).map((each) => getComputedStyle(each));
    const outlined = drawn.some((style) => style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 1);
    if (!outlined && drawn.every((style) => style.boxShadow === "none")) wrong.push("no mark of the focus");
    const place = own.getBoundingClientRect();
    if (place.width < 1 || place.height < 1) wrong.push("no size");
    const [x, y] = [place.left + place.width / 2, place.top + Math.min(place.height, innerHeight) / 2];
    const above = document.elementFromPoint(x, y);
    const isSeen = above !== null && (own.contains(above) || above.closest("label")?.contains(own));
    if (!isSeen) wrong.push(`covered at ${x}, ${y} by ${above?.outerHTML.slice(0, 80)}`);
    return { name, wrong };
  });
}

/**
 * Waits for a focus that is on its way. A frame lives in a process of its own: until it has taken
 * the focus, the page's own is on the body, and another key would go past the first thing in it.
 */
const settled = (page) =>
  page.waitForFunction(() => document.activeElement !== document.body, null, { timeout: 1_000 }).catch(() => {});

/** Presses Tab (or Shift+Tab) until the focus is on what is wanted; every stop must be seen. */
async function tabTo(page, selector, key = "Tab") {
  const passed = [];
  for (let stop = 0; stop < STOPS; stop += 1) {
    await page.keyboard.press(key);
    await settled(page);
    const { name, wrong } = await look(page);
    passed.push(name);
    assert.deepEqual(wrong, [], `the focus on ${name}`);
    if (await page.evaluate((wanted) => document.activeElement.matches(wanted), selector)) return;
  }
  assert.fail(`no way to ${selector}:\n${passed.join("\n")}`);
}

async function focusIs(page, selector) {
  await page.waitForFunction((wanted) => document.activeElement?.matches(wanted), selector);
}

/** Types over what stands in the field that has the focus. */
async function typeOver(page, text) {
  await page.keyboard.press("Control+a");
  await page.keyboard.type(text);
}

const kept = (page) => page.waitForFunction(() => document.getElementById("kept")?.innerText.includes("Kept"));

describe("by keyboard alone", () => {
  let browser;
  let file;
  before(async () => {
    browser = await launchChromium();
  });
  after(() => browser?.close());

  test("from a part to a guide", async () => {
    const { context, page, seen } = await openBuilder(browser);
    await page.locator(hook("choose-file")).waitFor();

    // Waiting starts before the key: choosing must be intercepted by the time it is pressed.
    page.on("filechooser", () => {});
    await tabTo(page, hook("choose-file"));
    const [chooser] = await Promise.all([page.waitForEvent("filechooser"), page.keyboard.press("Enter")]);
    await chooser.setFiles(SCORE);
    await page.locator(hook("make-guide")).waitFor();
    await focusIs(page, "#main");
    await tabTo(page, `${hook("toggle-part")}:not(:checked)`);
    // The viola is the third of four parts.
    await page.keyboard.press("Tab");
    await page.keyboard.press("Tab");
    await page.keyboard.press("Space");
    assert.ok(await page.getByLabel("Viola", { exact: true }).isChecked());
    await tabTo(page, hook("make-guide"));
    await page.keyboard.press("Enter");
    await page.locator("#m-0").waitFor();
    await focusIs(page, "#main");

    // Measures 29 to 30, and how they are grouped.
    await tabTo(page, hook("measure"));
    await page.keyboard.press("Home");
    for (let pages = 0; pages < 3; pages += 1) await page.keyboard.press("PageDown");
    for (let steps = 0; steps < 5; steps += 1) await page.keyboard.press("ArrowRight");
    await focusIs(page, "#m-29");
    await page.keyboard.press("Shift+ArrowRight");
    assert.equal(await page.locator('[data-do="measure"][aria-selected="true"]').count(), 2);
    await page.keyboard.press("Enter");
    await focusIs(page, "#facts-title");
    await tabTo(page, "#fact-groups");
    await typeOver(page, "3+2+2");
    await page.keyboard.press("Enter");
    await tabTo(page, "#fact-section", "Shift+Tab");
    await typeOver(page, "By keys");
    await page.keyboard.press("Enter");
    await page.locator("#map").getByText("By keys").first().waitFor();

    // Back and forth, from the map.
    await tabTo(page, hook("measure"), "Shift+Tab");
    await page.keyboard.press("Control+z");
    await page.locator("#map").getByText("By keys").waitFor({ state: "detached" });
    await page.keyboard.press("Control+Shift+z");
    await page.locator("#map").getByText("By keys").first().waitFor();

    // A tip at the chosen measures: arrows go from room to room.
    await tabTo(page, hook("room", "road-map"), "Shift+Tab");
    await page.keyboard.press("ArrowRight");
    await focusIs(page, hook("room", "tips"));
    await tabTo(page, hook("add-tip"));
    await page.keyboard.press("Enter");
    await focusIs(page, 'textarea[id^="tip-text-"]');
    await page.keyboard.type("Clap the long group first.");
    await tabTo(page, '[id^="tip-cue-"]');
    await page.keyboard.type("long first");
    await page.keyboard.press("Escape");
    await page.getByText("Clap the long group first.").first().waitFor();
    // One of the two can be taken away and brought back.
    await tabTo(page, hook("add-tip"));
    await page.keyboard.press("Enter");
    await focusIs(page, 'textarea[id^="tip-text-"]');
    await page.keyboard.type("One tip too many.");
    await tabTo(page, hook("remove-tip"));
    await page.keyboard.press("Enter");
    await page.getByText("One tip too many.").waitFor({ state: "detached" });
    assert.notEqual((await look(page)).name.split("#")[0], "body", "the focus has a place");
    await kept(page);

    // Trying it: the focus goes into the student's page and out of it.
    await tabTo(page, hook("room", "try-it"), "Shift+Tab");
    await page.keyboard.press("Enter");
    await focusIs(page, hook("room", "try-it"));
    const frame = page.frameLocator("#preview-frame");
    await frame.getByText("Clap the long group first.").first().waitFor();
    await frame.locator("#tab-walk").waitFor();
    await tabTo(page, "#preview-frame");
    // The frame lives in a process of its own, which hears of the focus a moment later.
    await frame.locator("#tab-walk:focus").waitFor();
    await page.keyboard.press("ArrowRight");
    await frame.locator("#count").waitFor();
    await tabTo(page, hook("room", "try-it"), "Shift+Tab");

    await page.keyboard.press("ArrowRight");
    await focusIs(page, hook("room", "hand-out"));
    await tabTo(page, hook("hand-out"));
    const [download] = await Promise.all([page.waitForEvent("download"), page.keyboard.press("Enter")]);
    file = join(temporaryFolder("keys"), download.suggestedFilename());
    await download.saveAs(file);
    assert.deepEqual(seen.complaints, []);
    await context.close();
  });

  test("the guide: read, play, count", async () => {
    assert.ok(file, "the guide of the test before");
    const context = await browser.newContext({ viewport: { width: 360, height: 640 } });
    const page = await context.newPage();
    page.setDefaultTimeout(15_000);
    const seen = watch(page);
    await page.goto(pathToFileURL(file).href);
    await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
    const text = (id) => page.locator(id).innerText().then((own) => own.trim());

    await tabTo(page, "#tab-walk");
    await page.keyboard.press("ArrowRight");
    await focusIs(page, "#tab-play");
    // Page Down and the arrow go on by a measure, from wherever nothing else needs them.
    await tabTo(page, "#play");
    const where = await text("#where");
    await page.keyboard.press("PageDown");
    const second = await text("#where");
    assert.notEqual(second, where);
    await page.keyboard.press("ArrowRight");
    assert.notEqual(await text("#where"), second);
    await page.keyboard.press("PageUp");
    await page.keyboard.press("ArrowLeft");
    assert.equal(await text("#where"), where);
    // Slower, by its button and by its field.
    await tabTo(page, hook("slower"), "Shift+Tab");
    await page.keyboard.press("Enter");
    assert.equal(await page.locator("#percent").inputValue(), "95");
    await tabTo(page, "#percent");
    await typeOver(page, "150");
    await page.keyboard.press("Enter");
    await tabTo(page, "#play");
    await page.keyboard.press("Space");
    await page.waitForFunction(() => document.querySelector("#count").innerText.trim() === "2");
    assert.match(await text("#play"), /Stop/);
    await page.keyboard.press("Space");
    assert.match(await text("#play"), /Play/);

    await tabTo(page, "#tab-play", "Shift+Tab");
    await page.keyboard.press("ArrowRight");
    await focusIs(page, "#tab-count");
    await tabTo(page, "#measure");
    await page.keyboard.type("29");
    await tabTo(page, `button${hook("step")}`);
    const said = [await text("#step-count")];
    for (const key of ["Space", "PageDown", "ArrowRight", "Enter", "Space", "PageDown"]) {
      await page.keyboard.press(key);
      said.push(await text("#step-count"));
    }
    assert.deepEqual(said, ["1", "2", "3", "1", "2", "1", "2"]);
    await page.keyboard.press("PageUp");
    assert.equal(await text("#step-count"), "1");
    await page.keyboard.press("ArrowLeft");
    assert.equal(await text("#step-count"), "2");

    await tabTo(page, "#tab-count", "Shift+Tab");
    await page.keyboard.press("ArrowRight");
    await focusIs(page, "#tab-todo");
    // After the last room comes the first.
    await page.keyboard.press("ArrowRight");
    await focusIs(page, "#tab-walk");
    // The button beside the tip plays from one measure before it.
    await tabTo(page, hook("tip"));
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.querySelector("#where").innerText.includes("28"));
    assert.match(await text("#play"), /Stop/);
    await page.keyboard.press("Space");
    await page.waitForFunction(() => document.querySelector("#play").innerText.includes("Play"));
    assert.deepEqual(seen.complaints, []);
    await context.close();
  });
});
