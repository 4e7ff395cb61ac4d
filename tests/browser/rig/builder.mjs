// What tests of the builder's page have in common: its hooks, and the two ways in for a file.

import { readFileSync } from "node:fs";
import { basename } from "node:path";

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
