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
  [640, 360],
  [768, 1024],
  [1280, 800],
];
const SCHEMES = ["light", "dark"];

/** The views of the guide: how to get to each. */
const GUIDE_VIEWS = {
  walk: async () => {},
  play: (page) => page.locator("#tab-play").click(),
  playing: async (page) => {
    await page.locator("#tab-play").click();
    await page.locator("#from").selectOption({ label: "29" });
    await page.locator("#play").click();
    await page.waitForTimeout(4_500);
  },
  count: (page) => page.locator("#tab-count").click(),
  todo: (page) => page.locator("#tab-todo").click(),
};

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

/** Takes one picture. */
async function picture(browser, { address, go, size: [width, height], scheme, path, whole = false }) {
  const page = await browser.newPage({ viewport: { width, height }, colorScheme: scheme, reducedMotion: "reduce" });
  await page.goto(address);
  await go(page);
  await page.waitForTimeout(400);
  await page.screenshot({ path, fullPage: whole });
  await page.close();
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
      for (const size of SIZES) {
        for (const scheme of SCHEMES) {
          const path = join(folder, `${kind}-${view}-${size.join("x")}-${scheme}.png`);
          await picture(browser, { address, go, size, scheme, path });
        }
      }
    }
  }
  const phone = { address: GUIDE_PAGE, size: SIZES[0], scheme: "light" };
  await picture(browser, { ...phone, go: GUIDE_VIEWS.playing, path: join(forReadme, "guide.png") });
  const laptop = { address: BUILDER, size: SIZES[3], scheme: "light" };
  await picture(browser, { ...laptop, go: BUILDER_VIEWS.facts, path: join(forReadme, "builder.png") });
} finally {
  await browser.close();
}
