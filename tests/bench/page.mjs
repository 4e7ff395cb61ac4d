// Times the pages in Chromium; one line of JSON, in milliseconds.
//
//   node tests/bench/page.mjs
//
// Needs the built pages in dist/ and the programs cueleaf and cueleaf-bench. Each number is the
// median of a few tries, but for the longest task, which is the longest of all.

import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { choose, hook } from "../browser/rig/builder.mjs";
import { launchChromium } from "../browser/rig/chromium.mjs";
import { temporaryFolder } from "../browser/rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const BUILDER = pathToFileURL(join(ROOT, "dist/cueleaf.html")).href;
const SLOW = 6;
const LARGE_SCORE = 8_000_000;
const folder = temporaryFolder("bench");

const program = (name, ...words) =>
  execFileSync(join(ROOT, "target/release", name), words, { maxBuffer: 1e9, stdio: ["ignore", "pipe", "ignore"] });

const median = (numbers) => numbers.toSorted((a, b) => a - b)[Math.floor(numbers.length / 2)];

/** Slows the processor for a page. */
async function slowed(page) {
  const session = await page.context().newCDPSession(page);
  await session.send("Emulation.setCPUThrottlingRate", { rate: SLOW });
}

/**
 * Gives the durations of the main thread's tasks while something happens, longest first. It is the
 * time in which the thread had a processor: what else runs on the machine does not count.
 */
async function tasksWhile(browser, page, act) {
  await browser.startTracing(page, { categories: ["toplevel", "disabled-by-default-devtools.timeline"] });
  await act();
  const { traceEvents } = JSON.parse(await browser.stopTracing());
  const mains = traceEvents
    .filter((event) => event.name === "thread_name" && event.args.name === "CrRendererMain")
    .map((event) => `${event.pid}/${event.tid}`);
  return traceEvents
    .filter((event) => /RunTask$/.test(event.name) && mains.includes(`${event.pid}/${event.tid}`))
    .map((event) => (event.tdur ?? event.dur ?? 0) / 1000)
    .sort((a, b) => b - a);
}

/** Runs before the page: notes when the guide comes to life. */
function noteLife() {
  new MutationObserver(() => {
    if (window.aliveAt === undefined && document.documentElement?.classList.contains("live")) {
      // What was drawn is seen after the next frame.
      requestAnimationFrame(() => setTimeout(() => (window.aliveAt = performance.now())));
    }
  }).observe(document, { attributes: true, subtree: true, childList: true });
}

async function guide(browser) {
  const file = join(folder, "guide.html");
  program("cueleaf", "export", join(ROOT, "examples/mail-boat-viola.json"), "-o", file);
  const opened = [];
  for (let round = 0; round < 5; round += 1) {
    const page = await browser.newPage({ viewport: { width: 360, height: 640 } });
    await slowed(page);
    await page.addInitScript(noteLife);
    await page.goto(pathToFileURL(file).href);
    await page.waitForFunction(() => window.aliveAt !== undefined);
    opened.push(await page.evaluate(() => window.aliveAt));
    await page.close();
  }
  const page = await browser.newPage({ viewport: { width: 360, height: 640 } });
  await page.goto(pathToFileURL(file).href);
  await page.locator("#tab-play").click();
  await page.locator("#play").click();
  // The first seconds make the sounds and lay out the room; what counts is the playing.
  await page.waitForTimeout(2_000);
  await slowed(page);
  const tasks = await tasksWhile(browser, page, () => page.waitForTimeout(10_000));
  await page.close();
  return { usable: median(opened), longest_task: tasks[0] };
}

/** Waits in the page from the next key to the frame after the map shows a text. */
function editTime(text) {
  return new Promise((done) => {
    let pressed;
    addEventListener("keydown", (event) => (pressed = event.timeStamp), { capture: true, once: true });
    const watcher = new MutationObserver(() => {
      if (pressed === undefined || !document.querySelector("#m-2").innerText.includes(text)) return;
      watcher.disconnect();
      requestAnimationFrame(() => setTimeout(() => done(performance.now() - pressed)));
    });
    watcher.observe(document.querySelector("#app"), { subtree: true, childList: true, characterData: true });
  });
}

async function edits(browser, measures) {
  const file = join(folder, `long-${measures}.json`);
  writeFileSync(file, program("cueleaf-bench", "guide", String(measures)));
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  await page.goto(BUILDER);
  await choose(page, file);
  await page.locator("#m-2").click();
  const field = page.locator("#fact-mark");
  await field.waitFor();
  const times = [];
  for (let round = 0; round < 7; round += 1) {
    const text = `Q${round}`;
    await field.fill(text);
    const time = page.evaluate(editTime, text);
    await field.press("Enter");
    times.push(await time);
    await page.waitForTimeout(500);
  }
  await page.close();
  return median(times);
}

/** Writes a score of four parts of eighth notes, large enough. */
function largeScore() {
  const parts = ["P1", "P2", "P3", "P4"];
  const note = (step) =>
    `<note><pitch><step>${step}</step><octave>4</octave></pitch><duration>1</duration><voice>1</voice><type>eighth</type></note>\n`;
  const measure = (number) =>
    `<measure number="${number}">${number === 1 ? "<attributes><divisions>2</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>" : ""}${[..."CDEFGABC"].map(note).join("")}</measure>\n`;
  const count = Math.ceil(LARGE_SCORE / parts.length / measure(100).length);
  const list = parts.map((id) => `<score-part id="${id}"><part-name>Part ${id}</part-name></score-part>`).join("");
  const music = Array.from({ length: count }, (_, index) => measure(index + 1)).join("");
  const text = `<?xml version="1.0"?><score-partwise version="4.0"><part-list>${list}</part-list>${parts
    .map((id) => `<part id="${id}">${music}</part>`)
    .join("")}</score-partwise>`;
  const file = join(folder, "large.musicxml");
  writeFileSync(file, text);
  return file;
}

async function opening(browser) {
  const file = largeScore();
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  await page.goto(BUILDER);
  await page.locator(hook("choose-file")).first().waitFor();
  let took = 0;
  const tasks = await tasksWhile(browser, page, async () => {
    const start = performance.now();
    await choose(page, file);
    await page.getByLabel("Part P1", { exact: true }).waitFor({ timeout: 60_000 });
    took = performance.now() - start;
  });
  await page.close();
  return { opened_megabytes: readFileSync(file).length / 1e6, opened: took, stood_still: tasks[0] };
}

const browser = await launchChromium();
try {
  const edit = {};
  for (const measures of [100, 1_000, 5_000]) edit[measures] = await edits(browser, measures);
  console.log(JSON.stringify({ ...(await guide(browser)), edit, ...(await opening(browser)) }));
} finally {
  await browser.close();
}
