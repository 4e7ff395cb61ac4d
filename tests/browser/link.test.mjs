// Links: play.html over http in three engines, with a guide in its address, with a damaged one,
// without one; its file; later visits without network; a link opened in the builder; QR codes read
// back from a turned picture of the size of the print by two decoders that know nothing of each
// other: jsQR, and zxing-cpp as WebAssembly.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import jsQR from "jsqr";
import { PNG } from "pngjs";
import { prepareZXingModule, readBarcodes } from "zxing-wasm/reader";
import { hook } from "./rig/builder.mjs";
import { launchChromium, watch } from "./rig/chromium.mjs";
import { ENGINES, openIn } from "./rig/open.mjs";
import { serveFolder } from "./rig/serve.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const COMMAND = join(ROOT, "target/release/cueleaf");
const DIST = join(ROOT, "dist");
const GUIDE = join(ROOT, "examples/mail-boat-viola.json");
const folder = temporaryFolder("links");
const cueleaf = (...words) => execFileSync(COMMAND, words, { encoding: "utf8" }).trim();
const FRAGMENT = cueleaf("link", GUIDE);
const TITLE = "The Mail Boat Sets Out";

for (const engine of ENGINES) {
  describe(engine, () => {
    let server;
    let page;
    before(async () => {
      server = await serveFolder(DIST, "/copy/");
      page = await openIn(engine, `${server.address}play.html#${FRAGMENT}`);
    });
    after(async () => {
      await page?.close();
      server?.close();
    });

    test("a link shows its guide and plays it", async () => {
      await page.until(() => Boolean(window.cueleaf?.clicksInto));
      const text = await page.evaluate(() => document.body.innerText);
      for (const expected of [TITLE, "Round the island", "Keep this guide"]) {
        assert.ok(text.includes(expected), expected);
      }
      await page.click("#tab-play");
      await page.click("#play");
      await page.until(() => document.querySelector("#count").innerText.trim() === "2");
      await page.click("#play");
    });

    test("a damaged link, an empty and a newer one say so", async () => {
      for (const [fragment, words] of [
        [`${FRAGMENT.slice(0, 400)}x${FRAGMENT.slice(401)}`, "damaged"],
        [FRAGMENT.slice(0, 700), "damaged"],
        ["", "carries no guide"],
        ["bAAAA", "newer Cueleaf"],
        ["?<script>alert(1)</script>", "is no guide"],
      ]) {
        await page.goto("about:blank");
        await page.goto(`${server.address}play.html#${fragment}`);
        await page.until(() => document.querySelector("#trouble-with-link") !== null);
        const text = await page.text("main");
        assert.ok(text.includes("This link does not open") && text.includes(words), text);
        assert.ok(!(await page.text("body")).includes("Keep this guide"));
        assert.deepEqual(await page.complaints(), []);
      }
    });
  });
}

