// Hostile texts in every field of a guide, on every way to a student and back to the teacher:
// nothing of them runs or is asked for, and each is shown as it was typed.

import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { drop, hook } from "./rig/builder.mjs";
import { launchChromium, watch } from "./rig/chromium.mjs";
import { hostileGuide, TEXTS, together } from "./rig/hostile.mjs";
import { serveFolder } from "./rig/serve.mjs";
import { LONG, MARKUP } from "./rig/strings.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const DIST = join(ROOT, "dist");
const folder = temporaryFolder("texts");
// What it warns of (a cue above 24 letters, an address that is no link) is not asked about here.
const cueleaf = (...words) =>
  execFileSync(join(ROOT, "target/release/cueleaf"), words, {
    encoding: "utf8",
    stdio: ["ignore", "pipe", "ignore"],
    maxBuffer: 64_000_000,
  }).trim();

function write(name, content) {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
}

const saved = write("hostile.json", JSON.stringify(hostileGuide("hostile")));
const exported = join(folder, "hostile.html");
cueleaf("export", saved, "-o", exported);

/** Watches a page for all that a text could do; `harmless` fails with what it did. */
async function guard(page) {
  const seen = watch(page);
  const dialogs = [];
  page.on("dialog", (dialog) => {
    dialogs.push(dialog.message());
    void dialog.dismiss();
  });
  const popups = [];
  page.on("popup", (popup) => popups.push(popup.url()));
  return {
    seen,
    async harmless(own = /^(file|data|blob|about):/) {
      for (const frame of page.frames()) {
        assert.equal(await frame.evaluate(() => window.pwned), undefined);
        assert.deepEqual(
          await frame.evaluate(() =>
            [...document.querySelectorAll("img, object, embed, base, math, template, audio, video, [style*=fixed]")]
              .map((one) => one.outerHTML.slice(0, 200)),
          ),
          [],
        );
        assert.deepEqual(
          await frame.evaluate(() =>
            [...document.querySelectorAll("*")].flatMap((one) =>
              [...one.attributes].filter(({ name }) => /^on/.test(name)).map(({ name }) => `${one.tagName} ${name}`),
            ),
          ),
          [],
        );
      }
      assert.deepEqual(dialogs, []);
      assert.deepEqual(popups, []);
      assert.deepEqual(seen.complaints, []);
      assert.deepEqual(seen.requests.filter((url) => !own.test(url)).map((url) => url.slice(0, 200)), []);
    },
  };
}

/** Reads what a guide shows of its texts; runs in the page. */
function shown() {
  const all = (selector) => [...document.querySelectorAll(selector)].map((one) => one.textContent);
  return {
    title: document.querySelector("h1").textContent,
    part: document.querySelector(".part")?.textContent,
    composer: document.querySelector(".composer").textContent,
    word: all(".word p:not(.quiet)"),
    sections: all("section[id] h2"),
    glance: all(".glance li a"),
    tempo: all("section[id] > p > .stands > span"),
    facts: all("h3 + p").join("\n"),
    // After the topic and the place comes the text itself.
    tips: [...document.querySelectorAll(".tip p:has(> b)")].map((one) => one.lastChild.textContent),
    watch: all(".watch .address"),
    todos: all(".todos li label > span:first-of-type"),
  };
}

/** Fails with the first texts that differ: all of them would fill the screen. */
function same(found, expected, where) {
  const index = expected.findIndex((text, index) => text !== found[index]);
  assert.deepEqual(index === -1 ? [] : [found[index], index], index === -1 ? [] : [expected[index], index], where);
  assert.equal(found.length, expected.length, where);
}

/** Gives a text as a page can hold it: HTML allows no control letters and no noncharacters (HTML
    Living Standard, 13.2.3.5), so spacing becomes a space and the rest is left out. */
function held(text) {
  return text
    .replace(/\r\n?/g, "\n")
    .replace(/[\v\f\x85]/g, " ")
    .replace(/[\0-\x08\x0E-\x1F\x7F-\x9F]|\p{Noncharacter_Code_Point}/gu, "");
}

