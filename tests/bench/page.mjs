// Times the pages in Chromium; one line of JSON, in milliseconds.
//
//   node tests/bench/page.mjs
//
// Needs the built pages in dist/ and the programs cueleaf and cueleaf-bench. Each number is the
// median of a few tries, beside which stands the worst of them; the longest task is the longest of
// all.

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
/** How long the guide plays while its tasks are looked at, in milliseconds, and how often from the
    same measure on. */
const PLAYED = 20_000;
const ROUNDS = 5;
const folder = temporaryFolder("bench");

const program = (name, ...words) =>
  execFileSync(join(ROOT, "target/release", name), words, { maxBuffer: 1e9, stdio: ["ignore", "pipe", "ignore"] });

const worst = (numbers) => Math.max(...numbers);

const median = (numbers) => numbers.toSorted((a, b) => a - b)[Math.floor(numbers.length / 2)];

/** Slows the processor for a page. */
async function slowed(page) {
  const session = await page.context().newCDPSession(page);
  await session.send("Emulation.setCPUThrottlingRate", { rate: SLOW });
}

/**
 * Gives what the main threads of the pages did while something happened: events, and tasks with
 * when they began and how long they took, in milliseconds. It is the time in which the thread had
 * a processor: what else runs on the machine does not count.
 */
async function traced(browser, page, act) {
  await browser.startTracing(page, {
    categories: ["toplevel", "devtools.timeline", "disabled-by-default-devtools.timeline", "blink.user_timing"],
  });
  await act();
  const { traceEvents } = JSON.parse(await browser.stopTracing());
  const mains = traceEvents
    .filter((event) => event.name === "thread_name" && event.args.name === "CrRendererMain")
    .map((event) => `${event.pid}/${event.tid}`);
  const events = traceEvents.filter((event) => mains.includes(`${event.pid}/${event.tid}`));
  const tasks = events
    .filter((event) => /RunTask$/.test(event.name))
    .map(({ ts, dur = 0, tdur = dur }) => ({ at: ts / 1000, ends: (ts + dur) / 1000, took: tdur / 1000 }));
  return { events, tasks };
}

const longest = (tasks) => Math.max(0, ...tasks.map(({ took }) => took));

/** Gives how long the longest task took while something happened. */
const longestWhile = async (browser, page, act) => longest((await traced(browser, page, act)).tasks);

/** How long after a key all is drawn that is drawn at once, in milliseconds. */
const AT_ONCE = 150;

/**
 * Presses a key a few times; gives the median of the longest task of the pages until all is drawn,
 * and of the longest one afterwards, when the edit is kept and the preview learns what it plays.
 */
