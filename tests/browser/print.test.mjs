// A guide on paper: Chromium prints an exported guide as PDF on A4 and on US Letter, and what stands
// on each sheet is read back out of the PDF: every tip and task whole on one sheet, in black.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { inflateSync } from "node:zlib";
import { launchChromium } from "./rig/chromium.mjs";
import { temporaryFolder } from "./rig/surroundings.mjs";

const ROOT = resolve(import.meta.dirname, "../..");
const VIOLA = join(ROOT, "examples/mail-boat-viola.json");
const exported = join(temporaryFolder("print"), "viola.html");
execFileSync(join(ROOT, "target/release/cueleaf"), ["export", VIOLA, "-o", exported]);
const guide = JSON.parse(readFileSync(VIOLA, "utf8"));

/** Compares texts without white space and signs: print breaks lines and joins letters. */
const plain = (text) => text.normalize("NFKD").toLowerCase().replace(/[^\p{L}\p{N}]/gu, "");

/**
 * Reads the sheets of a PDF that Chromium wrote: the text of each, and its colours.
 *
 * Source: ISO 32000-1, 7.3.8 (streams), 9.4.3 (showing text), 9.10.3 (ToUnicode), as far as Chromium's
 * own writer uses them; from memory. A PDF of anyone else would need more.
 */
function sheetsOf(pdf) {
  const objects = new Map();
  const whole = pdf.toString("latin1");
  for (const { 1: number, 2: body } of whole.matchAll(/(?:^|\n)(\d+) 0 obj\n?([^]*?)\nendobj/g)) {
    const [, head, stream] = /^([^]*?)(?:\sstream\r?\n([^]*)\nendstream)?$/.exec(body);
    objects.set(number, { head, stream });
  }
  const content = ({ head, stream }) => {
    const bytes = Buffer.from(stream, "latin1");
    return (/FlateDecode/.test(head) ? inflateSync(bytes) : bytes).toString("latin1");
  };
  const letters = (hex) => Buffer.from(hex, "hex").swap16().toString("utf16le");
  const tables = new Map();
  const tableOf = (font) => {
    if (!tables.has(font)) {
      const table = new Map();
      const [, to] = /\/ToUnicode (\d+) 0 R/.exec(objects.get(font).head);
      const text = content(objects.get(to));
      for (const [, list] of text.matchAll(/beginbfchar([^]*?)endbfchar/g)) {
        for (const [, glyph, hex] of list.matchAll(/<(\w+)> <(\w+)>/g)) table.set(parseInt(glyph, 16), letters(hex));
      }
      for (const [, list] of text.matchAll(/beginbfrange([^]*?)endbfrange/g)) {
        for (const [, first, last, hex] of list.matchAll(/<(\w+)> <(\w+)> <(\w+)>/g)) {
          const from = parseInt(first, 16);
          for (let glyph = from; glyph <= parseInt(last, 16); glyph += 1) {
            table.set(glyph, String.fromCodePoint(letters(hex).codePointAt(0) + glyph - from));
          }
        }
      }
      tables.set(font, table);
    }
    return tables.get(font);
  };
  return [...objects.values()]
    .filter(({ head }) => /\/Type \/Page\b(?!s)/.test(head))
    .map(({ head }) => {
      const fonts = new Map([...head.matchAll(/\/(F\d+) (\d+) 0 R/g)].map(([, name, number]) => [name, number]));
      const [, number] = /\/Contents (\d+) 0 R/.exec(head);
      const [, width, height] = /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(head);
      const drawn = content(objects.get(number));
      let text = "";
      let table;
      for (const [, name, shown] of drawn.matchAll(/\/(F\d+) [\d.]+ Tf|((?:<[0-9A-Fa-f]+>|\[[^\]]*\]) ?T[jJ])/g)) {
        if (name) table = tableOf(fonts.get(name));
        else {
          for (const [, hex] of shown.matchAll(/<([0-9A-Fa-f]+)>/g)) {
            for (const glyph of hex.match(/.{4}/g)) text += table.get(parseInt(glyph, 16)) ?? "";
          }
        }
      }
      const colours = [...drawn.matchAll(/([\d.]+) ([\d.]+) ([\d.]+) (?:rg|RG)\b/g)].map((one) => one.slice(1).map(Number));
      return { text: plain(text), colours, size: [Number(width), Number(height)] };
    });
}

describe("a printed guide", () => {
  let browser;
  before(async () => {
    browser = await launchChromium();
  });
  after(() => browser?.close());

  for (const [format, width, height] of [["A4", 595, 842], ["Letter", 612, 792]]) {
    for (const colorScheme of ["light", "dark"]) {
      test(`on ${format}, from a ${colorScheme} screen`, async () => {
        const context = await browser.newContext({ colorScheme, viewport: { width: 360, height: 640 } });
        const page = await context.newPage();
        await page.goto(pathToFileURL(exported).href);
        await page.waitForFunction(() => Boolean(window.cueleaf?.clicksInto));
        // The room that is open does not matter for paper.
        await page.locator("#tab-play").click();
        const sheets = sheetsOf(await page.pdf({ format, preferCSSPageSize: false, printBackground: false }));
        await context.close();
        for (const { size } of sheets) {
          assert.ok(Math.abs(size[0] - width) <= 1 && Math.abs(size[1] - height) <= 1, `${size}`);
        }
        // Sixteen tips of two lines, nine drawings, three tasks: more than two sheets, less than ten.
        assert.ok(sheets.length > 2 && sheets.length < 10, `${sheets.length} sheets`);
        for (const { text } of sheets) assert.ok(text.length > 60, "no sheet is nearly empty");
        for (const { id, text } of [...guide.tips, ...guide.todos]) {
          const on = sheets.filter((sheet) => sheet.text.includes(plain(text))).length;
          assert.equal(on, 1, `${id} stands whole on one sheet`);
        }
        const all = sheets.map(({ text }) => text).join("");
        assert.ok(all.includes(plain(guide.title)) && all.includes(plain(guide.word)));
        for (const { section } of guide.road_map.measures) assert.ok(all.includes(plain(section ?? "")), section);
        // The buttons of the live page are no use on paper.
        assert.ok(!all.includes("playthepiece") && !all.includes("gotomeasure"));
        // Only greys, none paler than what a copier keeps in drawn lines (#999); white is no ink.
        for (const { colours } of sheets) {
          assert.ok(colours.length > 0);
          for (const [red, green, blue] of colours) {
            assert.ok(Math.max(red, green, blue) - Math.min(red, green, blue) < 0.01, `${red} ${green} ${blue} is no grey`);
            assert.ok(red <= 0.61 || red === 1, `${red} is pale`);
          }
        }
      });
    }
  }
});
