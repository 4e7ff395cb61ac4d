// The markup of every page that is handed out, as written and as it stands in the browser once
// scripts have worked on it, by the rules of the HTML standard as html-validate checks them.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { HtmlValidate } from "html-validate";
import { choose, hook } from "./rig/builder.mjs";
import { launchChromium } from "./rig/chromium.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const DIST = join(ROOT, "dist");
const folder = temporaryFolder("markup");
const cueleaf = (...words) => execFileSync(join(ROOT, "target/release/cueleaf"), words, { stdio: "ignore" });
const VIOLA = join(ROOT, "examples/mail-boat-viola.json");
const exported = join(folder, "viola.html");
cueleaf("export", VIOLA, "-o", exported);
cueleaf("export", "--all", join(ROOT, "examples"), "-o", join(folder, "class"));

const validator = new HtmlValidate({
  root: true,
  extends: ["html-validate:recommended"],
  rules: {
    // The standard lets the doctype be written in any case, and a browser's own text of a page
    // has whatever the test puts before it.
    "doctype-style": "off",
  },
});
// A page that is handed out need not say what the standard lets it leave out: quotes around a value
// that has nothing to be kept together, the ends of items and paragraphs.
const lean = new HtmlValidate({
  root: true,
  extends: ["html-validate:recommended"],
  rules: {
    "doctype-style": "off",
    "attr-quotes": ["error", { style: "double", unquoted: true }],
    "no-implicit-close": "off",
  },
});
// The same for what stands in the browser, which writes out attributes its own way.
const live = new HtmlValidate({
  root: true,
  extends: ["html-validate:recommended"],
  rules: {
    "doctype-style": "off",
    // A boolean attribute is written out as one with an empty value: the same for any reader.
    "attribute-boolean-style": "off",
    "attribute-empty-style": "off",
    // A script may set element.style: the policy allows it, and the browser writes it out.
    "no-inline-style": "off",
    // An input without a type is one for text, says the standard; a guide saves the bytes.
    "no-implicit-input-type": "off",
    // A label that is named by "for" and also stands around its field is heard by every reader.
    "no-redundant-for": "off",
    // The road map is a list of cards with several lines each: no select can show them.
    "prefer-native-element": "off",
    // Firefox brings ticks back after a reload unless it is told not to, against what is kept.
    "valid-autocomplete": "off",
  },
});

/** Tells every error in a text of markup, each rule's first three. */
async function errors(how, text) {
  const { results } = await how.validateString(text);
  const by = {};
  for (const { ruleId, message, selector } of results.flatMap((one) => one.messages)) {
    (by[ruleId] ??= []).push(`${ruleId}: ${message} at ${selector}`);
  }
  return Object.values(by).flatMap((list) => list.slice(0, 3));
}

describe("markup as written", () => {
  test("the check itself finds what is wrong", async () => {
    const found = await errors(validator, `<!doctype html><html lang="en"><title>x</title><p id="a"><div id="a"></p><img src="x">`);
    assert.match(found.join("\n"), /no-dup-id/);
    assert.match(found.join("\n"), /close-order/);
  });

  for (const [name, path, how] of [
    ["an exported guide", exported, lean],
    ["the list of a class", join(folder, "class", "index.html"), lean],
    ["the page for links", join(DIST, "play.html"), validator],
    ["the builder", join(DIST, "index.html"), validator],
    ["the builder in one file", join(DIST, "cueleaf.html"), validator],
  ]) {
    test(name, async () => {
      assert.deepEqual(await errors(how, readFileSync(path, "utf8")), []);
    });
  }
});

describe("markup in the browser", () => {
  let browser;
  before(async () => {
    browser = await launchChromium();
  });
  after(() => browser?.close());
  const now = (page) => page.evaluate(() => `<!doctype html>${document.documentElement.outerHTML}`);

  test("a guide in use", async () => {
    const page = await browser.newPage();
    await page.goto(pathToFileURL(exported).href);
    await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
    await page.locator("#tab-play").click();
    await page.getByRole("button", { name: "Choices" }).click();
    assert.deepEqual(await errors(live, await now(page)), []);
    await page.keyboard.press("Escape");
    await page.locator("#play").click();
    await page.waitForFunction(() => document.querySelector("#count").innerText.trim() === "2");
    assert.deepEqual(await errors(live, await now(page)), []);
    await page.close();
  });

  test("the builder in each room", async () => {
    const page = await browser.newPage();
    await page.goto(pathToFileURL(join(DIST, "cueleaf.html")).href);
    await page.locator(hook("choose-file")).first().waitFor();
    const told = [];
    const look = async (where) => told.push(...(await errors(live, await now(page))).map((text) => `${where}: ${text}`));
    await look("first page");
    await choose(page, VIOLA);
    await page.locator("#m-0").waitFor();
    await page.locator("#m-29").click();
    await look("road map");
    await page.locator(hook("room", "tips")).click();
    await page.locator(hook("add-tip")).first().click();
    await look("tips");
    await page.locator(hook("room", "try-it")).click();
    await page.frameLocator("#preview-frame").locator("#tab-play").waitFor();
    await look("try it");
    await page.locator(hook("room", "hand-out")).click();
    await look("hand out");
    assert.deepEqual(told, []);
    await page.close();
  });
});
