// The served builder as an app: its manifest by the letter, offline after the first visit, and a
// newer build on the server that takes over at the next start: never the files of two builds in
// one page, the guide unharmed, the older files thrown away. In Chromium.

import assert from "node:assert/strict";
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { PNG } from "pngjs";
import { hook } from "./rig/builder.mjs";
import { launchChromium, watch } from "./rig/chromium.mjs";
import { serveFolder } from "./rig/serve.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const DIST = join(ROOT, "dist");

/** Writes a build that tells its name in its page, its script, its style and its module. */
function build(folder, name) {
  mkdirSync(folder, { recursive: true });
  // A section of its own kind is skipped by every engine: kind 0, its size, its name.
  const section = Buffer.concat([Buffer.from([0, name.length + 1, name.length]), Buffer.from(name)]);
  const entries = readdirSync(DIST, { withFileTypes: true }).filter((entry) => entry.isFile());
  for (const { name: file } of entries) {
    const bytes = readFileSync(join(DIST, file));
    const text = () => bytes.toString("utf8");
    const changed = {
      "index.html": () => text().replace("<body>", `<body data-build="${name}">`),
      "builder.js": () => `${text()}\nglobalThis.buildOfScript = "${name}";\n`,
      "builder.css": () => `${text()}\n:root{--build:${name}}\n`,
      "builder.wasm": () => Buffer.concat([bytes, section]),
      "sw.js": () => text().replace(/BUILD = `\$\{OURS\}[0-9a-f]+`/, `BUILD = \`\${OURS}${name}\``),
    }[file];
    writeFileSync(join(folder, file), changed ? changed() : bytes);
  }
  return folder;
}

