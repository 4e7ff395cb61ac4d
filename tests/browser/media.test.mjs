// A photo and a voice note: from the teacher's file and microphone into a tip, out in the student's
// page, and back. What the telephone wrote about place and time stays behind; what is no picture, or
// lies about its size, is told; the microphone is on only between Record and Stop. The builder in
// Chromium, the student's page in three engines.

import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { crc32, deflateSync } from "node:zlib";
import AxeBuilder from "axe-core";
import { BUILDER, GUIDE, choose, hook, openBuilder } from "./rig/builder.mjs";
import { launchChromium, watch } from "./rig/chromium.mjs";
import { ENGINES, openIn } from "./rig/open.mjs";
import { temporaryFolder, until } from "./rig/surroundings.mjs";

const folder = temporaryFolder("media");
const MICROPHONE = ["--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream"];
const EVIL = '"><img src=x onerror="window.pwned=1">';
const STUDENT = join(folder, "student.html");

/** Writes a PNG file with this width in its header, whatever the data say (PNG, third edition, 5 and 11). */
function png(width, height, rows) {
  const chunk = (name, inside) => {
    const body = Buffer.concat([Buffer.from(name), inside]);
    const around = Buffer.alloc(8);
    around.writeUInt32BE(inside.length, 0);
    around.writeUInt32BE(crc32(body), 4);
    return Buffer.concat([around.subarray(0, 4), body, around.subarray(4)]);
  };
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head.set([8, 6, 0, 0, 0], 8);
  return Buffer.concat([
    Buffer.from("\x89PNG\r\n\x1a\n", "latin1"),
    chunk("IHDR", head),
    chunk("IDAT", rows),
    chunk("IEND", Buffer.alloc(0)),
  ]);
}

/** Writes what a telephone tells of a picture: that it lies on its side, and where it was taken
 * (Exif 3.0, 4.6: TIFF tags and GPS tags). */
function exif() {
  const tiff = Buffer.alloc(26 + 12 + 2 + 2 * 12 + 4 + 24);
  tiff.write("II*\0", 0, "latin1");
  tiff.writeUInt32LE(8, 4);
  const entry = (at, tag, type, count, value) => {
    tiff.writeUInt16LE(tag, at);
    tiff.writeUInt16LE(type, at + 2);
    tiff.writeUInt32LE(count, at + 4);
    tiff.writeUInt32LE(value, at + 8);
  };
  tiff.writeUInt16LE(2, 8);
  entry(10, 0x0112, 3, 1, 6);
  entry(22, 0x8825, 4, 1, 38);
  tiff.writeUInt16LE(2, 38);
  entry(40, 1, 2, 2, "N".charCodeAt(0));
  entry(52, 2, 5, 3, 68);
  for (const [index, part] of [59, 1, 54, 1, 3300, 100].entries()) tiff.writeUInt32LE(part, 68 + 4 * index);
  const inside = Buffer.concat([Buffer.from("Exif\0\0", "latin1"), tiff]);
  const head = Buffer.from([0xff, 0xe1, 0, 0]);
  head.writeUInt16BE(inside.length + 2, 2);
  return Buffer.concat([head, inside]);
}

/** Draws a picture of four colours in the page and gives it as JPEG; runs in the page. */
const drawn = async () => {
  const canvas = Object.assign(document.createElement("canvas"), { width: 1600, height: 1200 });
  const pen = canvas.getContext("2d");
  for (const [index, colour] of ["#f00", "#0f0", "#00f", "#fff"].entries()) {
    pen.fillStyle = colour;
    pen.fillRect((index % 2) * 800, index > 1 ? 600 : 0, 800, 600);
  }
  const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.95));
  return [...new Uint8Array(await blob.arrayBuffer())];
};

/** Tells the size of a picture in the page, and the colours of its quarters in turn; runs in the page. */
const seenIn = (selector) => {
  const image = document.querySelector(selector);
  const { naturalWidth: width, naturalHeight: height } = image;
  const canvas = Object.assign(document.createElement("canvas"), { width, height });
  const pen = canvas.getContext("2d", { willReadFrequently: true });
  pen.drawImage(image, 0, 0);
  const name = (x, y) => {
    const [red, green, blue] = pen.getImageData(x * width, y * height, 1, 1).data;
    return [red, green, blue].map((value) => (value > 200 ? 1 : value < 55 ? 0 : "?")).join("");
  };
  const quarters = [name(0.25, 0.25), name(0.75, 0.25), name(0.25, 0.75), name(0.75, 0.75)];
  return { width, height, quarters };
};

