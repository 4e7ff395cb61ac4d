// Who asks whom: every page that leaves, and the builder both ways, in three engines behind a proxy
// that refuses whatever is not on this machine. Pages on the disk read themselves and what lies
// beside them; served pages ask their own server for files that are there; nobody asks anyone else.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { existsSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { basename, join, resolve } from "node:path";
import { describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { hook } from "./rig/builder.mjs";
import { ENGINES, openIn } from "./rig/open.mjs";
import { serveFolder } from "./rig/serve.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const DIST = join(ROOT, "dist");
const GUIDE = join(ROOT, "examples/mail-boat-viola.json");
const SCORE = join(ROOT, "examples/mail-boat.musicxml");
const folder = temporaryFolder("requests");
const cueleaf = (...words) =>
  execFileSync(join(ROOT, "target/release/cueleaf"), words, { encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] });
const address = (path) => pathToFileURL(path).href;
const is = (selector) => Boolean(document.querySelector(selector));
const isLive = () => Boolean(window.cueleaf?.clicksInto);

/** Plays to the second count and stops. */
async function play(page) {
  await page.until(isLive);
  await page.click("#tab-play");
  await page.click("#play");
  await page.until(() => document.querySelector("#count").innerText.trim() === "2");
  await page.click("#play");
}

/** Drops a file on the builder; runs in the page. */
function dropped([base64, name]) {
  const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
  const transfer = new DataTransfer();
  transfer.items.add(new File([bytes], name));
  document.querySelector("#app").dispatchEvent(new DragEvent("drop", { dataTransfer: transfer, bubbles: true, cancelable: true }));
}

/** The builder's whole way: a part opened, a fact edited, the guide tried and handed out. */
async function build(page) {
  await page.until(is, hook("choose-file"));
  await page.evaluate(dropped, [readFileSync(SCORE).toString("base64"), basename(SCORE)]);
  await page.until(is, hook("toggle-part"));
  await page.click("#part-0");
  await page.click(hook("make-guide"));
  await page.until(is, "#m-2");
  await page.click("#m-2");
  await page.until(is, "#fact-mark");
  await page.click("#fact-mark");
  await page.press("Q");
  await page.press("Enter");
  await page.until(() => document.querySelector("#m-2").innerText.includes("Q"));
  await page.click(hook("room", "try-it"));
  await page.until(is, "#preview-frame");
  await page.click(hook("room", "hand-out"));
  // Weighing a page makes it; in Chromium it is taken from the download, too.
  await page.until(() => /\d+ kB/.test(document.querySelector("#files").innerText));
  if (page.engine === "chromium") {
    for (const button of [hook("hand-out"), "#hand-file-overview", "#hand-file-midi", "#hand-file-captions"]) {
      const [download] = await Promise.all([page.page.waitForEvent("download"), page.page.locator(button).first().click()]);
      await download.path();
    }
  }
}

/** Puts a page around the very lines that the builder offers, its file beside it. */
function framed() {
  const own = temporaryFolder("requests-frame");
  cueleaf("export", GUIDE, "-o", join(own, "The-Mail-Boat-Sets-Out-Viola.html"));
  const lines = '<iframe src="The-Mail-Boat-Sets-Out-Viola.html" title="Guide" width="400" height="720" sandbox="allow-scripts"></iframe>';
  const page = join(own, "class.html");
  writeFileSync(
    page,
    `<!doctype html><html lang="en"><meta charset="utf-8"><title>Class</title><link rel="icon" href="data:,">${lines}
<script>
  const frame = document.querySelector("iframe");
  const ask = () => {
    if (window.told) return;
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => {
      window.told = data.kind;
      port1.postMessage({ kind: "go-to", measure: "12" });
    };
    frame.contentWindow.postMessage({ cueleaf: "connect" }, "*", [port2]);
    setTimeout(ask, 300);
  };
  frame.onload = ask;
</script></html>`,
  );
  return { url: address(page), beside: [address(join(own, "The-Mail-Boat-Sets-Out-Viola.html"))] };
}

/** Hands out a class of two: a list and its guides. */
function handedOut() {
  const guides = temporaryFolder("requests-guides");
  const own = join(folder, "class");
  for (const name of ["mail-boat-viola", "mail-boat-cello"]) {
    writeFileSync(join(guides, `${name}.json`), readFileSync(join(ROOT, `examples/${name}.json`)));
  }
  cueleaf("export", "--all", guides, "-o", own);
  const files = readdirSync(own).filter((name) => name !== "index.html");
  assert.equal(files.length, 2);
  return { url: address(join(own, "index.html")), beside: files.map((name) => address(join(own, name))) };
}

const exported = join(folder, "guide.html");
cueleaf("export", GUIDE, "-o", exported);
const overview = join(folder, "overview.html");
cueleaf("overview", GUIDE, "-o", overview);
const list = handedOut();
const FRAGMENT = cueleaf("link", GUIDE).trim();

/** What is opened, what lies beside it, what is done in it; served pages with their server. */
const PAGES = {
  "the guide as a file": { url: address(exported), go: play },
  "the guide in the frame of a class page": {
    ...framed(),
    go: (page) => page.until(() => window.told === "at"),
  },
  "the list of a class and its links": {
    ...list,
    async go(page) {
      for (const index of [1, 2]) {
        await page.goto(list.url);
        await page.click(`li:nth-child(${index}) a, ul:nth-of-type(${index}) a`);
        await play(page);
      }
    },
  },
  "the overview on paper": { url: address(overview), go: (page) => page.until(is, ".qr, header") },
  "the builder as one file": { url: address(join(DIST, "cueleaf.html")), wide: true, go: build },
  "a link on play.html": { served: `play.html#${FRAGMENT}`, go: play },
  "play.html without a link": { served: "play.html", go: (page) => page.until(is, "#trouble-with-link") },
  "the builder on a server": { served: "index.html", wide: true, go: build },
};

// WebKit does not know a directive of Content Security Policy Level 3 that Chromium needs for the
// manifest of the served builder; it says so and goes on.
const KNOWN = ["Unrecognized Content-Security-Policy directive 'manifest-src'."];

for (const engine of ENGINES) {
  describe(engine, () => {
    for (const [name, { url, served, wide, beside = [], go }] of Object.entries(PAGES)) {
      test(name, async () => {
        const server = served === undefined ? undefined : await serveFolder(DIST, "/copy/");
        const size = wide ? { size: { width: 1280, height: 800 } } : {};
        const page = await openIn(engine, server ? `${server.address}${served}` : url, size);
        try {
          await go(page);
          await page.staysQuiet({ beside, known: engine === "webkit" && server ? KNOWN : [] });
          const missing = (path) => !path.startsWith("/copy/") || !existsSync(join(DIST, path.slice("/copy/".length)));
          assert.deepEqual((server?.asked ?? []).filter(missing), []);
        } finally {
          await page.close();
          server?.close();
        }
      });
    }
  });
}
