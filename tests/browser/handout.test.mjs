// What the builder hands out besides the student's pages, taken from its downloads and read by
// others: the zip and the sound by their own heads, captions and chapters by the browser's
// <track> and the validator of the W3C, the overview by the browser's printing. And the guide in
// the frame of a class page: the lines that the builder offers for it, and the messages that
// README.md describes.
//
// Sources: APPNOTE.TXT 6.3, PKWARE, 4.3 (zip); RFC 1951 (deflate); RIFF, the WAVE form (1991);
// Standard MIDI Files 1.0, RP-001.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { crc32, inflateRawSync } from "node:zlib";
import WebVTT from "webvtt-parser";
import { choose, hook } from "./rig/builder.mjs";
import { launchChromium, watch } from "./rig/chromium.mjs";
import { ENGINES, openIn } from "./rig/open.mjs";
import { STRINGS } from "./rig/strings.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const { WebVTTParser } = WebVTT;
const ROOT = resolve(import.meta.dirname, "../..");
const BUILDER = pathToFileURL(join(ROOT, "dist/cueleaf.html")).href;
const COMMAND = join(ROOT, "target/release/cueleaf");
const SCORE = join(ROOT, "examples/mail-boat.musicxml");
const GUIDE = join(ROOT, "examples/mail-boat-viola.json");
const folder = temporaryFolder("handout");
const cueleaf = (...words) => execFileSync(COMMAND, words, { encoding: "utf8" });

/** Reads a zip by its central directory; gives the files by name, their check sums verified. */
function unzip(bytes) {
  const end = bytes.lastIndexOf(Buffer.from("PK\x05\x06"));
  const count = bytes.readUInt16LE(end + 10);
  let at = bytes.readUInt32LE(end + 16);
  const files = new Map();
  for (let index = 0; index < count; index += 1) {
    assert.equal(bytes.readUInt32LE(at), 0x02014b50);
    const [method, sum] = [bytes.readUInt16LE(at + 10), bytes.readUInt32LE(at + 16)];
    const [packed, size] = [bytes.readUInt32LE(at + 20), bytes.readUInt32LE(at + 24)];
    const [name, extra, comment] = [28, 30, 32].map((more) => bytes.readUInt16LE(at + more));
    const local = bytes.readUInt32LE(at + 42);
    const start = local + 30 + bytes.readUInt16LE(local + 26) + bytes.readUInt16LE(local + 28);
    const stored = bytes.subarray(start, start + packed);
    const content = method === 8 ? inflateRawSync(stored) : stored;
    assert.equal(content.length, size);
    assert.equal(crc32(content), sum);
    files.set(bytes.subarray(at + 46, at + 46 + name).toString("utf8"), content.toString("utf8"));
    at += 46 + name + extra + comment;
  }
  return files;
}

