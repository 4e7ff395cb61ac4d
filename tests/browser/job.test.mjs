// The whole main job, as a teacher and a student do it: open a part, look at its road map, group a
// measure, write a tip, try it, hand it out; open the file without network, play, step; open it in
// the builder again. In Chromium, from one file and from a server, on the real built pages.

import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { choose, drop, hook } from "./rig/builder.mjs";
import { launchChromium, watch } from "./rig/chromium.mjs";
import { serveFolder } from "./rig/serve.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const DIST = join(ROOT, "dist");
const SCORE = join(ROOT, "examples/mail-boat.musicxml");
const GUIDE = join(ROOT, "examples/mail-boat-viola.json");

/** Serves dist/ on this machine. */
const serve = async () => (await serveFolder(DIST)).address;

/** Opens a score and makes a guide of one part. */
async function openPart(page, name) {
  await choose(page, SCORE);
  await page.getByLabel(name, { exact: true }).check();
  await page.locator(hook("make-guide")).click();
  await page.locator("#m-0").waitFor();
}

async function download(page, click) {
  const [file] = await Promise.all([page.waitForEvent("download"), click()]);
  const path = join(temporaryFolder("download"), file.suggestedFilename());
  await file.saveAs(path);
  return path;
}

const room = (page, code) => page.locator(hook("room", code)).click();
const kept = (page) => page.waitForFunction(() => document.getElementById("kept")?.innerText.includes("Kept"));
const guideIn = (path) =>
  readFileSync(path, "utf8").match(/id="cueleaf-guide">(.*?)<\/script>/s)[1].replaceAll("\\u003c", "<");