/** Reads the samples of a voice note as the page has them; runs in the page. */
const heardIn = async (selector) => {
  const address = document.querySelector(selector).getAttribute("src");
  const bytes = Uint8Array.from(atob(address.split(",")[1]), (letter) => letter.charCodeAt(0));
  const sound = await new OfflineAudioContext(1, 1, 16000).decodeAudioData(bytes.buffer);
  const samples = sound.getChannelData(0);
  return { channels: sound.numberOfChannels, seconds: sound.duration, loudest: samples.reduce((most, own) => Math.max(most, Math.abs(own)), 0) };
};

/** Opens the builder with the guide of the viola and a new tip that is open. */
async function withATip(browser, guide = GUIDE) {
  const prepare = () => {
    const devices = navigator.mediaDevices;
    if (!devices) return;
    const own = devices.getUserMedia.bind(devices);
    window.streams = [];
    devices.getUserMedia = async (wanted) => {
      const stream = await own(wanted);
      window.streams.push(stream);
      return stream;
    };
  };
  const { page, seen } = await openBuilder(browser, { viewport: { width: 1280, height: 900 }, prepare });
  await choose(page, guide);
  await page.locator("#m-29").click();
  await page.locator(hook("room", "tips")).click();
  await page.locator(hook("add-tip")).first().click();
  await page.keyboard.type("Keep the thumb bent.");
  await page.locator(".tip.open summary", { hasText: "A photo" }).click();
  return { page, seen };
}

/** Downloads what a button gives. */
async function download(page, selector) {
  const [file] = await Promise.all([page.waitForEvent("download"), page.locator(selector).first().click()]);
  return readFileSync(await file.path());
}

/** Adds a photo by the tip's own button. */
async function addPhoto(page, file) {
  const [chooser] = await Promise.all([
    page.waitForEvent("filechooser"),
    page.locator(`.tip.open ${hook("photo-choose")}`).click(),
  ]);
  await chooser.setFiles(file);
}

const tick = (page) => page.locator(".tip.open").getByRole("checkbox", { name: /I may hand them out/ });
const tracks = (page) => page.evaluate(() => window.streams.flatMap((own) => own.getTracks().map((track) => track.readyState)));

