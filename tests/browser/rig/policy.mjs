// Pages for tests under the strict policy of the exported files.

import { createHash } from "node:crypto";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { temporaryFolder } from "./surroundings.mjs";

/** Gives the source expression of one inlined text (Content Security Policy 3, hash-source). */
export function hashSource(text) {
  return `'sha256-${createHash("sha256").update(text).digest("base64")}'`;
}

/** Writes the strict policy for these inlined scripts and styles. */
export function strictPolicy({ scripts, styles, more = "" }) {
  const list = (texts) => texts.map(hashSource).join(" ") || "'none'";
  return (
    `default-src 'none'; script-src ${list(scripts)} 'wasm-unsafe-eval'; ` +
    `style-src ${list(styles)}; img-src data: blob:; media-src data: blob:; ` +
    `base-uri 'none'; form-action 'none'${more}`
  );
}

/** Writes a page into a folder of its own; gives its file: address. */
export function writePage(html) {
  const path = join(temporaryFolder("page"), "page.html");
  writeFileSync(path, html);
  return pathToFileURL(path).href;
}
