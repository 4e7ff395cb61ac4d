// Takes a picture of every view, to be looked at, and those that README.md shows.
//
//   node tests/browser/pictures.mjs FOLDER README-FOLDER
//
// Needs the built pages in dist/ and the command cueleaf.

import { execFileSync } from "node:child_process";
import { mkdirSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { choose, hook } from "./rig/builder.mjs";
import { launchChromium } from "./rig/chromium.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const BUILDER = pathToFileURL(join(ROOT, "dist/cueleaf.html")).href;
const GUIDE = join(ROOT, "examples/mail-boat-viola.json");
const [folder, forReadme] = process.argv.slice(2).map((path) => resolve(path));

const SIZES = [
  [360, 640],
  [320, 568],
  [640, 360],
  [768, 1024],
  [1280, 800],
];
const SCHEMES = ["light", "dark"];

/** The views of the guide: how to get to each. */
const GUIDE_VIEWS = {
  walk: async () => {},
  glance: async () => {},
  play: (page) => page.locator("#tab-play").click(),
  playing: async (page) => {
    await page.locator("#tab-play").click();
    await page.locator("#from").selectOption({ label: "29" });
    await page.locator("#play").click();
    await page.waitForTimeout(4_500);
  },
  choices: async (page) => {
    await page.locator("#tab-play").click();
    await page.locator("[data-do=choices]").click();
    await page.locator("#pace-29").selectOption("60");
  },
  "choices-click": (page) => GUIDE_VIEWS.choices(page),
  "choices-ladder": (page) => GUIDE_VIEWS.choices(page),
  ladder: async (page) => {
    await page.locator("#tab-play").click();
    await page.locator("#from").selectOption({ label: "29" });
    await page.locator("#to").selectOption({ label: "30" });
    await page.locator("[data-do=choices]").click();
    await page.locator("#ladder").check();
    await page.locator("[data-do=choices]").click();
  },
  count: (page) => page.locator("#tab-count").click(),
  tapped: tapAlong,
  todo: (page) => page.locator("#tab-todo").click(),
  kept: async (page) => {
    await page.locator("#tab-todo").click();
    await page.locator("[data-do=tick]").first().check();
    await page.evaluate(() => {
      const done = Object.keys(localStorage).find((key) => key.startsWith("cueleaf.done."));
      localStorage.setItem(done.replace("done", "minutes"), "0-12:300 28-35:1260 64-75:45");
    });
    await page.reload();
    await page.waitForFunction(() => window.cueleaf?.clicksInto);
    await page.locator("#tab-todo").click();
  },
};

/** What is brought into view again after the window has another size. */
const IN_VIEW = {
  glance: ".glance",
  kept: "#practised",
  "choices-click": "#click-on",
  "choices-ladder": "#rungs",
};

/** Taps along, a little late on some counts, until there is a result. */
async function tapAlong(page) {
  await page.locator("#tab-count").click();
  await page.locator("[data-do=how][data-value=tap]").click();
  await page.locator("#tap").click();
  await page.evaluate(
    () =>
      new Promise((done) => {
        let taps = 0;
        const ended = () => document.querySelector("#tapped svg");
        const tap = () => ended() || document.dispatchEvent(new KeyboardEvent("keydown", { key: " ", bubbles: true }));
        new MutationObserver(() => {
          if (!document.querySelector("#step-count.resting")) setTimeout(tap, taps++ % 4 === 2 ? 60 : 0);
        }).observe(document.querySelector("#step-count"), { subtree: true, childList: true, characterData: true });
        new MutationObserver(() => {
          if (ended()) done();
        }).observe(document.querySelector("#tapped"), { subtree: true, childList: true });
      }),
  );
}

/** The views of the builder. */
const BUILDER_VIEWS = {
  home: async () => {},
  map: openGuide,
  facts: async (page) => {
    await openGuide(page);
    await page.locator("#m-28").click();
  },
  tips: (page) => openRoom(page, "tips"),
  "try-it": async (page) => {
    await openRoom(page, "try-it");
    await page.frameLocator("#preview-frame").locator("#tab-walk").waitFor();
  },
  "hand-out": (page) => openRoom(page, "hand-out"),
};

async function openGuide(page) {
  await choose(page, GUIDE);
  await page.locator("#m-0").waitFor();
}

async function openRoom(page, code) {
  await openGuide(page);
  await page.locator(hook("room", code)).click();
}

/** Takes a picture of a view in each size. */
async function pictures(browser, { address, view, go, scheme, sizes, pathOf }) {
  const [width, height] = sizes[0];
  const context = await browser.newContext({ viewport: { width, height }, colorScheme: scheme, reducedMotion: "reduce" });
  const page = await context.newPage();
  await page.goto(address);
  await go(page);
  for (const size of sizes) {
    await page.setViewportSize({ width: size[0], height: size[1] });
    if (IN_VIEW[view]) await page.locator(IN_VIEW[view]).first().evaluate((own) => own.scrollIntoView({ block: "center" }));
    await page.waitForTimeout(400);
    await page.screenshot({ path: pathOf(size) });
  }
  await context.close();
}

const exported = join(temporaryFolder("pictures"), "guide.html");
execFileSync(join(ROOT, "target/release/cueleaf"), ["export", GUIDE, "-o", exported], { stdio: "ignore" });
const GUIDE_PAGE = pathToFileURL(exported).href;
for (const path of [folder, forReadme]) mkdirSync(path, { recursive: true });
const browser = await launchChromium();
try {
  for (const [kind, address, views] of [
    ["guide", GUIDE_PAGE, GUIDE_VIEWS],
    ["builder", BUILDER, BUILDER_VIEWS],
  ]) {
    for (const [view, go] of Object.entries(views)) {
      for (const scheme of SCHEMES) {
        const pathOf = (size) => join(folder, `${kind}-${view}-${size.join("x")}-${scheme}.png`);
        await pictures(browser, { address, view, go, scheme, sizes: SIZES, pathOf });
      }
    }
  }
  const forPage = { scheme: "light", view: "" };
  const phone = { address: GUIDE_PAGE, go: GUIDE_VIEWS.playing, sizes: [SIZES[0]] };
  await pictures(browser, { ...forPage, ...phone, pathOf: () => join(forReadme, "guide.png") });
  const laptop = { address: BUILDER, go: BUILDER_VIEWS.facts, sizes: [SIZES.at(-1)] };
  await pictures(browser, { ...forPage, ...laptop, pathOf: () => join(forReadme, "builder.png") });
} finally {
  await browser.close();
}