describe("a photo and a voice note", () => {
  let browser;
  let page;
  let seen;
  let saved;
  before(async () => {
    browser = await launchChromium({ more: MICROPHONE });
    ({ page, seen } = await withATip(browser));
  });
  after(() => browser?.close());

  test("nothing is taken before the teacher says that she may", async () => {
    await page.locator(`.tip.open ${hook("photo-choose")}`).click();
    const problem = page.locator(".tip.open .problem");
    await problem.getByText("First say with the tick").waitFor();
    assert.equal(await tick(page).evaluate((own) => own === document.activeElement), true);
    await page.keyboard.press("Space");
    await problem.waitFor({ state: "detached" });
  });

  test("what is no picture, or lies about its size, is told", async () => {
    const rows = deflateSync(Buffer.alloc(17));
    const files = {
      "text.png": [Buffer.from("hello"), "no picture in JPEG, PNG or WebP"],
      "drawing.svg": [Buffer.from("<svg xmlns='http://www.w3.org/2000/svg' onload='window.pwned=1'/>"), "no picture in JPEG, PNG or WebP"],
      "vast.png": [png(40_000, 40_000, rows), "40000 pixels wide and 40000 high"],
      "cut.png": [png(300, 300, Buffer.from([1, 2, 3])), "damaged"],
      "heavy.jpg": [Buffer.alloc(40_000_001, 0xff), "41 MB"],
    };
    for (const [name, [bytes, expected]] of Object.entries(files)) {
      const path = join(folder, name);
      writeFileSync(path, bytes);
      await addPhoto(page, path);
      await page.locator(".tip.open .problem", { hasText: expected }).waitFor();
      assert.equal(await page.locator(".tip.open .photo").count(), 0, name);
    }
  });

  test("a picture comes out small, upright, and without place and time", async () => {
    const bytes = Buffer.from(await page.evaluate(drawn));
    const told = Buffer.concat([bytes.subarray(0, 2), exif(), bytes.subarray(2)]);
    assert.ok(told.includes("Exif"));
    const path = join(folder, "from-a-telephone.jpg");
    writeFileSync(path, told);
    await addPhoto(page, path);
    await page.locator(".tip.open .photo img").waitFor();
    // It lies on its left side: turned upright, what was at the bottom left is at the top left.
    assert.deepEqual(await page.evaluate(seenIn, ".tip.open .photo img"), {
      width: 960,
      height: 1280,
      quarters: ["001", "100", "111", "010"],
    });
    const words = page.locator('.tip.open [id^="tip-photo-words-"]');
    assert.equal(await words.evaluate((own) => own === document.activeElement), true);
    await words.fill(`The thumb ${EVIL}`);
    await page.locator(".tip.open").getByText(/Photo, 960 × 1280 pixels, \d+ kB/).waitFor();
    const address = await page.locator(".tip.open .photo img").getAttribute("src");
    const made = Buffer.from(address.replace("data:image/jpeg;base64,", ""), "base64");
    assert.ok(made.length <= 120_000, `${made.length}`);
    for (const word of ["Exif", "GPS", "xpacket"]) assert.equal(made.includes(word), false, word);
  });

  test("a picture with transparent places stands on white", async () => {
    await page.locator(`.tip.open ${hook("photo-remove")}`).click();
    // One pixel that cannot be seen at all, dropped on the tip.
    const base64 = png(1, 1, deflateSync(Buffer.alloc(5))).toString("base64");
    const transfer = await page.evaluateHandle((base64) => {
      const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
      const transfer = new DataTransfer();
      transfer.items.add(new File([bytes], "clear.png", { type: "image/png" }));
      return transfer;
    }, base64);
    await page.dispatchEvent(".tip.open textarea", "drop", { dataTransfer: transfer });
    await page.locator(".tip.open .photo img").waitFor();
    const { width, quarters } = await page.evaluate(seenIn, ".tip.open .photo img");
    assert.deepEqual([width, quarters[0]], [1, "111"]);
    await page.locator(hook("undo")).click();
    await page.locator(hook("undo")).click();
    await page.waitForFunction(() => document.querySelector(".tip.open .photo img")?.naturalWidth === 960);
  });

  test("the microphone is on between Record and Stop, and what it heard is there", async () => {
    assert.deepEqual(await tracks(page), []);
    await page.locator(`.tip.open ${hook("record")}`).click();
    await page.getByText("Recording: 2 of 20 seconds").waitFor();
    assert.deepEqual(await tracks(page), ["live"]);
    await page.locator(hook("record-stop")).click();
    await page.locator(".tip.open audio").waitFor();
    assert.deepEqual(await tracks(page), ["ended"]);
    const heard = await page.evaluate(heardIn, ".tip.open audio");
    assert.ok(heard.seconds > 1.5 && heard.seconds < 4, `${heard.seconds}`);
    assert.ok(heard.loudest > 0.02, `${heard.loudest}`);
    assert.equal(heard.channels, 1);
    await page.locator('.tip.open [id^="tip-voice-words-"]').fill("Listen to the low string.\nThen play.");
  });

  test("whoever leaves the room lets go of the microphone", async () => {
    await page.locator(`.tip.open ${hook("record")}`).click();
    await page.getByText("Recording: 0 of 20 seconds").waitFor();
    await page.locator(hook("room", "road-map")).click();
    await page.waitForFunction(() => window.streams.at(-1).getTracks().every((track) => track.readyState === "ended"));
    await page.locator(hook("room", "tips")).click();
    assert.equal(await page.locator(".tip.open audio").count(), 1, "the first note is still there");
  });

  test("axe finds nothing in the open tip", async () => {
    await page.evaluate(AxeBuilder.source);
    const { violations } = await page.evaluate(() => globalThis.axe.run("main"));
    assert.deepEqual(violations.map((own) => `${own.id}: ${own.nodes[0].html.slice(0, 200)}`), []);
  });

  test("Try it shows both", async () => {
    await page.locator(hook("room", "try-it")).click();
    const tip = page.frameLocator("#preview-frame").locator(".tip", { hasText: "Keep the thumb bent." });
    await tip.locator("audio").waitFor();
    // The page beside the edits puts the same tip in its place anew while it settles.
    const isDrawn = async (own) => {
      own.scrollIntoView();
      await own.decode();
      return own.isConnected && own.naturalWidth === 960;
    };
    await until("the photo", () => tip.locator("img").evaluate(isDrawn).catch(() => false));
  });

  test("Hand out tells what they weigh, and the file comes back byte for byte", async () => {
    await page.locator(hook("room", "hand-out")).click();
    await page.locator("#media-weight", { hasText: /1 photo, \d+ kB; 1 voice note, \d+ kB\./ }).waitFor();
    await page.locator("#link-bare").waitFor();
    saved = await download(page, "#download-saved");
    writeFileSync(STUDENT, await download(page, hook("hand-out")));
    const other = await (await browser.newContext({ acceptDownloads: true })).newPage();
    await other.goto(BUILDER);
    await choose(other, STUDENT);
    await other.locator(hook("room", "hand-out")).click();
    assert.equal((await download(other, "#download-saved")).equals(saved), true);
    await other.close();
    // Each stands once in the file, and the policy lets nothing else in.
    const text = readFileSync(STUDENT, "utf8");
    const tip = JSON.parse(saved).tips.at(-1);
    for (const { data } of [tip.photo, tip.voice]) assert.equal(text.split(data).length, 2);
    const policy = /Content-Security-Policy" content="([^"]*)"/.exec(text)[1];
    assert.match(policy, /^default-src 'none'; .*; img-src data:; media-src data:; base-uri 'none'; form-action 'none'$/);
  });

  test("without the tick none of it leaves", async () => {
    await page.locator("#may-share").click();
    const text = `${await download(page, hook("hand-out"))}`;
    assert.doesNotMatch(text, /<img|<audio|media-src/);
    await page.locator("#may-share").click();
  });

  test("nothing complained and nothing was asked of anybody", async () => {
    assert.equal(await page.evaluate(() => "pwned" in window), false);
    assert.deepEqual(seen.complaints, []);
    assert.deepEqual(seen.requests.filter((url) => !/^(file|data|blob|about):/.test(url)), []);
  });

  test("a refusal of the microphone is told, and a sound file does instead", async () => {
    const { page } = await withATip(browser);
    await tick(page).click();
    for (const [name, expected] of [["NotFoundError", "no microphone"], ["NotAllowedError", "not allowed"]]) {
      await page.evaluate((name) => {
        navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException("", name));
      }, name);
      await page.locator(`.tip.open ${hook("record")}`).click();
      await page.locator(".tip.open .problem", { hasText: expected }).waitFor();
    }
    const take = async (path) => {
      const button = page.locator(`.tip.open ${hook("sound-choose")}`);
      const [chooser] = await Promise.all([page.waitForEvent("filechooser"), button.click()]);
      await chooser.setFiles(path);
    };
    const noise = join(folder, "noise.mp3");
    writeFileSync(noise, "no sound");
    await take(noise);
    await page.locator(".tip.open .problem", { hasText: "cannot read this sound" }).waitFor();
    // A second in stereo at 44.1 kHz, as other programs write it.
    const wav = (seconds) => {
      const frames = Buffer.alloc(44_100 * seconds * 4);
      for (let at = 0; at < frames.length; at += 4) {
        const value = Math.round(20_000 * Math.sin((2 * Math.PI * 440 * at) / 4 / 44_100));
        frames.writeInt16LE(value, at);
        frames.writeInt16LE(value, at + 2);
      }
      const head = Buffer.alloc(44);
      head.write("RIFF", 0);
      head.writeUInt32LE(36 + frames.length, 4);
      head.write("WAVEfmt ", 8);
      head.writeUInt32LE(16, 16);
      head.writeUInt16LE(1, 20);
      head.writeUInt16LE(2, 22);
      head.writeUInt32LE(44_100, 24);
      head.writeUInt32LE(176_400, 28);
      head.writeUInt16LE(4, 32);
      head.writeUInt16LE(16, 34);
      head.write("data", 36);
      head.writeUInt32LE(frames.length, 40);
      return Buffer.concat([head, frames]);
    };
    const path = join(folder, "tone.wav");
    writeFileSync(path, wav(25));
    await take(path);
    await page.locator(".tip.open .problem", { hasText: "longer than 20 seconds" }).waitFor();
    writeFileSync(path, wav(1));
    await take(path);
    await page.locator(".tip.open audio").waitFor();
    const heard = await page.evaluate(heardIn, ".tip.open audio");
    assert.ok(Math.abs(heard.seconds - 1) < 0.01, `${heard.seconds}`);
    assert.ok(Math.abs(heard.loudest - 20_000 / 32_768) < 0.02, `${heard.loudest}`);
    await page.close();
  });

  test("a guide whose bytes are hostile opens, tells, and hands nothing of them out", async () => {
    const guide = JSON.parse(readFileSync(GUIDE, "utf8"));
    guide.settings = { ...guide.settings, may_share: true };
    guide.tips[0].photo = { kind: "png", width: 3, height: 2, alt: EVIL, data: EVIL };
    guide.tips[0].voice = { milliseconds: 20, words: EVIL, data: Buffer.from("<script>window.pwned=1</script>").toString("base64") };
    guide.tips[1].photo = { kind: "png", width: 300, height: 2, alt: "x", data: png(1, 1, deflateSync(Buffer.alloc(5))).toString("base64") };
    const path = join(folder, "hostile.json");
    writeFileSync(path, JSON.stringify(guide));
    const { page, seen } = await withATip(browser, path);
    await page.getByText("the photo of this tip is left out: it is something else than the guide says", { exact: false }).first().waitFor();
    await page.locator(hook("open-tip", guide.tips[0].id)).click();
    await page.getByText("This photo cannot be shown").waitFor();
    await page.getByText("This voice note cannot be played").waitFor();
    await page.locator(hook("room", "hand-out")).click();
    const text = `${await download(page, hook("hand-out"))}`;
    assert.doesNotMatch(text, /<img|<audio/);
    assert.equal(await page.evaluate(() => "pwned" in window), false);
    assert.deepEqual(seen.complaints, []);
    await page.close();
  });
});

for (const engine of ENGINES) {
  describe(`the student's page in ${engine}`, () => {
    let page;
    before(async () => {
      page = await openIn(engine, pathToFileURL(STUDENT).href);
      await page.until(() => Boolean(window.cueleaf?.clicksInto));
    });
    after(() => page?.close());

    test("the photo is drawn and the voice note can be heard", async () => {
      await page.evaluate(() => document.querySelector(".photo img").scrollIntoView());
      await page.until(() => document.querySelector(".photo img").complete);
      const picture = await page.evaluate(seenIn, ".photo img");
      assert.deepEqual(picture.quarters, ["001", "100", "111", "010"]);
      const heard = await page.evaluate(heardIn, ".voice audio");
      assert.ok(heard.seconds > 1.5 && heard.seconds < 4 && heard.loudest > 0.02, JSON.stringify(heard));
      await page.until(() => document.querySelector(".voice audio").readyState > 0);
      const seconds = await page.evaluate(() => document.querySelector(".voice audio").duration);
      assert.ok(Math.abs(seconds - heard.seconds) < 0.1, `${seconds}`);
      assert.equal(await page.evaluate(() => document.querySelector(".said").textContent), "Listen to the low string.");
    });

    test("it fits the screen of a phone, and nothing else is asked for", async () => {
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      assert.ok(wide <= 0, `${wide}`);
      assert.equal(await page.evaluate(() => "pwned" in window), false);
      await page.staysQuiet();
    });
  });
}

describe("the student's page in Chromium", () => {
  let browser;
  before(async () => {
    browser = await launchChromium({ sound: true });
  });
  after(() => browser?.close());

  test("the voice note stops when the click starts", async () => {
    const page = await browser.newPage();
    await page.goto(pathToFileURL(STUDENT).href);
    await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
    await page.evaluate(() => {
      document.querySelector(".voice audio").loop = true;
      return document.querySelector(".voice audio").play();
    });
    await page.locator("#tab-play").click();
    assert.equal(await page.evaluate(() => document.querySelector(".voice audio").paused), false);
    await page.locator("#play").click();
    await page.waitForFunction(() => document.querySelector(".voice audio").paused);
    await page.close();
  });

  test("axe finds nothing in it", async () => {
    const page = await browser.newPage();
    const seen = watch(page);
    await page.goto(pathToFileURL(STUDENT).href);
    await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
    await page.evaluate(AxeBuilder.source);
    const { violations } = await page.evaluate(() => globalThis.axe.run());
    assert.deepEqual(violations.map((own) => `${own.id}: ${own.nodes[0].html.slice(0, 200)}`), []);
    assert.deepEqual(seen.complaints, []);
    await page.close();
  });

  test("without scripts both are there, and on paper the photo and the words", async () => {
    const context = await browser.newContext({ javaScriptEnabled: false, viewport: { width: 360, height: 640 } });
    const page = await context.newPage();
    await page.goto(pathToFileURL(STUDENT).href);
    const photo = page.locator(".photo img");
    await photo.scrollIntoViewIfNeeded();
    assert.equal(await photo.getAttribute("alt"), `The thumb ${EVIL}`);
    assert.equal(await page.locator(".voice audio").isVisible(), true);
    await page.emulateMedia({ media: "print" });
    assert.equal(await page.locator(".voice audio").isVisible(), false);
    assert.equal(await page.getByText("Then play.").isVisible(), true);
    const { height } = await photo.boundingBox();
    assert.ok(height > 40 && height <= (70 / 25.4) * 96 + 2, `${height}`);
    await context.close();
  });
});
