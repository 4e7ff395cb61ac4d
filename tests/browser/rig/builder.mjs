// What tests of the builder's page have in common: how it is opened, its hooks, and the two ways
// in for a file.

import { readFileSync } from "node:fs";
import { basename, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { watch } from "./chromium.mjs";

const ROOT = resolve(import.meta.dirname, "../../..");
/** The address of the builder that is one file. */
export const BUILDER = pathToFileURL(join(ROOT, "dist/cueleaf.html")).href;
/** A score in four parts, and a guide that was made of it. */
export const SCORE = join(ROOT, "examples/mail-boat.musicxml");
export const GUIDE = join(ROOT, "examples/mail-boat-viola.json");

/** Opens the builder with a store of its own, as large as a laptop if nothing else is wanted;
    what `prepare` is runs in the page before all else. Gives the page, its context, and what the
    page says and asks for. */
export async function openBuilder(browser, { prepare, ...wanted } = {}) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, ...wanted });
  const page = await context.newPage();
  page.setDefaultTimeout(15_000);
  if (prepare) await page.addInitScript(prepare);
  const seen = watch(page);
  await page.goto(BUILDER);
  return { context, page, seen };
}

/** Selects the elements that do something: by their hook, and by what it is about. */
export const hook = (name, value) =>
  value === undefined ? `[data-do="${name}"]` : `[data-do="${name}"][data-value="${value}"]`;

/** Chooses a file by the page's own button. */
export async function choose(page, file) {
  const [chooser] = await Promise.all([
    page.waitForEvent("filechooser"),
    page.locator(hook("choose-file")).first().click(),
  ]);
  await chooser.setFiles(file);
}

/** Drops a file on the page. */
export async function drop(page, file) {
  const transfer = await page.evaluateHandle(
    ([base64, name]) => {
      const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
      const transfer = new DataTransfer();
      transfer.items.add(new File([bytes], name));
      return transfer;
    },
    [readFileSync(file).toString("base64"), basename(file)],
  );
  await page.dispatchEvent("#app", "drop", { dataTransfer: transfer });
}