describe("the hand-out room", () => {
  let browser;
  let page;
  let seen;
  before(async () => {
    browser = await launchChromium();
    page = await browser.newPage();
    // As on a device that shares files, and keeps what it is given.
    await page.addInitScript(() => {
      window.shared = [];
      navigator.canShare = ({ files }) => files?.every((file) => file.type === "text/html") ?? false;
      navigator.share = async ({ files }) => {
        window.shared.push([files[0].name, (await files[0].text()).length]);
        throw new DOMException("changed their mind", "AbortError");
      };
    });
    seen = watch(page);
    await page.goto(BUILDER);
    await choose(page, SCORE);
    for (const part of ["Violin I", "Violin II", "Viola", "Cello"]) {
      await page.getByLabel(part, { exact: true }).check();
    }
    await page.locator(hook("make-guide")).click();
    await page.locator(hook("room", "hand-out")).click();
  });
  after(() => browser?.close());

  const download = async (selector) => {
    const [got] = await Promise.all([page.waitForEvent("download"), page.click(selector)]);
    const file = join(folder, got.suggestedFilename());
    await got.saveAs(file);
    return { name: got.suggestedFilename(), bytes: readFileSync(file), file };
  };
  const made = (code) => download(`#hand-file-${code}`);
  const guide = async () => (await download("#download-saved")).file;

  test("pages are weighed, and what is saved weighs that", async () => {
    await page.waitForFunction(
      () => !document.querySelector("#files").innerText.includes("being weighed"),
    );
    const first = page.locator(`#files .download:has(${hook("hand-out")})`).first();
    const told = (await first.innerText()).match(/(\d+) kB/)[1];
    const { bytes } = await download(`#files ${hook("hand-out")} >> nth=0`);
    assert.equal(Number(told), Math.ceil(bytes.length / 1000));
  });

  test("all parts come in a zip with a page that leads to each", async () => {
    const { name, bytes } = await made("all-parts");
    assert.match(name, /\.zip$/);
    const files = unzip(bytes);
    assert.equal(files.size, 5);
    const links = [...files.get("index.html").matchAll(/href="?([^"\s>]+\.html)/g)];
    assert.equal(links.length, 4);
    for (const [, link] of links) {
      const html = files.get(decodeURIComponent(link));
      assert.ok(html.includes("cueleaf-packed") && html.includes("</html>"), link);
    }
  });

  test("a part’s files are those that the command makes", async () => {
    const json = await guide();
    await page.selectOption("#hand-part", { label: "Viola" });
    await page.fill("#hand-offset", "12,5");
    await page.keyboard.press("Tab");
    await page.selectOption("#hand-rate", "44100");
    await page.selectOption("#hand-sound", "dry");
    const commands = {
      captions: ["captions", "--offset", "12.5"],
      chapters: ["chapters", "--offset", "12.5"],
      times: ["times", "--offset", "12.5"],
      midi: ["midi"],
      clicks: ["click", "--rate", "44100", "--sound", "dry"],
    };
    for (const [code, [command, ...more]] of Object.entries(commands)) {
      const { name, bytes } = await made(code);
      const own = join(folder, `own-${code}`);
      execFileSync(COMMAND, [command, json, "--part", "Viola", ...more, "-o", own], { stdio: "pipe" });
      assert.ok(bytes.equals(readFileSync(own)), `${code} is not what the command makes`);
      assert.ok(name.includes("Viola"), name);
    }
  });

  test("sound and MIDI have the heads of their formats", async () => {
    const { bytes: wav } = await made("clicks");
    assert.equal(wav.toString("latin1", 0, 4), "RIFF");
    assert.equal(wav.readUInt32LE(4), wav.length - 8);
    assert.equal(wav.toString("latin1", 8, 16), "WAVEfmt ");
    const fmt = [20, 22, 34].map((at) => wav.readUInt16LE(at));
    assert.deepEqual([...fmt, wav.readUInt32LE(24)], [1, 1, 16, 44100]);
    const { bytes: midi } = await made("midi");
    assert.equal(midi.toString("latin1", 0, 4), "MThd");
    assert.deepEqual([6, 8, 10].map((at) => midi.readUInt16BE(at)), [6, 1, 2]);
    // The browser decodes the sound: as long as its data says.
    const seconds = await page.evaluate(async (base64) => {
      const data = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
      const context = new OfflineAudioContext(1, 1, 44100);
      return (await context.decodeAudioData(data.buffer)).duration;
    }, wav.toString("base64"));
    assert.ok(Math.abs(seconds - wav.readUInt32LE(40) / 2 / 44100) < 0.001, `${seconds}`);
  });

  test("a browser shows chapters and captions beside a recording", async () => {
    // The example with tips; the drafted guide has none.
    const texts = {};
    for (const [kind, command] of [["captions", "captions"], ["chapters", "chapters"]]) {
      const file = join(folder, `${kind}.vtt`);
      cueleaf(command, GUIDE, "--offset", "2", "-o", file);
      texts[kind] = readFileSync(file, "utf8");
    }
    const fresh = await browser.newPage();
    const cues = await fresh.evaluate(async (texts) => {
      const all = {};
      for (const [kind, text] of Object.entries(texts)) {
        const video = document.body.appendChild(document.createElement("video"));
        const track = video.appendChild(document.createElement("track"));
        track.kind = kind;
        track.src = URL.createObjectURL(new Blob([text], { type: "text/vtt" }));
        track.track.mode = "hidden";
        await new Promise((loaded, failed) => {
          track.onload = loaded;
          track.onerror = failed;
        });
        all[kind] = [...track.track.cues].map((cue) => [cue.startTime, cue.endTime, cue.text]);
      }
      return all;
    }, texts);
    await fresh.close();
    for (const [kind, text] of Object.entries(texts)) {
      assert.equal(cues[kind].length, text.match(/ --> /g).length, kind);
      for (const [from, to, words] of cues[kind]) assert.ok(from < to && words !== "", kind);
    }
    assert.equal(cues.chapters[0][0], 2);
    assert.ok(cues.chapters.some(([, , words]) => words.includes("Round the island")));
    const tips = JSON.parse(readFileSync(GUIDE, "utf8")).tips.map((tip) => tip.text.trim());
    assert.ok(cues.captions.some(([, , words]) => tips.includes(words.replaceAll("\n", " "))));
  });

  test("an offset that is none says what to write, and a finding stands at its button", async () => {
    await page.fill("#hand-offset", "soon");
    await page.keyboard.press("Tab");
    await page.getByText("Write seconds, such as").waitFor();
    await page.click("#hand-file-chapters");
    await page.waitForFunction(() => document.activeElement.id === "hand-offset");
    await page.fill("#hand-offset", "-5");
    await page.keyboard.press("Tab");
    await made("chapters");
    await page.locator("#recording .file-findings").waitFor();
    await page.fill("#hand-offset", "");
    await page.keyboard.press("Tab");
  });

  test("where the device shares files, a part’s page is shared", async () => {
    const share = page.locator(hook("share")).first();
    await share.click();
    await page.waitForFunction(() => window.shared.length === 1);
    const [[name, length]] = await page.evaluate(() => window.shared);
    assert.match(name, /\.html$/);
    assert.ok(length > 50_000);
    const plain = await browser.newPage();
    await plain.addInitScript(() => {
      delete Navigator.prototype.canShare;
      delete Navigator.prototype.share;
    });
    await plain.goto(BUILDER);
    await choose(plain, SCORE);
    await plain.getByLabel("Viola", { exact: true }).check();
    await plain.locator(hook("make-guide")).click();
    await plain.locator(hook("room", "hand-out")).click();
    await plain.locator(hook("hand-out")).first().waitFor();
    assert.equal(await plain.locator(hook("share")).first().isVisible(), false);
    await plain.close();
  });

  test("the lines for a class page are those that a frame takes", async () => {
    await page.selectOption("#hand-part", { label: "Viola" });
    const lines = await page.inputValue("#frame-text");
    const attributes = await page.evaluate((text) => {
      const frame = new DOMParser().parseFromString(text, "text/html").querySelector("iframe");
      return Object.fromEntries([...frame.attributes].map(({ name, value }) => [name, value]));
    }, lines);
    assert.equal(attributes.sandbox, "allow-scripts");
    assert.match(attributes.src, /-Viola\.html$/);
    assert.match(attributes.title, /Viola$/);
    assert.ok(Number(attributes.width) >= 360 && Number(attributes.height) >= 640);
  });

  test("the overview prints on A4 and Letter, no line cut", async () => {
    const file = join(folder, "overview.html");
    cueleaf("overview", GUIDE, "-o", file);
    const paper = await browser.newPage();
    const complaints = watch(paper).complaints;
    await paper.goto(pathToFileURL(file).href);
    const text = await paper.innerText("main");
    for (const expected of ["The Mail Boat Sets Out", "Round the island", "Road map", "Tips", "To do"]) {
      assert.ok(text.includes(expected), expected);
    }
    // Measures that say nothing new are drawn as one.
    assert.ok((await paper.locator(".line .run").count()) > 3);
    await paper.emulateMedia({ media: "print" });
    const breaks = await paper.evaluate(() =>
      [...document.querySelectorAll(".line, tr, li")].filter(
        (own) => getComputedStyle(own).breakInside !== "avoid",
      ).length,
    );
    assert.equal(breaks, 0);
    // Nothing is wider than the paper, and no colour carries a meaning.
    const wide = await paper.evaluate(() => document.documentElement.scrollWidth <= innerWidth);
    assert.ok(wide);
    const counts = [];
    for (const [format, width, height] of [["A4", 595.28, 841.89], ["Letter", 612, 792]]) {
      const pdf = (await paper.pdf({ format })).toString("latin1");
      const boxes = [...pdf.matchAll(/\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/g)];
      assert.ok(boxes.length > 0);
      for (const [, x, y] of boxes) {
        assert.ok(Math.abs(x - width) < 2 && Math.abs(y - height) < 2, `${x} ${y}`);
      }
      const pages = pdf.match(/\/Type \/Page\b/g).length;
      assert.ok(pages > 1 && pages < 12, `${pages} pages`);
      counts.push(pages);
    }
    assert.deepEqual(complaints, []);
    await paper.close();
    // The builder's own is the same page for its guide.
    const json = await guide();
    const own = join(folder, "own-overview.html");
    execFileSync(COMMAND, ["overview", json, "-o", own], { stdio: "pipe" });
    const { bytes } = await made("overview");
    assert.ok(bytes.equals(readFileSync(own)));
  });

  test("long names stay in their section on a small phone, and cover nothing", async () => {
    const guide = JSON.parse(readFileSync(GUIDE, "utf8"));
    // The longest name that the page takes, without a place to break it, and one of many words.
    guide.parts[0].name = "W".repeat(100);
    guide.parts.push({ id: "second", name: "Viola of the second desk, inside, ".repeat(3).slice(0, 100) });
    const file = join(folder, "long.json");
    writeFileSync(file, JSON.stringify(guide));
    for (const size of [{ width: 360, height: 640 }, { width: 1280, height: 800 }]) {
      const own = await browser.newPage({ viewport: size });
      await own.addInitScript(() => {
        navigator.canShare = () => true;
      });
      await own.goto(BUILDER);
      await choose(own, file);
      await own.locator(hook("room", "hand-out")).click();
      await own.fill("#link-address", "https://music.school.example/play.html");
      await own.keyboard.press("Tab");
      await own.locator(hook("link-make")).first().click();
      await own.locator("#link-text, #link-trouble").first().waitFor();
      await own.selectOption("#hand-part", { index: 1 });
      const [outside, over] = await own.evaluate(() => {
        const box = (element) => element.getBoundingClientRect();
        const name = (element) => element.id || element.outerHTML.slice(0, 80);
        const outside = [];
        const over = [];
        for (const section of document.querySelectorAll(".hand-out > section")) {
          const all = [...section.querySelectorAll("*")].filter((element) => element.getClientRects().length > 0);
          const { left, right, top, bottom } = box(section);
          for (const element of all) {
            const own = box(element);
            const within = own.left >= left - 1 && own.right <= right + 1 && own.top >= top - 1 && own.bottom <= bottom + 1;
            if (!within) outside.push(name(element));
          }
          const controls = all.filter((element) => element.matches("button, input, select, textarea, .file"));
          for (const [index, one] of controls.entries()) {
            for (const other of controls.slice(index + 1)) {
              const [a, b] = [box(one), box(other)];
              const apart = a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top;
              if (!apart) over.push(`${name(one)} and ${name(other)}`);
            }
          }
        }
        return [outside, over];
      });
      assert.deepEqual(outside, [], `${size.width} wide`);
      assert.deepEqual(over, [], `${size.width} wide`);
      assert.ok((await own.evaluate(() => document.documentElement.scrollWidth)) <= size.width);
      await own.close();
    }
  });

  test("stayed quiet", () => assert.deepEqual(seen.complaints, []));
});