describe("the main job", () => {
  let browser;
  before(async () => {
    browser = await launchChromium();
  });
  after(() => browser?.close());

  for (const home of ["one file", "server"]) {
    test(`from a part to a guide that plays, builder from ${home}`, async () => {
      const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, acceptDownloads: true });
      const page = await context.newPage();
      const seen = watch(page);
      const address = home === "server" ? await serve() : pathToFileURL(join(DIST, "cueleaf.html")).href;
      await page.goto(address);
      await openPart(page, "Viola");
      assert.equal(await page.locator(hook("measure")).count(), 105);

      // Group two measures by typing their numbers.
      await page.locator("#select-text").fill("29-30");
      await page.locator("#select-text").press("Enter");
      await page.locator("#fact-groups").fill("3+2+2");
      await page.locator("#fact-groups").press("Enter");
      await page.locator("#m-29").getByText("3").first().waitFor();
      // Back and forth again.
      await page.locator(hook("undo")).click();
      await page.locator(hook("redo")).click();

      // A tip at the chosen measures.
      await room(page, "tips");
      await page.locator(hook("add-tip")).first().click();
      const text = page.locator('textarea[id^="tip-text-"]');
      await text.fill("Short, short, long: say <it> & clap.");
      await text.blur();
      await kept(page);

      // The student's page beside it is the player itself and follows.
      await room(page, "try-it");
      const frame = page.frameLocator("#preview-frame");
      await frame.getByText("Short, short, long: say <it> & clap.").first().waitFor();
      await frame.locator("#tab-play").click();

      await room(page, "hand-out");
      const file = await download(page, () => page.locator(hook("hand-out")).first().click());
      assert.ok(file.endsWith(".html"), file);
      assert.ok(readFileSync(file).length <= 150_000, "the file is at most 150 kB");
      assert.deepEqual(seen.complaints, [], "the console of the builder");

      // The student: no network, no builder.
      const student = await browser.newContext({ viewport: { width: 360, height: 640 }, offline: true });
      const phone = await student.newPage();
      const heard = watch(phone);
      await phone.goto(pathToFileURL(file).href);
      await phone.getByText("Short, short, long: say <it> & clap.").first().waitFor();
      await phone.locator("#tab-count").click();
      const count = phone.locator("#step-count");
      await phone.locator("#measure").selectOption({ label: "29" });
      const said = [];
      for (let step = 0; step < 7; step += 1) {
        said.push((await count.innerText()).trim());
        await phone.locator(`button${hook("step")}`).click();
      }
      assert.deepEqual(said, ["1", "2", "3", "1", "2", "1", "2"], "7/8 as it was grouped");
      await phone.locator("#tab-play").click();
      await phone.locator("#play").click();
      const before = await phone.locator("#count").innerText();
      await phone.waitForFunction(
        (old) => document.querySelector("#count").innerText !== old,
        before,
      );
      await phone.locator("#play").click();
      assert.deepEqual(heard.complaints, [], "the console of the guide");
      await student.close();

      // The same file opens in the builder again, and hands out the same guide.
      await page.goto(address);
      await choose(page, file);
      await page.locator("#m-0").waitFor();
      await room(page, "hand-out");
      const again = await download(page, () => page.locator(hook("hand-out")).first().click());
      assert.equal(guideIn(again), guideIn(file));
      assert.deepEqual(seen.complaints, [], "the console of the builder");
      await context.close();
    });
  }

  test("what was edited is found again after the tab was closed", async () => {
    const context = await browser.newContext();
    let page = await context.newPage();
    const address = await serve();
    await page.goto(address);
    await openPart(page, "Cello");
    await room(page, "hand-out");
    await page.locator(hook("guide", "title")).fill("Found again");
    await kept(page);
    await page.close();
    page = await context.newPage();
    await page.goto(address);
    await page.locator(hook("kept-open")).first().click();
    await page.locator("#m-0").waitFor();
    assert.match(await page.title(), /Found again/);
    await context.close();
  });

  test("two tabs never overwrite each other", async () => {
    const context = await browser.newContext();
    const address = await serve();
    const one = await context.newPage();
    await one.goto(address);
    await openPart(one, "Viola");
    await kept(one);
    const two = await context.newPage();
    await two.goto(address);
    await two.locator(hook("kept-open")).first().click();
    await two.locator("#m-0").waitFor();
    for (const [page, title] of [[one, "First"], [two, "Second"]]) {
      await room(page, "hand-out");
      await page.locator(hook("guide", "title")).fill(title);
      if (page === one) await kept(page);
    }
    await two.getByText("changed in another tab").waitFor();
    await context.close();
  });

  test("without a database the page says so and goes on", async () => {
    const context = await browser.newContext();
    await context.addInitScript(() => Object.defineProperty(window, "indexedDB", { value: undefined }));
    const page = await context.newPage();
    await page.goto(pathToFileURL(join(DIST, "cueleaf.html")).href);
    await openPart(page, "Viola");
    await page.locator("#m-3").click();
    await page.locator("#fact-section").fill("Here");
    await page.locator("#fact-section").press("Enter");
    await page.getByText("cannot be kept").or(page.getByText("Not kept")).first().waitFor();
    await page.getByText("Here").first().waitFor();
    await context.close();
  });

  describe("a file that cannot be opened is told, and the document is unharmed", () => {
    let page;
    before(async () => {
      page = await (await browser.newContext()).newPage();
      await page.goto(pathToFileURL(join(DIST, "cueleaf.html")).href);
    });
    const guide = readFileSync(GUIDE, "utf8");
    const score = readFileSync(SCORE, "utf8");
    const cases = {
      "not XML": ["letter.xml", "Dear student, practise slowly."],
      "cut short": ["cut.musicxml", score.slice(0, 20_000)],
      "a zip that is no .mxl": ["notes.mxl", Buffer.from("504b0506000000000000000000000000000000000000", "hex")],
      "no parts": ["empty.musicxml", '<score-partwise version="4.0"><part-list/></score-partwise>'],
      "no measures": [
        "bare.musicxml",
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Viola</part-name></score-part></part-list><part id="P1"/></score-partwise>',
      ],
      "a guide of a later form": ["later.json", guide.replace('"cueleaf":"1.0"', '"cueleaf":"9.0"')],
      "a damaged guide": ["damaged.json", guide.slice(0, 4_000)],
    };
    for (const [name, [fileName, content]] of Object.entries(cases)) {
      test(name, async () => {
        if (!(await page.locator("#m-0").count())) {
          await choose(page, GUIDE);
          await page.locator("#m-0").waitFor();
        }
        const path = join(temporaryFolder("bad"), fileName);
        writeFileSync(path, content);
        await drop(page, path);
        const notice = page.locator("[data-fragment=notice]");
        await notice.getByText(fileName).or(notice.getByText("newer")).first().waitFor();
        const told = await notice.innerText();
        assert.ok(told.length > 40, told);
        assert.equal(await page.locator(hook("measure")).count(), 105, "the document is still there");
        await page.locator(hook("close-notice")).first().click();
      });
    }
  });
});
