// One facade for three engines: enough for "the exported page opens and plays over file://".
//
//   const page = await openIn("firefox", fileUrl);
//   await page.click("#play");
//   await page.until(() => document.querySelector("#count").innerText === "2");
//   await page.staysQuiet();     // no console error or warning, no request
//   await page.close();
//
// A page has: engine, click(selector), text(selector), evaluate(fn, …values), press(key),
// goto(url), until(fn, …values), screenshot(), complaints(), messages(), requests(),
// staysQuiet(), close(). Functions run in the page; values and results travel as JSON.
// A Chromium page also has `page`, playwright's own.

import assert from "node:assert/strict";
import { openChromium } from "./chromium.mjs";
import { openFirefox } from "./firefox.mjs";
import { openGate } from "./gate.mjs";
import { until, within } from "./surroundings.mjs";
import { openWebKit } from "./webkit.mjs";

const OPENERS = { chromium: openChromium, firefox: openFirefox, webkit: openWebKit };

/** The engines in which an exported page must work. */
export const ENGINES = Object.keys(OPENERS);

/** The size of a small phone, in CSS pixels. */
export const PHONE = { width: 360, height: 640 };

/** How long a browser may take to start and to open a page, in milliseconds. */
const OPENING = 90_000;

/** Opens an address in an engine with a new profile. */
export async function openIn(engine, url, { size = PHONE } = {}) {
  const gate = await openGate();
  const opening = OPENERS[engine](url, { size, gate });
  const page = await within(OPENING, `${engine} opening ${url}`, opening);
  const { protocol, origin } = new URL(url);
  // A served page may ask its own server; a file may ask nobody.
  const isForeign = (address) =>
    !/^(file|data|blob|about):/.test(address) &&
    !(protocol.startsWith("http") && address.startsWith(`${origin}/`));
  return {
    ...page,
    until: (fn, ...values) => until(`${fn}`, () => page.evaluate(fn, ...values)),
    /** Fails when the page complained in the console or wanted anything from anywhere, but for
        the files beside it that it may read, and known complaints of the engine itself. */
    async staysQuiet({ beside = [], known = [] } = {}) {
      const complaints = (await page.complaints()).filter((text) => !known.includes(text));
      assert.deepEqual(complaints, [], `${engine}: console`);
      const asked = await page.requests();
      assert.deepEqual(asked.filter(isForeign), [], `${engine}: requests`);
      // The page itself is one file; whatever else it would read from the disk is one too many.
      const files = asked.filter((address) => address.startsWith("file:"));
      assert.deepEqual(
        files.map((address) => address.split("#")[0]).filter((address) => ![url.split("#")[0], ...beside].includes(address)),
        [],
        `${engine}: other files`,
      );
      assert.deepEqual(gate.requests.filter(isOfPage), [], `${engine}: asked through the proxy`);
    },
    gate: gate.requests,
    async close() {
      await page.close();
      gate.close();
    },
  };
}

// A browser's own services are no matter of the page.
function isOfPage(request) {
  return !/mozilla\.(com|net|org)|google(apis)?\.com|gvt1\.com/.test(request);
}