// Read strictly: whatever the W3C's text on WebVTT calls an error (Candidate Recommendation of
// 4 April 2019), its own validator tells.
describe("captions and chapters, read by the validator of the W3C", () => {
  // The escapes that a writer may use (4.2.2 there, from memory), with their semicolons.
  const escapes = { "&amp;": "&", "&lt;": "<", "&gt;": ">", "&lrm;": "\u200e", "&rlm;": "\u200f", "&nbsp;": "\u00a0" };
  const validator = new WebVTTParser(escapes);
  const read = (text, kind) => validator.parse(text, kind);
  /** Gives the words of a text, line by line, as captions show them. */
  const lines = (text) =>
    text
      .split(/[\n\r\u2028\u2029]/)
      .map((line) => line.split(/[\p{Cc}\p{White_Space}]+/u).filter(Boolean).join(" "))
      .filter(Boolean)
      .join("\n");

  const written = (guide, command, offset) => {
    const file = join(folder, "strict.vtt");
    execFileSync(COMMAND, [command, guide, `--offset=${offset}`, "-o", file], { stdio: "pipe" });
    const text = readFileSync(file, "utf8");
    const { cues, errors } = read(text, command === "chapters" ? "chapters" : "captions");
    assert.deepEqual(errors, [], `${command} of ${guide}`);
    assert.equal(cues.length, text.match(/ --> /g)?.length ?? 0);
    return cues.map(({ startTime, endTime, tree }) => {
      assert.ok(tree.children.every(({ type }) => type === "text"));
      return { from: startTime, to: endTime, text: tree.children.map(({ value }) => value).join("") };
    });
  };

  test("those of the examples are without an error, wherever the music starts", () => {
    const names = readdirSync(join(ROOT, "examples")).filter((name) => name.endsWith(".json"));
    assert.ok(names.length >= 4);
    for (const name of names) {
      const path = join(ROOT, "examples", name);
      const tips = JSON.parse(readFileSync(path, "utf8")).tips.map(({ text, cue }) => lines(text) || lines(cue));
      for (const offset of [0, 12.345, -30, 4000]) {
        const captions = written(path, "captions", offset);
        assert.ok(captions.length > 0 && captions.every(({ text }) => tips.includes(text)), name);
        const chapters = written(path, "chapters", offset);
        assert.ok(chapters.length > 1, name);
        for (const [index, { from }] of chapters.entries()) {
          assert.ok(index === 0 || from === chapters[index - 1].to, name);
        }
      }
    }
  });

  test("hostile texts come back as the words they were", () => {
    const guide = JSON.parse(readFileSync(GUIDE, "utf8"));
    const hostile = [
      ...Object.values(STRINGS),
      "00:00:01.000 --> 00:00:02.000",
      "one\n\ntwo --> three\n\nWEBVTT",
      "NOTE none\nSTYLE\nREGION",
      "<v Teacher>a</v> <00:00:01.000>b &lrm; &nbsp; &#65;",
      "a\0b",
    ];
    const [tip] = guide.tips;
    const [measure] = guide.road_map.measures;
    guide.road_map.measures = hostile.map((text, index) => ({
      ...(index === 0 && measure),
      label: `${index + 1}`,
      // What names a section has a limit of its own; the text of a tip has not.
      section: text.slice(0, 200),
    }));
    for (const part of guide.parts) part.marks = [];
    guide.todos = [];
    guide.tips = hostile.map((text, index) => ({
      id: `t${index}`, spot: { from: { measure: index }, to: { measure: index } }, topic: tip.topic, text,
    }));
    const file = join(folder, "hostile.json");
    writeFileSync(file, JSON.stringify(guide));
    const captions = written(file, "captions", 10);
    const expected = hostile.map(lines);
    assert.deepEqual(captions.map(({ text }) => text).sort(), expected.filter(Boolean).sort());
    assert.equal(written(file, "chapters", 10).length, hostile.length);
  });

  test("the validator tells what is wrong", () => {
    for (const wrong of [
      "WEBVTT\n1\n00:00:01.000 --> 00:00:02.000\na\n",
      "WEBVTT\n\n1\n00:00:02.000 --> 00:00:01.000\na\n",
      "WEBVTT\n\n1\n00:00:01.000 --> 00:00:02.000\na & b\n",
      "WEBVTT\n\n1\n00:00:01,000 --> 00:00:02,000\na\n",
    ]) {
      assert.ok(read(wrong, "captions").errors.length > 0, wrong);
    }
  });
});

