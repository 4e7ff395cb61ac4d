// Accessibility by rule: axe-core over every room of the guide's page and of the builder, in light
// and dark, on a phone and on a laptop; and nothing is wider than the smallest phone (WCAG 2.2,
// 1.4.10 Reflow).
//
// Source: the rules of WCAG 2.2 A and AA as axe-core checks them, and its best practices.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { basename, join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { choose, hook } from "./rig/builder.mjs";
import { launchChromium } from "./rig/chromium.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const BUILDER = pathToFileURL(join(ROOT, "dist/cueleaf.html")).href;
const SCORE = join(ROOT, "examples/mail-boat.musicxml");
const VIOLA = join(ROOT, "examples/mail-boat-viola.json");

const SCREENS = {
  "a phone": { width: 320, height: 640 },
  "a laptop": { width: 1280, height: 800 },
};

/** Tells everything that axe-core finds in what the page shows now, by all its rules or by some. */
async function byAxe(page, only) {
  // An evaluated script is the tester's own: the policy of the page does not ask about it.
  if (!(await page.evaluate(() => "axe" in window))) await page.evaluate(AXE);
  const { violations, passes } = await page.evaluate(
    (only) => window.axe.run(document, {
      ...(only && { runOnly: only }),
      // The student's page in the builder's preview is tested by itself.
      iframes: false,
      rules: {
        "target-size": { enabled: true },
        // A best practice, no criterion: the title of a guide stands in its first tab panel.
        "page-has-heading-one": { enabled: !document.documentElement.classList.contains("live") },
      },
    }),
    only,
  );
  assert.ok(passes.length > 0, "axe looked at the page");
  return violations.flatMap(({ id, help, nodes }) =>
    nodes.map(({ html, failureSummary }) => `${id}: ${help}\n  ${html.slice(0, 300)}\n  ${failureSummary}`),
  );
}

/** Tells when the page must be scrolled sideways. */
async function byWidth(page) {
  const [wide, room] = await page.evaluate(() => {
    const { scrollWidth, clientWidth } = document.documentElement;
    return [scrollWidth, clientWidth];
  });
  return wide > room ? [`${wide} pixels wide in ${room}`] : [];
}

/** Waits until nothing fades any more, so that colours can be compared. */
const calm = (page) =>
  page.evaluate(() =>
    Promise.all(
      document
        .getAnimations()
        .filter((animation) => animation.effect.getComputedTiming().endTime !== Infinity)
        .map((animation) => animation.finished.catch(() => {})),
    ),
  );

/** Collects what is wrong in the rooms of a page; `none` fails with all of it. */
function inspect(page) {
  const told = [];
  return {
    async room(where) {
      await page.emulateMedia({ colorScheme: "light" });
      await calm(page);
      const found = [...(await byAxe(page)), ...(await byWidth(page))];
      await page.emulateMedia({ colorScheme: "dark" });
      await calm(page);
      found.push(...(await byAxe(page, ["color-contrast"])));
      told.push(...found.map((text) => `in ${where}: ${text}`));
    },
    none: () => assert.equal(told.join("\n"), ""),
  };
}