/** Fails unless a guide shows each text as it was typed. */
function asTyped(found, typed) {
  const texts = typed.map(held);
  const once = (list) => [...new Set(list)].sort();
  assert.equal(found.title, together(texts));
  assert.equal(found.composer, together(texts));
  same(found.word, texts, "word");
  for (const field of ["sections", "glance"]) {
    for (const text of texts) assert.ok(found[field].some((own) => own.includes(text)), `${field}: ${text}`);
  }
  for (const text of texts) assert.ok(found.tempo.some((own) => own.includes(text.trim())), `tempo: ${text}`);
  same(once(found.tips), once(texts), "tips");
  for (const text of texts) assert.ok(found.todos.some((own) => own.includes(text)), `to-do: ${text}`);
  for (const text of texts) {
    assert.ok(found.facts.includes(text.slice(1)), `facts: ${text}`);
  }
  const addresses = texts.map((text, index) => (index % 2 ? text : `https://nowhere.invalid/${text}`));
  same(once(found.watch), once(addresses), "addresses");
}

/** Opens all rooms of a guide and goes through its measures in both that play or count. */
async function use(frame) {
  await frame.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
  await frame.locator("#tab-play").click();
  const turn = (id) =>
    frame.evaluate((id) => {
      const select = document.getElementById(id);
      for (const { value } of select.options) {
        select.value = value;
        select.dispatchEvent(new Event("change", { bubbles: true }));
      }
      select.value = select.options[0].value;
      select.dispatchEvent(new Event("change", { bubbles: true }));
      return select.textContent;
    }, id);
  const names = await turn("from");
  await frame.locator("#play").click();
  await frame.waitForFunction(() => document.querySelector("#count").innerText.trim() === "3");
  await frame.locator("#play").click();
  await frame.locator("#tab-count").click();
  await turn("measure");
  for (let more = 0; more < 5; more += 1) await frame.locator('button[data-do="step"]').click();
  await frame.locator("#tab-todo").click();
  await frame.locator(".todos input").first().check();
  return names;
}