async function tasksOfKey(browser, page, prepare, key) {
  const { events, tasks } = await traced(browser, page, async () => {
    for (let round = 0; round < 5; round += 1) {
      await prepare(round);
      await page.waitForTimeout(900);
      await page.keyboard.press(key);
      await page.waitForTimeout(1_200);
    }
  });
  const keys = events.filter(({ name, args }) => name === "EventDispatch" && args?.data?.type === "keydown");
  const between = (from, to) => longest(tasks.filter(({ at, took }) => at + took > from && at < to));
  const pressed = keys.map((event) => event.ts / 1000);
  return {
    atOnce: median(pressed.map((at) => between(at, at + AT_ONCE))),
    resting: median(pressed.map((at) => between(at + AT_ONCE, at + 1_000))),
  };
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

/** Runs in the page: marks each frame by what it changes, and where. */
function markFrames() {
  const named = (node) => node.id || named(node.parentNode);
  const text = (id) => document.getElementById(id).textContent;
  new MutationObserver((changes) => {
    const what = changes.map(({ type, target }) => `${type} ${named(target)}`).join(", ");
    performance.mark(`frame: ${text("where")}, ${text("count")}: ${what}`);
  }).observe(document.querySelector(".stage"), {
    subtree: true,
    childList: true,
    attributes: true,
    characterData: true,
  });
}

/**
 * Plays from the same measure a few times. Gives the longest task of all, the part of the frames that
 * took longer than 16 ms, and of the costliest frame the median of its rounds, which says what it
 * costs: what the machine did besides in one of them does not count.
 */
async function framesOf(browser, page) {
  await page.evaluate(markFrames);
  const all = [];
  const rounds = new Map();
  for (let round = 0; round < ROUNDS; round += 1) {
    const { events, tasks } = await traced(browser, page, () => page.waitForTimeout(PLAYED));
    all.push(...tasks);
    const frames = new Map();
    for (const { name, ts } of events.filter((event) => event.name.startsWith("frame: "))) {
      const task = tasks.find(({ at, ends }) => at <= ts / 1000 && ts / 1000 <= ends);
      if (task) frames.set(name, task.took);
    }
    for (const [name, took] of frames) rounds.set(name, [...(rounds.get(name) ?? []), took]);
    // Once more from the measure where it began.
    for (const tap of ["stop", "play"]) {
      await page.locator("#play").tap();
      await page.waitForTimeout(tap === "stop" ? 500 : 2_000);
    }
  }
  const known = [...rounds.values()].filter((took) => took.length > ROUNDS / 2);
  const took = known.flat();
  return {
    longest_task: longest(all),
    costliest: worst(known.map(median)),
    frames: known.length,
    above: (100 * took.filter((own) => own > 16).length) / took.length,
  };
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
  // As on a phone: a finger rests nowhere, where a pointer would be looked for in each frame.
  const page = await browser.newPage({ viewport: { width: 360, height: 640 }, hasTouch: true });
  await page.goto(pathToFileURL(file).href);
  await page.locator("#tab-play").tap();
  await page.locator("#play").tap();
  // The first seconds make the sounds and lay out the room; what counts is the playing.
  await page.waitForTimeout(2_000);
  const plain = await longestWhile(browser, page, () => page.waitForTimeout(PLAYED));
  await slowed(page);
  const frames = await framesOf(browser, page);
  const slowing = await slowedBy(browser, page);
  await page.close();
  return { usable: median(opened), ...frames, longest_plain: plain, slowing };
}

/**
 * Gives how many times as long as without it a piece of work takes in a slowed page: the browser
 * slows in steps, and what it does for it counts, too.
 */
async function slowedBy(browser, page) {
  const session = await page.context().newCDPSession(page);
  const took = async (rate) => {
    await session.send("Emulation.setCPUThrottlingRate", { rate });
    const { tasks } = await traced(browser, page, async () => {
      for (let round = 0; round < 9; round += 1) {
        await page.evaluate(() => setTimeout(window.worked));
        await page.waitForTimeout(100);
      }
    });
    return median(tasks.map((task) => task.took).toSorted((a, b) => b - a).slice(0, 9));
  };
  await page.locator("#play").tap();
  await page.evaluate(() => {
    window.worked = () => {
      let sum = 0;
      for (let step = 0; step < 3_000_000; step += 1) sum = (sum * 31 + step) | 0;
      window.sum = sum;
    };
  });
  const [plain, slow] = [await took(1), await took(SLOW)];
  return slow / plain;
}

/**
 * Notes in the page when the next key is pressed, when the page holds what it did, which is once
 * something matching `sign` changed and holds the text, and when it is seen: the frame after that,
 * drawn. All on the clock that frames share.
 */
function watchKey({ sign, text }) {
  window.told = undefined;
  const now = () => performance.timeOrigin + performance.now();
  const holds = () => {
    const element = document.querySelector(sign);
    return (element?.value ?? element?.textContent ?? "").includes(text);
  };
  let pressed;
  addEventListener("keydown", (event) => (pressed = performance.timeOrigin + event.timeStamp), {
    capture: true,
    once: true,
  });
  const look = () => {
    if (pressed === undefined || !holds()) return;
    watcher.disconnect();
    removeEventListener("input", afterInput);
    const held = now();
    requestAnimationFrame(() => setTimeout(() => (window.told = { pressed, held, seen: now() })));
  };
  // What is typed stands in its field at once; the page has taken it in after the listeners.
  const afterInput = () => queueMicrotask(look);
  const watcher = new MutationObserver(look);
  watcher.observe(document.querySelector("#app"), { subtree: true, childList: true, characterData: true });
  addEventListener("input", afterInput);
}

/** Notes in the preview when it holds what comes next, and when that is seen. */
function watchPreview() {
  window.told = undefined;
  const now = () => performance.timeOrigin + performance.now();
  const watcher = new MutationObserver(() => {
    watcher.disconnect();
    const held = now();
    requestAnimationFrame(() => setTimeout(() => (window.told = { held, seen: now() })));
  });
  watcher.observe(document.body, { subtree: true, childList: true, characterData: true });
}

const told = async (frame) => {
  await frame.waitForFunction(() => window.told !== undefined);
  return frame.evaluate(() => window.told);
};

/** How often a key is pressed. */
const PRESSES = 9;

/** Presses a key a few times; gives for the page and the preview the milliseconds until then. */
async function pressed(page, prepare, sign, key, preview) {
  const times = { held: [], seen: [], previewHeld: [], previewSeen: [] };
  for (let round = 0; round < PRESSES; round += 1) {
    const text = await prepare(round);
    // Keeping the edit before is no part of this one.
    await page.waitForTimeout(900);
    await page.evaluate(watchKey, { sign, text });
    await preview?.evaluate(watchPreview);
    await page.keyboard.press(key);
    const { pressed, held, seen } = await told(page);
    times.held.push(held - pressed);
    times.seen.push(seen - pressed);
    if (!preview) continue;
    const there = await told(preview);
    times.previewHeld.push(there.held - pressed);
    times.previewSeen.push(there.seen - pressed);
  }
  return times;
}

/** Gives under a name the median and the worst of the times until something is held, and seen. */
const numbers = (name, held, seen) => ({
  [`${name}_held`]: median(held),
  [`${name}_held_worst`]: worst(held),
  [name]: median(seen),
  [`${name}_worst`]: worst(seen),
});

/** Times edits in a guide of so many measures: a fact, the same with the preview, a tip, the notes. */
async function edits(browser, measures) {
  const file = join(folder, `long-${measures}.json`);
  writeFileSync(file, program("cueleaf-bench", "guide", String(measures)));
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  await page.goto(BUILDER);
  await choose(page, file);
  await page.locator("#m-2").click();
  const words = page.locator("#fact-tempo-words");
  await words.waitFor();
  const marked = async (round) => {
    await words.fill(`Way ${round}`);
    return `Way ${round}`;
  };
  const cells = await pressed(page, marked, "#m-2", "Enter");

  await page.locator("#beside").click();
  await page.locator("#try-tools-in", { hasNotText: "Loading" }).waitFor();
  const preview = page.frames().find((frame) => frame !== page.mainFrame());
  await preview.waitForFunction(() => document.documentElement.classList.contains("live"));
  const both = await pressed(page, (round) => marked(round + 100), "#m-2", "Enter", preview);
  // When something is drawn depends on when the next frame is due; how long it takes does not.
  const tasks = await tasksOfKey(browser, page, (round) => marked(round + 200), "Enter");
  await page.locator("#beside").click();

  await page.locator("#add-tip").click();
  const tip = page.locator("[data-do=tip-text]");
  await tip.fill("Near the frog");
  const tipped = await pressed(page, async () => `${await tip.inputValue()}s`, "[data-do=tip-text]", "s");

  await page.locator("#as-notes").click();
  const notes = page.locator("#notes");
  await notes.fill(`${await notes.inputValue()}\n(mine: ask about the mutes)`);
  await notes.press("End");
  // The field shows the letter by itself: what counts is that the page has taken it in.
  const noted = await pressed(page, async () => "", "#notes", "z");
  // What follows the typing, once it rests.
  const rests = await longestWhile(browser, page, async () => {
    await page.keyboard.press("z");
    await page.waitForTimeout(1_500);
  });
  await page.close();
  return {
    ...numbers("cells", cells.held, cells.seen),
    ...numbers("cells_beside", both.held, both.seen),
    ...numbers("preview", both.previewHeld, both.previewSeen),
    ...numbers("tip", tipped.held, tipped.seen),
    ...numbers("notes", noted.held, noted.seen),
    notes_follow: rests,
    task: tasks.atOnce,
    task_resting: tasks.resting,
  };
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
  const part = page.getByLabel("Part P1", { exact: true });
  const reading = await longestWhile(browser, page, async () => {
    const start = performance.now();
    await choose(page, file);
    await part.waitFor({ timeout: 60_000 });
    took = performance.now() - start;
  });
  await part.check();
  const making = await longestWhile(browser, page, async () => {
    await page.locator(hook("make-guide")).click();
    await page.waitForFunction(() => {
      const lines = [...document.querySelectorAll(".map-line")];
      return lines.length > 0 && lines.every((line) => line.hasChildNodes());
    });
  });
  await page.close();
  return {
    opened_megabytes: readFileSync(file).length / 1e6,
    opened: took,
    stood_still: reading,
    made: making,
  };
}

const browser = await launchChromium();
try {
  const edit = {};
  for (const measures of [100, 1_000, 5_000]) edit[measures] = await edits(browser, measures);
  console.log(JSON.stringify({ ...(await guide(browser)), edit, ...(await opening(browser)) }));
} finally {
  await browser.close();
}