describe("in Chromium", () => {
  let browser;
  let server;
  before(async () => {
    browser = await launchChromium();
    server = await serveFolder(DIST, "/copy/");
  });
  after(async () => {
    await browser?.close();
    server?.close();
  });

  test("the file that is saved is the guide, and opens", async () => {
    const page = await browser.newPage();
    await page.goto(`${server.address}play.html#${FRAGMENT}`);
    const [download] = await Promise.all([page.waitForEvent("download"), page.click("#save")]);
    assert.equal(download.suggestedFilename(), "The-Mail-Boat-Sets-Out-Viola.html");
    const file = join(folder, "saved.html");
    await download.saveAs(file);
    const exported = join(folder, "exported.html");
    cueleaf("export", GUIDE, "-o", exported);
    assert.equal(readFileSync(file, "utf8"), readFileSync(exported, "utf8"));
    await page.close();
  });

  test("another link in the same tab shows another guide", async () => {
    const page = await browser.newPage();
    await page.goto(`${server.address}play.html#${FRAGMENT}`);
    await page.getByText("You have three jobs here").waitFor();
    const other = cueleaf("link", join(ROOT, "examples/mail-boat-cello.json"));
    await page.evaluate((hash) => void (location.hash = hash), other);
    await page.getByText("Cello", { exact: true }).first().waitFor();
    await page.close();
  });

  test("hostile text in a link stays text", async () => {
    const evil = `</script><script>window.hit=1</script><img src=x onerror="window.hit=2">`;
    const guide = JSON.parse(readFileSync(GUIDE, "utf8"));
    guide.title = evil;
    guide.word = evil;
    for (const tip of guide.tips) tip.text = tip.cue = evil;
    for (const measure of guide.road_map.measures) measure.section = evil;
    const path = join(folder, "evil.json");
    writeFileSync(path, JSON.stringify(guide));
    const page = await browser.newPage();
    const seen = watch(page);
    await page.goto(`${server.address}play.html#${cueleaf("link", path)}`);
    await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
    await page.click("#tab-play");
    assert.equal(await page.evaluate(() => window.hit), undefined);
    assert.equal(await page.locator("img").count(), 0);
    assert.ok((await page.innerText("body")).includes("onerror"));
    assert.deepEqual(seen.complaints, []);
    await page.close();
  });

  test("after one visit both pages open without network", async () => {
    const context = await browser.newContext();
    const page = await context.newPage();
    const own = await serveFolder(DIST, "/copy/");
    await page.goto(`${own.address}play.html#${FRAGMENT}`);
    await page.evaluate(() => navigator.serviceWorker.ready);
    own.close();
    await context.setOffline(true);
    for (const path of [`play.html#${FRAGMENT}`, `play.html?from=mail#${FRAGMENT}`]) {
      await page.goto("about:blank");
      await page.goto(`${own.address}${path}`);
      await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
    }
    for (const path of ["", "index.html"]) {
      await page.goto(`${own.address}${path}`);
      await page.locator(hook("choose-file")).first().waitFor();
    }
    await context.close();
  });

  test("a newer build waits for the last page of the older, then replaces it", async () => {
    const newer = join(folder, "newer");
    mkdirSync(newer, { recursive: true });
    const entries = readdirSync(DIST, { withFileTypes: true }).filter((entry) => entry.isFile());
    for (const { name } of entries) {
      const file = readFileSync(join(DIST, name));
      const text = file.toString("utf8");
      if (name === "sw.js") writeFileSync(join(newer, name), text.replace(/BUILD = `\$\{OURS\}[0-9a-f]+`/, "BUILD = `${OURS}newer`"));
      else if (name === "play.html") writeFileSync(join(newer, name), text.replace("<body>", `<body data-build="newer">`));
      else writeFileSync(join(newer, name), file);
    }
    const own = await serveFolder(DIST, "/copy/");
    const context = await browser.newContext();
    const page = await context.newPage();
    const address = `${own.address}play.html`;
    await page.goto(address);
    await page.evaluate(() => navigator.serviceWorker.ready);
    await page.reload();
    own.turnTo(newer);
    await page.evaluate(async () => (await navigator.serviceWorker.getRegistration()).update());
    await page.waitForFunction(async () => (await navigator.serviceWorker.getRegistration()).waiting !== null);
    const names = () => page.evaluate(() => caches.keys());
    assert.equal((await names()).length, 2);
    const build = () => page.evaluate(() => document.body.dataset.build);
    // A page of the older build goes on with the older files, also when it is loaded again.
    await page.reload();
    assert.equal(await build(), undefined);
    await page.goto("about:blank");
    await page.waitForTimeout(500);
    await page.goto(address);
    assert.equal(await build(), "newer");
    await page.waitForFunction(async () => (await caches.keys()).length === 1);
    assert.deepEqual(await names(), ["cueleaf /copy/ newer"]);
    await context.close();
    own.close();
  });

  test("the builder makes a link, copies it, and opens it as a new guide", async () => {
    const context = await browser.newContext();
    await context.grantPermissions(["clipboard-read", "clipboard-write"], { origin: new URL(server.address).origin });
    const page = await context.newPage();
    const seen = watch(page);
    await page.goto(`${server.address}index.html#${FRAGMENT}`);
    await page.locator(hook("room", "hand-out")).click();
    assert.equal(new URL(page.url()).hash, "");
    await page.locator(hook("link-make")).first().click();
    await page.getByText("A link needs the address").waitFor();
    await page.fill("#link-address", `https://music.school.example/copy/`);
    await page.keyboard.press("Tab");
    await page.locator(hook("link-make")).first().click();
    await page.locator("#link-text").waitFor();
    await page.click("#link-copy");
    await page.getByText("Copied.").waitFor();
    const copied = await page.evaluate(() => navigator.clipboard.readText());
    const [address, fragment] = copied.split("#");
    assert.equal(address, "https://music.school.example/copy/play.html");
    // The command makes the same link of the same guide, to the letter: native and wasm agree.
    const [saved] = await Promise.all([page.waitForEvent("download"), page.click("#download-saved")]);
    const json = join(folder, "saved.json");
    await saved.saveAs(json);
    assert.equal(cueleaf("link", json, "--part", "Viola"), copied);
    await page.locator(".qr svg").waitFor();
    const [download] = await Promise.all([page.waitForEvent("download"), page.click("#link-picture")]);
    assert.match(download.suggestedFilename(), /-QR\.svg$/);

    // The address is remembered for the next guide, and the link holds this one.
    await page.goto("about:blank");
    await page.goto(`${server.address}index.html#${fragment}`);
    await page.locator(hook("room", "hand-out")).click();
    assert.equal(await page.inputValue("#guide-field-title"), TITLE);
    assert.equal(await page.inputValue("#link-address"), address);
    assert.deepEqual(seen.complaints, []);

    // A damaged link leaves the open guide alone.
    await page.evaluate((hash) => void (location.hash = hash), FRAGMENT.slice(0, 500));
    await page.getByText("This link is damaged").waitFor();
    assert.equal(await page.inputValue("#guide-field-title"), TITLE);
    await context.close();
  });
});