describe("hostile texts", () => {
  let browser;
  let server;
  let web;
  before(async () => {
    browser = await launchChromium();
    mkdirSync(join(folder, "web"));
    server = await serveFolder(folder);
    web = await serveFolder(DIST);
  });
  after(async () => {
    await browser?.close();
    server?.close();
    web?.close();
  });

  /** Gives a new page in a context of its own, as large as a phone. */
  async function newPage(more = {}) {
    const context = await browser.newContext({ viewport: { width: 360, height: 640 }, ...more });
    const page = await context.newPage();
    page.setDefaultTimeout(20_000);
    return page;
  }

  test("are dangerous where nothing escapes them", async () => {
    const page = await newPage();
    await page.route("https://nowhere.invalid/**", (route) => route.abort());
    // Each in a frame of its own, as a page that does not escape would have it.
    await page.setContent("<body>");
    await page.evaluate((texts) => {
      for (const text of texts) {
        const frame = document.createElement("iframe");
        frame.srcdoc = `<body><p>${text}</p>`;
        document.body.append(frame);
      }
    }, Object.values(MARKUP));
    await page.waitForTimeout(1500);
    const ran = await page.evaluate(() => {
      const runs = (frame) => {
        try {
          return frame.contentWindow.pwned === 1;
        } catch {
          // It led its frame away to another page.
          return true;
        }
      };
      return [...document.querySelectorAll("iframe")].filter(runs).length;
    });
    assert.ok(ran >= 30, `${ran} ran`);
    await page.context().close();
  });

  test("in an exported guide stay texts, in each room", async () => {
    const page = await newPage();
    const { harmless } = await guard(page);
    await page.goto(pathToFileURL(exported).href);
    asTyped(await page.evaluate(shown), TEXTS);
    const names = await use(page.mainFrame());
    const begins = (text) => [...text].slice(0, 8).join("");
    // What a script writes holds what HTML cannot.
    for (const text of TEXTS) assert.ok([text, held(text)].some((own) => names.includes(begins(own))), text);
    asTyped(await page.evaluate(shown), TEXTS);
    assert.equal(await page.evaluate(() => document.title.startsWith("<script>")), true);
    await harmless();
    // A word without a place to break widens no room.
    for (const room of ["walk", "play", "count", "todo"]) {
      await page.locator(`#tab-${room}`).click();
      const [wide, width] = await page.evaluate(() => [document.documentElement.scrollWidth, document.documentElement.clientWidth]);
      assert.ok(wide <= width, `${room}: ${wide} pixels wide in ${width}`);
    }
    await page.context().close();
  });

  test("in an exported guide stay texts without scripts", async () => {
    const page = await newPage({ javaScriptEnabled: false });
    const { seen } = await guard(page);
    await page.goto(pathToFileURL(exported).href);
    assert.equal(await page.locator("h1").textContent(), together(TEXTS.map(held)));
    assert.equal(await page.locator("img, iframe, object, embed, base, form, math, template").count(), 0);
    assert.equal(await page.locator("a[href]:not([href^='#']):not([href^='https://nowhere.invalid/'])").count(), 0);
    assert.deepEqual(seen.requests.filter((url) => !url.startsWith("file:") && !url.startsWith("data:")), []);
    await page.context().close();
  });

  test("in a guide within a sandboxed frame stay texts", async () => {
    write(
      "frame.html",
      // Without the leave to keep the screen on, the browser itself says so in the console.
      `<!doctype html><title>Frame</title><link rel="icon" href="data:,"><iframe title="Guide" width="360" height="640" sandbox="allow-scripts" allow="screen-wake-lock" src="hostile.html"></iframe>`,
    );
    const page = await newPage({ viewport: { width: 500, height: 800 } });
    const { harmless } = await guard(page);
    await page.goto(`${server.address}frame.html`);
    const [, frame] = page.frames();
    asTyped(await frame.evaluate(shown), TEXTS);
    await use(frame);
    await harmless(/^(data|about|blob):|^http:\/\/127\.0\.0\.1:\d+\/(frame|hostile)\.html$/);
    await page.context().close();
  });

  test("in the pages of a class stay texts, in names of files, too", async () => {
    const guides = join(folder, "class");
    mkdirSync(guides);
    // A slash is the one letter of these that no name of a file can have.
    const names = Object.values(MARKUP).filter((text) => !text.includes("/") && Buffer.byteLength(text) < 200);
    names.slice(0, 12).forEach((name, index) => {
      const guide = hostileGuide(`class-${index}`, TEXTS.slice(index * 8, index * 8 + 8));
      writeFileSync(join(guides, `${name}.json`), JSON.stringify(guide));
    });
    const out = join(folder, "handed-out");
    cueleaf("export", "--all", guides, "-o", out);
    const zip = join(folder, "handed-out.zip");
    cueleaf("export", "--all", guides, "-o", zip);
    assert.ok(readFileSync(zip).includes("index.html"));
    const page = await newPage();
    const { harmless } = await guard(page);
    await page.goto(pathToFileURL(join(out, "index.html")).href);
    const text = await page.evaluate(() => document.body.textContent);
    for (const one of TEXTS.slice(0, 96)) assert.ok(text.includes(one), one);
    const links = await page.locator("a").evaluateAll((all) => all.map((one) => one.getAttribute("href")));
    assert.ok(links.length >= 12, `${links.length} links`);
    // Letters and digits of any script and hyphens: no path, no scheme, no space.
    for (const link of links) assert.match(decodeURIComponent(link), /^[\p{L}\p{N}\p{M}-]+\.html$/u);
    const [wide, width] = await page.evaluate(() => [document.documentElement.scrollWidth, document.documentElement.clientWidth]);
    assert.ok(wide <= width, `${wide} pixels wide in ${width}`);
    await page.locator("a").first().click();
    await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
    await harmless();
    await page.context().close();
  });

  test("in a link stay texts", async () => {
    const page = await newPage();
    const { harmless } = await guard(page);
    const SOME = 10;
    for (let from = 0; from < TEXTS.length; from += SOME) {
      const texts = TEXTS.slice(from, from + SOME);
      const path = write("link.json", JSON.stringify(hostileGuide(`link-${from}`, texts)));
      const fragment = cueleaf("link", path, "--address", "https://school.example/").split("#")[1];
      await page.goto("about:blank");
      await page.goto(`${web.address}play.html#${fragment}`);
      await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
      asTyped(await page.evaluate(shown), texts);
    }
    await use(page.mainFrame());
    await harmless(new RegExp(`^(data|blob|about):|^${web.address}`));
    await page.context().close();
  });

  test("in an address instead of a guide do nothing", async () => {
    const page = await newPage();
    const { harmless } = await guard(page);
    await page.goto(`${web.address}play.html`);
    // Each opens the page anew, so a quarter of them is enough.
    for (const text of TEXTS.filter((_, index) => index % 4 === 0)) {
      await page.evaluate((text) => void (location.hash = text), text);
      await page.waitForFunction(() => document.querySelector("#trouble-with-link") !== null);
    }
    await harmless(new RegExp(`^(data|blob|about):|^${web.address}`));
    await page.context().close();
  });

  test("come back into the builder as they were, and go out the same", async () => {
    const page = await newPage({ viewport: { width: 1280, height: 800 }, acceptDownloads: true });
    const { harmless } = await guard(page);
    await page.goto(pathToFileURL(join(DIST, "cueleaf.html")).href);
    await page.locator(hook("choose-file")).first().waitFor();
    await drop(page, exported);
    await page.locator("#m-0").waitFor();
    const map = await page.evaluate(() => document.body.textContent);
    for (const text of TEXTS) assert.ok(map.includes(text), `road map: ${text}`);
    for (const measure of [0, 3, 40, TEXTS.length - 1]) {
      await page.locator(`#m-${measure}`).click();
      assert.equal(await page.locator("#fact-section").inputValue(), TEXTS[measure]);
    }
    await page.locator(hook("room", "tips")).click();
    await page.getByText(TEXTS[0]).first().waitFor();
    await page.locator(hook("room", "try-it")).click();
    await page.frameLocator("#preview-frame").locator("#tab-play").waitFor();
    await page.locator(hook("room", "hand-out")).click();
    assert.equal(await page.inputValue("#guide-field-title"), together(TEXTS));
    for (const [button, name] of [["download-guide", "again.json"], ["hand-out", "again.html"]]) {
      // The button of a part with so long a name lies partly under what follows it, so by the keyboard.
      const [file] = await Promise.all([page.waitForEvent("download"), page.locator(hook(button)).first().press("Enter")]);
      assert.match(file.suggestedFilename(), /^[\p{L}\p{N}-]+\.(json|html)$/u);
      await file.saveAs(join(folder, name));
    }
    const back = JSON.parse(readFileSync(join(folder, "again.json"), "utf8"));
    assert.deepEqual(back.tips.map((tip) => tip.text), TEXTS);
    assert.deepEqual(back.road_map, hostileGuide("hostile").road_map);
    await harmless();
    await page.context().close();
  });

  test("as names of files are told as they are", async () => {
    const page = await newPage({ viewport: { width: 1280, height: 800 } });
    const { harmless } = await guard(page);
    await page.goto(pathToFileURL(join(DIST, "cueleaf.html")).href);
    await page.locator(hook("choose-file")).first().waitFor();
    for (const name of TEXTS.filter((text) => text !== LONG)) {
      // A file of the page's own, since no disk takes all these names.
      const transfer = await page.evaluateHandle((name) => {
        const transfer = new DataTransfer();
        transfer.items.add(new File(["Dear student"], name));
        return transfer;
      }, name);
      await page.dispatchEvent("#app", "drop", { dataTransfer: transfer });
      // The page may be given the name with its slashes turned into colons (File API).
      const told = await transfer.evaluate((own) => own.files[0].name);
      await page.waitForFunction(
        (told) => document.querySelector("[data-fragment=notice]")?.textContent.includes(`“${told}” was not opened.`),
        told,
      );
    }
    await harmless();
    await page.context().close();
  });

  test("with letters that no text should have open, or are refused in words", async () => {
    const guide = hostileGuide("nul", TEXTS.slice(0, 3));
    guide.tips[0].text = "a\u0000b\u0001c\u001b[31m";
    guide.title = "\u0000<script>window.pwned=1</script>";
    const path = join(folder, "nul.html");
    cueleaf("export", write("nul.json", JSON.stringify(guide)), "-o", path);
    const page = await newPage();
    const { harmless } = await guard(page);
    await page.goto(pathToFileURL(path).href);
    await use(page.mainFrame());
    assert.ok((await page.locator("h1").textContent()).endsWith("<script>window.pwned=1</script>"));
    await harmless();
    await page.context().close();
    // Half of a surrogate pair is no text in UTF-8, and is refused with its place.
    const half = write("half.json", JSON.stringify(guide).replace("\\u0001", "\\ud800"));
    const { status, stderr } = spawnSync(join(ROOT, "target/release/cueleaf"), ["check", half], { encoding: "utf8" });
    assert.equal(status, 1);
    assert.match(stderr, /damaged: line 1, column \d+/);
  });
});
