// The builder's tab is killed a hundred times in the middle of edits: what was edited more than a
// second before is there again.

import assert from "node:assert/strict";
import { join, resolve } from "node:path";
import { after, test } from "node:test";
import { pathToFileURL } from "node:url";
import { choose, hook } from "./rig/builder.mjs";
import { launchChromium } from "./rig/chromium.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const BUILDER = pathToFileURL(join(ROOT, "dist/cueleaf.html")).href;
const GUIDE = join(ROOT, "examples/mail-boat-viola.json");
const KILLS = 100;

/** How old an edit must be to be kept, in milliseconds; and the longest a tab lives. */
const KEPT_AFTER = 1000;
const LIFE = 1800;

/** Numbers that look random and are the same on every run. */
function* numbers(seed) {
  for (let own = seed; ; ) {
    own = (own * 16807) % 2147483647;
    yield own / 2147483647;
  }
}

/** Opens the builder in a new tab, and the guide in it: from its file at first, then the one that
    is kept. Gives the mark at the third measure. */
async function open(context, kill) {
  const page = await context.newPage();
  await page.goto(BUILDER);
  if (kill === 0) await choose(page, GUIDE);
  else await page.locator(hook("kept-open")).first().click();
  await page.locator("#m-2").click();
  const field = page.locator("#fact-mark");
  await field.waitFor();
  return { page, field, mark: await field.inputValue() };
}

test(`a tab that is killed ${KILLS} times in the middle of edits loses nothing older than a second`, async () => {
  const browser = await launchChromium();
  after(() => browser.close());
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  const chance = numbers(20261125);
  const number = (mark) => (/^E\d+$/.test(mark) ? Number(mark.slice(1)) : 0);
  let edit = 0;
  let lost = 0;
  let due = 0;
  let newest = 0;
  for (let kill = 0; kill < KILLS; kill += 1) {
    const { page, field, mark } = await open(context, kill);
    const found = number(mark);
    assert.ok(found >= due, `kill ${kill}: ${found} is there, ${due} was due`);
    assert.ok(found <= edit, `kill ${kill}: ${found} was never written`);
    lost += edit - found;
    const life = chance.next().value * LIFE;
    const born = Date.now();
    const written = [];
    while (Date.now() - born < life) {
      edit += 1;
      await field.fill(`E${edit}`);
      await field.press("Enter");
      written.push([edit, Date.now()]);
      await page.waitForTimeout(20 + 60 * chance.next().value);
    }
    const gone = page.waitForEvent("crash");
    const session = await context.newCDPSession(page);
    const killed = Date.now();
    session.send("Page.crash").catch(() => {});
    await gone;
    await page.close();
    const old = written.filter(([, when]) => when < killed - KEPT_AFTER).map(([own]) => own);
    due = Math.max(found, ...old);
    newest = Math.max(newest, due);
  }
  // The proof is worth something only where edits were due, and where some were too young.
  assert.ok(newest > 200, `${newest} edits were due`);
  console.log(`${KILLS} kills, ${edit} edits, ${lost} of them too young to be kept`);
});
