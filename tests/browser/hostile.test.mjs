// Files that are wrong, enormous or malicious, given to the builder while a guide is open in it:
// each is refused in words that help, and the open guide stays as it was.

import assert from "node:assert/strict";
import { closeSync, openSync, readFileSync, writeFileSync, writeSync } from "node:fs";
import { basename, join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { crc32, deflateRawSync } from "node:zlib";
import { choose, hook } from "./rig/builder.mjs";
import { launchChromium, watch } from "./rig/chromium.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const BUILDER = pathToFileURL(join(ROOT, "dist/cueleaf.html")).href;
const GUIDE = join(ROOT, "examples/mail-boat-viola.json");
const folder = temporaryFolder("hostile");

/** Gives bytes in the order of zip files: the smaller first. */
function little(...fields) {
  const bytes = Buffer.alloc(fields.reduce((sum, [size]) => sum + size, 0));
  let at = 0;
  for (const [size, value] of fields) {
    bytes.writeUIntLE(value, at, size);
    at += size;
  }
  return bytes;
}

/** Packs files into a zip file (PKWARE's APPNOTE 6.3.10, sections 4.3.7, 4.3.12 and 4.3.16; from memory). */
function zip(files) {
  const local = [];
  const central = [];
  let offset = 0;
  for (const [name, content] of Object.entries(files)) {
    const packed = deflateRawSync(content, { level: 9 });
    const title = Buffer.from(name);
    const shared = [
      [2, 20], [2, 0], [2, 8], [4, 0], [4, crc32(content)], [4, packed.length],
      [4, content.length], [2, title.length], [2, 0],
    ];
    const head = Buffer.concat([little([4, 0x04034b50], ...shared), title]);
    local.push(head, packed);
    central.push(
      little([4, 0x02014b50], [2, 20], ...shared, [2, 0], [2, 0], [2, 0], [4, 0], [4, offset]),
      title,
    );
    offset += head.length + packed.length;
  }
  const list = Buffer.concat(central);
  const count = Object.keys(files).length;
  const end = [[4, 0x06054b50], [2, 0], [2, 0], [2, count], [2, count], [4, list.length], [4, offset], [2, 0]];
  return Buffer.concat([...local, list, little(...end)]);
}

/** Writes a score around its parts. */
const score = (inside, list = '<score-part id="P1"><part-name>Viola</part-name></score-part>') =>
  `<?xml version="1.0"?><score-partwise version="4.0"><part-list>${list}</part-list>${inside}</score-partwise>`;
const MEASURE =
  '<measure number="1"><attributes><divisions>1</divisions>' +
  "<time><beats>4</beats><beat-type>4</beat-type></time></attributes>" +
  "<note><rest/><duration>4</duration></note></measure>";
const NOTE =
  "<note><pitch><step>D</step><octave>4</octave></pitch><duration>1</duration><voice>1</voice></note>";

/** Gives what stands before and after the notes of a score with one measure. */
const aroundNotes = () => score(`<part id="P1">${MEASURE}</part>`).split("<note><rest/><duration>4</duration></note>");

/** Writes a file of so many megabytes: a head, a piece again and again, a tail. */
function writeLarge(name, megabytes, head, tail, piece) {
  const path = join(folder, name);
  const file = openSync(path, "w");
  const block = piece.repeat(Math.ceil(1_000_000 / piece.length));
  writeSync(file, head);
  for (let written = 0; written < megabytes * 1_000_000; written += block.length) writeSync(file, block);
  writeSync(file, tail);
  closeSync(file);
  return path;
}

function write(name, content) {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
}

const guide = readFileSync(GUIDE, "utf8");
const part = readFileSync(join(ROOT, "examples/mail-boat.musicxml"), "utf8");
// What is given, and what the page must say about it.
const REFUSED = {
  "a letter": [() => write("letter.xml", "Dear student, practise slowly."), /neither a part.*nor a guide/],
  "a picture": [() => write("picture.musicxml", Buffer.from("89504e470d0a1a0a0000", "hex")), /neither a part/],
  "another kind of XML": [
    () => write("drawing.xml", '<svg xmlns="http://www.w3.org/2000/svg"/>'),
    /neither a part/,
  ],
  "nothing": [() => write("nothing.musicxml", ""), /is empty/],
  "a part that was cut short": [
    () => write("cut.musicxml", part.slice(0, 20_000)),
    /line 194: the file ends in the middle in measure 32 of Violin I/i,
  ],
  "a part without measures": [() => write("hollow.musicxml", score('<part id="P1"/>')), /no measures/],
  "a score without parts": [() => write("bare.musicxml", score("", "")), /no part in this score/],
  "elements too deep": [
    () => write("deep.musicxml", score(`<part id="P1"><measure number="1">${"<a>".repeat(100_000)}`)),
    /65 elements inside each other.*limit is 64/,
  ],
  "a zip without a score": [
    () => write("notes.mxl", zip({ "letter.txt": "Dear student" })),
    /no score in it/,
  ],
  "a zip that was cut short": [
    () => write("short.mxl", zip({ "score.musicxml": part }).subarray(0, 3_000)),
    /incomplete or no zip file/,
  ],
  "a zip bomb": [
    () => write("bomb.mxl", zip({ "score.musicxml": Buffer.alloc(300_000_000, " ") })),
    /300000000 bytes in the unpacked score, and the limit is/,
  ],
  "a guide of a later form": [
    () => write("later.json", guide.replace('"cueleaf":"1.0"', '"cueleaf":"9.0"')),
    /made by a newer Cueleaf.*left as it is/,
  ],
  "a damaged guide": [() => write("damaged.json", guide.slice(0, 4_000)), /no saved guide, or it is damaged/],
  "a guide with a wrong field": [
    () => write("wrong.json", guide.replace('"meter":"7/8"', '"meter":"seven"')),
    /expected a meter such as/,
  ],
  "100 MB of letters": [
    () => writeLarge("large.xml", 100, "<?xml version='1.0'?>", "", "Dear student. "),
    /neither a part/,
  ],
  "100 MB with too many notes": [
    () => writeLarge("rests.musicxml", 100, ...aroundNotes(), "<note><rest/><duration>1</duration></note>"),
    /notes.*limit is 2000000/,
  ],
  "a file above the limit": [
    () => writeLarge("huge.musicxml", 140, "<?xml version='1.0'?>", "", "<a/>"),
    /has 141 MB, and the most that is read is/,
  ],
};

describe("a builder with an open guide", () => {
  let browser;
  before(async () => {
    browser = await launchChromium();
  });
  after(() => browser?.close());

  /** Opens the builder with the example in it, and one edit made. */
  async function withGuide() {
    const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, acceptDownloads: true });
    const page = await context.newPage();
    page.setDefaultTimeout(60_000);
    const seen = watch(page);
    await page.goto(BUILDER);
    await choose(page, GUIDE);
    await page.locator("#m-3").click();
    await page.locator("#fact-section").fill("An edit");
    await page.locator("#fact-section").press("Enter");
    await page.locator("[data-do=undo]").and(page.locator(":enabled")).waitFor();
    return { page, seen };
  }

  /** Gives a file to the page: the field for files stays in it once it was used. */
  async function give(page, path) {
    // The same file again is no change of the field; the page's own button empties it, too.
    await page.locator("#file").setInputFiles([]);
    await page.locator("#file").setInputFiles(path);
  }

  async function saved(page) {
    await page.locator(hook("room", "hand-out")).click();
    const [file] = await Promise.all([
      page.waitForEvent("download"),
      page.locator(hook("download-guide")).first().click(),
    ]);
    const path = join(folder, "saved.json");
    await file.saveAs(path);
    await page.locator(hook("room", "road-map")).click();
    return readFileSync(path, "utf8");
  }

  describe("refuses, and keeps what is open,", () => {
    let page;
    let seen;
    let first;
    before(async () => {
      ({ page, seen } = await withGuide());
      first = await saved(page);
      assert.match(first, /An edit/);
    });

    for (const [name, [make, expected]] of Object.entries(REFUSED)) {
      test(name, async () => {
        const path = make();
        await give(page, path);
        const notice = page.locator("[data-fragment=notice]");
        await notice.locator(hook("close-notice")).waitFor();
        const told = await notice.innerText();
        assert.match(told, expected);
        assert.ok(told.includes(`“${basename(path)}” was not opened.`), told);
        await page.locator("#m-104").waitFor();
        await notice.locator(hook("close-notice")).click();
      });
    }

    test("the guide is the same, and can still be edited", async () => {
      assert.equal(await saved(page), first);
      await page.locator(hook("undo")).click();
      assert.doesNotMatch(await saved(page), /An edit/);
    });

    test("without a complaint and without a request", () => {
      assert.deepEqual(seen.complaints, []);
      assert.deepEqual(seen.requests.filter((url) => !/^(file|data|blob|about):/.test(url)), []);
    });
  });

  test("lets a reader of 100 MB turn back, and reads them all otherwise", async () => {
    const { page, seen } = await withGuide();
    const path = writeLarge("long.musicxml", 100, ...aroundNotes(), NOTE);
    await give(page, path);
    await page.locator(hook("cancel")).click();
    await page.locator("#m-104").waitFor();
    assert.match(await saved(page), /An edit/);
    await give(page, path);
    // One measure with a million quarter notes: odd, and told as a finding, but a score.
    await page.locator("#m-104").waitFor({ state: "detached" });
    // With a guide open the notes may be meant for it, so the page asks.
    await page.locator(hook("make-guide")).click();
    await page.locator("#m-0").waitFor();
    assert.equal(await page.locator(hook("measure")).count(), 1);
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });

  test("expands no entity, from inside or outside", async () => {
    const names = "abcdefghij";
    const bomb = [...names].map((name, index) => {
      const inside = index === 0 ? "lol" : `&${names[index - 1]};`.repeat(10);
      return `<!ENTITY ${name} "${inside}">`;
    });
    const secret = write("secret.txt", "a secret of this device");
    const outside = `<!ENTITY x SYSTEM "${pathToFileURL(secret).href}"><!ENTITY y SYSTEM "http://nowhere.invalid/">`;
    const text = score(`<part id="P1">${MEASURE}</part>`)
      .replace("?>", `?><!DOCTYPE score-partwise [${bomb.join("")}${outside}]>`)
      .replace("Viola", "Viola &j;&x;&y; &amp; more");
    const { page, seen } = await withGuide();
    await give(page, write("entities.musicxml", text));
    await page.locator("#m-104").waitFor({ state: "detached" });
    // With a guide open the notes may be meant for it, so the page asks.
    await page.locator(hook("make-guide")).click();
    const made = await saved(page);
    assert.match(made, /Viola/);
    assert.match(made, /& more/);
    assert.doesNotMatch(made, /lol|secret of/);
    assert.ok(made.length < 3_000, `${made.length} bytes`);
    assert.deepEqual(seen.complaints, []);
    assert.deepEqual(seen.requests.filter((url) => /secret|nowhere/.test(url)), []);
    await page.context().close();
  });

  test("shows markup in a score as the text it is", async () => {
    const evil = "<img src=x onerror=alert(1)></script><script>window.evil = 1</script>";
    const escaped = evil.replaceAll("<", "&lt;");
    const text = score(
      `<part id="P1">${MEASURE.replace("<note>", `<direction><direction-type><rehearsal>${escaped}</rehearsal></direction-type></direction><note>`)}</part>`,
    ).replace("Viola", escaped).replace("<part-list>", `<work><work-title>${escaped}</work-title></work><part-list>`);
    const { page, seen } = await withGuide();
    const evilOf = () => page.evaluate(() => [window.evil, document.querySelectorAll("img").length]);
    await give(page, write("evil.musicxml", text));
    await page.locator("#m-104").waitFor({ state: "detached" });
    // With a guide open the notes may be meant for it, so the page asks.
    await page.locator(hook("make-guide")).click();
    await page.locator(hook("room", "tips")).click();
    await page.locator(hook("add-tip")).first().click();
    await page.locator('textarea[id^="tip-text-"]').fill(evil);
    await page.locator(hook("room", "try-it")).click();
    await page.frameLocator("#preview-frame").getByText(evil).first().waitFor();
    assert.deepEqual(await evilOf(), [undefined, 0]);
    await page.locator(hook("room", "hand-out")).click();
    const [file] = await Promise.all([
      page.waitForEvent("download"),
      page.locator(hook("hand-out")).first().click(),
    ]);
    const path = join(folder, "evil.html");
    await file.saveAs(path);
    await page.goto(pathToFileURL(path).href);
    await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
    assert.equal(await page.locator("h1").innerText(), evil);
    assert.deepEqual(await evilOf(), [undefined, 0]);
    assert.deepEqual(seen.complaints, []);
    await page.context().close();
  });
});