describe("QR codes on paper", () => {
  // 300 dots an inch, which office printers print and phone cameras see at arm's length.
  const DOTS_A_MM = 12;
  const MM = 80;
  let browser;
  before(async () => {
    prepareZXingModule({
      overrides: {
        wasmBinary: readFileSync(join(ROOT, "node_modules/zxing-wasm/dist/reader/zxing_reader.wasm")),
      },
    });
    browser = await launchChromium();
  });
  after(() => browser?.close());

  const short = join(folder, "short.json");
  const guide = JSON.parse(readFileSync(GUIDE, "utf8"));
  guide.tips = guide.tips.slice(0, 6);
  delete guide.parts[0].marks;
  writeFileSync(short, JSON.stringify(guide));

  for (const [name, path] of [["a whole example", GUIDE], ["a short guide", short]]) {
    for (const turned of [0, 4, -7]) {
      test(`${name}, turned by ${turned} degrees`, async () => {
        const address = "https://music.riverside-school.example/strings/play.html";
        const svg = join(folder, "code.svg");
        cueleaf("qr", path, "--address", address, "-o", svg);
        const side = Math.round(MM * DOTS_A_MM * 1.25);
        const page = await browser.newPage({ viewport: { width: side, height: side } });
        await page.setContent(
          `<body style="margin:0;background:#f4f1ea;display:grid;place-items:center;height:100vh">
           <div style="transform:rotate(${turned}deg);width:${MM * DOTS_A_MM}px">${readFileSync(svg, "utf8")
             .replace(/width="\d+mm" height="\d+mm"/, 'width="100%"')}</div></body>`,
        );
        const image = PNG.sync.read(await page.screenshot());
        await page.close();
        const pixels = new Uint8ClampedArray(image.data);
        const read = [
          jsQR(pixels, image.width, image.height)?.data,
          (await readBarcodes({ data: pixels, width: image.width, height: image.height }, { formats: ["QRCode"] }))[0]?.text,
        ];
        for (const text of read) {
          assert.ok(text?.startsWith(`${address}#A`), text);
          assert.equal(text, read[0]);
        }
        // What is read opens as the guide.
        const opened = await browser.newPage();
        await opened.goto(`${pathToFileURL(join(DIST, "play.html")).href}#${read[1].split("#")[1]}`);
        await opened.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
        assert.ok((await opened.innerText("main")).includes(TITLE));
        await opened.close();
      });
    }
  }
});