// A class page of our own beside the guide's file.
const CLASS_PAGE = `<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Class</title></head>
<body><iframe src="guide.html" title="Guide" width="400" height="720" sandbox="allow-scripts"></iframe>
<script>
  window.told = [];
  const frame = document.querySelector("iframe");
  const ask = () => {
    if (window.port) return;
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => {
      if (data.kind === "ready") window.port ??= port1;
      window.told.push(data);
    };
    frame.contentWindow.postMessage({ cueleaf: "connect" }, "*", [port2]);
    setTimeout(ask, 300);
  };
  frame.onload = ask;
</script></body></html>`;

for (const engine of ENGINES) {
  describe(`${engine}: a guide in the frame of a class page`, () => {
    let page;
    before(async () => {
      const own = temporaryFolder(`class-${engine}`);
      cueleaf("export", GUIDE, "-o", join(own, "guide.html"));
      writeFileSync(join(own, "class.html"), CLASS_PAGE);
      page = await openIn(engine, pathToFileURL(join(own, "class.html")).href, {
        size: { width: 600, height: 800 },
      });
    });
    after(() => page?.close());

    test("goes to a measure, says where it is, and knows what is not there", async () => {
      await page.until(() => Boolean(window.port));
      await page.evaluate(() => {
        window.told.length = 0;
        for (const measure of ["12", "999", 7]) window.port.postMessage({ kind: "go-to", measure });
        for (const junk of [null, 1, {}, { kind: "go-to" }, { kind: "go-to", measure: { a: 1 } }]) {
          window.port.postMessage(junk);
        }
        window.port.postMessage({ kind: "go-to", measure: "1" });
      });
      await page.until(() => window.told.some((own) => own.measure === "1"));
      const told = await page.evaluate(() => window.told.map((own) => own.measure ?? own.code));
      const none = "no-such-measure";
      assert.deepEqual(told, ["12", none, "7", none, none, "1"]);
      const named = await page.evaluate(() => window.told[0].section);
      assert.ok(named === undefined || named.length > 0);
    });

    if (engine === "chromium") {
      test("tells every measure while it plays, also from where it was sent", async () => {
        const inside = page.page.frameLocator("iframe");
        await page.evaluate(() => {
          window.told.length = 0;
          window.port.postMessage({ kind: "go-to", measure: "12" });
        });
        await page.until(() => window.told.length === 1);
        await inside.locator("#tab-play").click();
        assert.equal((await inside.locator("#where").innerText()).toLowerCase(), "measure 12");
        await inside.locator("#play").click();
        await page.until(() => window.told.filter((own) => own.kind === "at").length >= 4);
        await page.evaluate(() => window.port.postMessage({ kind: "go-to", measure: "40" }));
        await page.until(() => window.told.some((own) => own.measure === "41"));
        await inside.locator("#play").click();
        const told = await page.evaluate(() => window.told.map((own) => own.measure));
        const first = told.slice(0, told.indexOf("40"));
        assert.deepEqual([...new Set(first)].slice(0, 3), ["12", "13", "14"]);
        assert.ok(told.indexOf("40") < told.indexOf("41"));
      });

      test("takes no message from another window than its parent", async () => {
        const alone = await page.evaluate(async () => {
          const other = document.body.appendChild(document.createElement("iframe"));
          other.srcdoc = "<script>onmessage = ({ data, ports }) => parent.frames[0].postMessage(data, '*', [...ports])</scr" + "ipt>";
          await new Promise((loaded) => (other.onload = loaded));
          const { port1, port2 } = new MessageChannel();
          const heard = [];
          port1.onmessage = ({ data }) => heard.push(data);
          other.contentWindow.postMessage({ cueleaf: "connect" }, "*", [port2]);
          await new Promise((done) => setTimeout(done, 500));
          other.remove();
          return heard;
        });
        assert.deepEqual(alone, []);
      });
    }
  });
}