describe("the builder as an app", () => {
  let browser;
  let folder;
  before(async () => {
    browser = await launchChromium();
    folder = temporaryFolder("install");
  });
  after(() => browser?.close());

  /** Tells of which build the page is, in all its files. */
  const builds = (page) =>
    page.evaluate(async () => {
      const bytes = await (await fetch("builder.wasm")).arrayBuffer();
      const module = await WebAssembly.compile(bytes);
      const names = ["older", "newer"].filter((name) => WebAssembly.Module.customSections(module, name).length > 0);
      const style = getComputedStyle(document.documentElement).getPropertyValue("--build").trim();
      return [document.body.dataset.build, globalThis.buildOfScript, style, ...names];
    });
  const waiting = (page) =>
    page.waitForFunction(async () => (await navigator.serviceWorker.getRegistration()).waiting !== null);
  const kept = (page) => page.waitForFunction(() => document.getElementById("kept")?.innerText.includes("Kept"));

  test("the manifest says what is there, and the icons have the sizes that it tells", async () => {
    const server = await serveFolder(DIST, "/copy/");
    const page = await browser.newPage();
    await page.goto(`${server.address}index.html`);
    const address = await page.locator('link[rel="manifest"]').evaluate((own) => own.href);
    const answer = await page.request.get(address);
    assert.equal(answer.headers()["content-type"], "application/manifest+json");
    const manifest = await answer.json();
    assert.ok(manifest.name && manifest.short_name.length <= 12 && manifest.description);
    assert.equal(manifest.display, "standalone");
    const start = new URL(manifest.start_url, address);
    assert.ok(start.href.startsWith(new URL(manifest.scope, address).href));
    assert.equal((await page.request.get(start.href)).status(), 200);
    assert.equal(new URL(manifest.id, start.origin).origin, start.origin);
    const sizes = [];
    for (const icon of manifest.icons) {
      const own = await page.request.get(new URL(icon.src, address).href);
      assert.equal(own.status(), 200, icon.src);
      assert.equal(own.headers()["content-type"], icon.type);
      const bytes = await own.body();
      if (icon.type === "image/png") {
        const { width, height } = PNG.sync.read(bytes);
        assert.equal(icon.sizes, `${width}x${height}`, icon.src);
      } else {
        const [, box] = /viewBox="0 0 (\d+ \d+)"/.exec(bytes.toString("utf8"));
        assert.equal(new Set(box.split(" ")).size, 1, "as wide as high");
        assert.equal(icon.sizes, "any");
      }
      sizes.push(icon.sizes);
    }
    assert.deepEqual(sizes, ["any", "192x192", "512x512"]);
    const touch = await page.locator('link[rel="apple-touch-icon"]').evaluate((own) => own.href);
    const { width, height } = PNG.sync.read(await (await page.request.get(touch)).body());
    assert.deepEqual([width, height], [180, 180]);
    // What the browser itself says of it.
    const devtools = await page.context().newCDPSession(page);
    const { errors, url } = await devtools.send("Page.getAppManifest");
    assert.deepEqual(errors, []);
    assert.equal(url, address);
    const { installabilityErrors } = await devtools.send("Page.getInstallabilityErrors");
    const told = installabilityErrors.map((own) => own.errorId).filter((own) => own !== "in-incognito");
    assert.deepEqual(told, []);
    await page.close();
    server.close();
  });

  test("after the first visit it works without network, and keeps what is made", async () => {
    const server = await serveFolder(DIST, "/copy/");
    const context = await browser.newContext();
    const page = await context.newPage();
    const seen = watch(page);
    await page.goto(server.address);
    await page.evaluate(() => navigator.serviceWorker.ready);
    server.close();
    await context.setOffline(true);
    await page.reload();
    assert.ok(await page.evaluate(() => navigator.serviceWorker.controller !== null));
    await page.locator(hook("example")).first().click();
    await page.locator(hook("measure")).first().click();
    await page.locator("#fact-section").fill("Without network");
    await page.keyboard.press("Enter");
    await kept(page);
    await page.reload();
    await page.locator(hook("kept-open")).first().click();
    await page.locator("#map").getByText("Without network").first().waitFor();
    await page.locator(hook("room", "hand-out")).click();
    await Promise.all([page.waitForEvent("download"), page.locator(hook("hand-out")).first().click()]);
    assert.deepEqual(seen.complaints.filter((own) => !/ERR_|Failed to load/.test(own)), []);
    await context.close();
  });

  test("a newer build takes over at the next start, whole, and harms no guide", async () => {
    const older = build(join(folder, "older"), "older");
    const newer = build(join(folder, "newer"), "newer");
    // Half of a newer build is on the server, as while somebody copies it there.
    const half = build(join(folder, "half"), "half");
    rmSync(join(half, "builder.wasm"));
    const server = await serveFolder(older, "/copy/");
    const context = await browser.newContext();
    let page = await context.newPage();
    await page.goto(server.address);
    await page.evaluate(() => navigator.serviceWorker.ready);
    await page.reload();
    const all = (name) => [name, name, name, name];
    assert.deepEqual(await builds(page), all("older"));
    await page.locator(hook("example")).first().click();
    await page.locator(hook("measure")).first().click();
    await page.locator("#fact-section").fill("Before the update");
    await page.keyboard.press("Enter");
    await kept(page);

    server.turnTo(half);
    const told = await page.evaluate(async () => {
      const registration = await navigator.serviceWorker.getRegistration();
      await registration.update().catch(() => {});
      const installing = registration.installing;
      if (installing) await new Promise((done) => installing.addEventListener("statechange", () => installing.state === "redundant" && done()));
      return registration.waiting === null;
    });
    assert.ok(told, "half a build is no build");
    await page.reload();
    assert.deepEqual(await builds(page), all("older"));

    server.turnTo(newer);
    await page.locator(hook("kept-open")).first().click();
    await page.locator(hook("measure")).first().click();
    await page.evaluate(async () => (await navigator.serviceWorker.getRegistration()).update());
    await waiting(page);
    // The open guide goes on, in this tab and in a second one, with the older files.
    await page.locator("#fact-section").fill("During the update");
    await page.keyboard.press("Enter");
    await kept(page);
    assert.deepEqual(await builds(page), all("older"));
    const second = await context.newPage();
    await second.goto(server.address);
    assert.deepEqual(await builds(second), all("older"));
    await second.close();
    await page.reload();
    assert.deepEqual(await builds(page), all("older"));

    // The next start, with no page of the older open.
    await page.close();
    page = await context.newPage();
    await page.waitForTimeout(500);
    await page.goto(server.address);
    assert.deepEqual(await builds(page), all("newer"));
    await page.waitForFunction(async () => (await caches.keys()).length === 1);
    assert.deepEqual(await page.evaluate(() => caches.keys()), ["cueleaf /copy/ newer"]);
    await page.locator(hook("kept-open")).first().click();
    await page.locator("#map").getByText("During the update").first().waitFor();
    server.close();
    await context.setOffline(true);
    await page.reload();
    assert.deepEqual(await builds(page), all("newer"));
    await context.close();
  });
});