describe("axe and the smallest width", () => {
  let browser;
  let guide;
  let still;
  before(async () => {
    browser = await launchChromium();
    const folder = temporaryFolder("axe");
    const path = join(folder, "viola.html");
    const [list, overview] = [join(folder, "class"), join(folder, "overview.html")];
    const cueleaf = (...words) => execFileSync(join(ROOT, "target/release/cueleaf"), words, { stdio: "ignore" });
    cueleaf("export", VIOLA, "-o", path);
    cueleaf("export", "--all", join(ROOT, "examples"), "-o", list);
    cueleaf("overview", VIOLA, "-o", overview);
    still = [join(list, "index.html"), overview];
    guide = pathToFileURL(path).href;
  });
  after(() => browser?.close());

  test("the check itself finds what is wrong", async () => {
    const page = await (await browser.newContext({ viewport: { width: 320, height: 640 } })).newPage();
    await page.setContent(
      '<html lang="en"><title>Wrong</title><main><h1>Wrong</h1><input>' +
        '<style>p { width: 50em } @media (prefers-color-scheme: dark) { p { color: #eee } }</style><p>Pale words',
    );
    const { room, none } = inspect(page);
    await room("wrong");
    assert.throws(none, /in wrong: label[^]*in wrong: \d+ pixels wide in 320[^]*in wrong: color-contrast/);
    await page.context().close();
  });

  for (const [name, viewport] of Object.entries(SCREENS)) {
    test(`the guide on ${name}`, async () => {
      const context = await browser.newContext({ viewport });
      const page = await context.newPage();
      const { room, none } = inspect(page);
      await page.goto(guide);
      await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
      for (const own of ["walk", "play", "count", "todo"]) {
        await page.locator(`#tab-${own}`).click();
        await room(own);
      }
      await page.locator("#tab-play").click();
      await page.locator("#play").click();
      await page.waitForFunction(() => document.querySelector("#count").innerText.trim() === "2");
      await room("while playing");
      await page.locator("#play").click();
      await page.getByRole("button", { name: "Choices" }).click();
      // The whole panel at once: what is scrolled under the bar below is no target there.
      await page.setViewportSize({ width: viewport.width, height: 2400 });
      await room("the choices");
      await page.setViewportSize(viewport);
      await page.locator("#tab-count").click();
      await page.locator('[data-value="tap"]').click();
      await page.locator("#tap").click();
      await page.locator("#tap-stop").waitFor();
      await room("tapping along");
      await page.locator("#tap-stop").click();
      await page.locator("#tap").click();
      // Taps anyhow: some lie early, some late, which is what is drawn.
      while (await page.evaluate(() => document.querySelector("#tapped").textContent === "")) {
        await page.keyboard.press("Space");
        await page.waitForTimeout(230);
      }
      await page.locator("#tapped svg").waitFor();
      await room("what the taps show");
      await page.locator("#tab-todo").click();
      await page.locator("#teacher-line").waitFor();
      await room("what was practised");
      await context.close();
      none();
    });

    test(`the pages to read on ${name}`, async () => {
      const context = await browser.newContext({ viewport });
      for (const path of still) {
        const page = await context.newPage();
        const { room, none } = inspect(page);
        // Their policy lets no script run, which axe is; the text is the same without it.
        await page.setContent(readFileSync(path, "utf8").replace(/<meta http-equiv="Content-Security-Policy"[^>]*>/, ""));
        await page.locator("h1").waitFor();
        await room(basename(path));
        none();
      }
      await context.close();
    });

    test(`the guide without scripts on ${name}`, async () => {
      // axe needs scripts, so the page's own are taken out instead.
      const context = await browser.newContext({ viewport });
      const page = await context.newPage();
      const { room, none } = inspect(page);
      const text = await (await context.newPage().then((own) => own.goto(guide))).text();
      await page.setContent(text.replace(/<script>[^]*?<\/script>/g, ""));
      await page.locator("h1").waitFor();
      await room("text alone");
      await context.close();
      none();
    });

    test(`the builder on ${name}`, async () => {
      const context = await browser.newContext({ viewport });
      const page = await context.newPage();
      const { room, none } = inspect(page);
      await page.goto(BUILDER);
      await page.locator(hook("choose-file")).first().waitFor();
      await room("the first page");
      await page.locator(hook("toggle-form")).first().click();
      await page.locator("#new-title").waitFor();
      await room("the form for a part on paper");
      await choose(page, SCORE);
      await page.locator(hook("make-guide")).waitFor();
      await room("the parts");
      await page.getByLabel("Viola", { exact: true }).check();
      await page.locator(hook("make-guide")).click();
      await page.locator("#m-0").waitFor();
      await room("the road map");
      await page.locator("#m-29").click();
      await page.locator("#m-31").click({ modifiers: ["Shift"] });
      await room("measures chosen");
      await page.locator(hook("room", "tips")).click();
      await room("tips, none yet");
      await page.locator(hook("add-tip")).first().click();
      await page.locator('textarea[id^="tip-text-"]').fill("Count the eighths.");
      await room("a tip being written");
      await page.locator(hook("room", "try-it")).click();
      await page.frameLocator("#preview-frame").locator("#tab-play").waitFor();
      await room("trying it");
      await page.locator(hook("room", "hand-out")).click();
      await room("handing out");
      await page.locator(hook("home")).first().click();
      await page.locator(hook("kept-open")).first().waitFor();
      await room("the first page with a kept guide");
      await choose(page, join(ROOT, "LICENSE-MIT"));
      await page.locator("[data-fragment=notice]").getByText("LICENSE-MIT").waitFor();
      await room("a file that cannot be opened");
      await context.close();
      none();
    });
  }
});
