// Chromium over playwright-core. A test that needs more than the facade (downloads, offline,
// files for an input) starts `launchChromium` and uses playwright's own page.

import { chromium } from "playwright-core";
import { surroundings, within } from "./surroundings.mjs";

const PROGRAM = "/usr/bin/chromium";
const PARAMETERS = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

/** Starts a Chromium with a new profile; playwright mutes it unless its sound is wanted. */
export async function launchChromium({ sound = false, more = [] } = {}) {
  return chromium.launch({
    executablePath: PROGRAM,
    args: [...PARAMETERS, ...more],
    ignoreDefaultArgs: sound ? ["--mute-audio"] : [],
    env: await surroundings(),
  });
}

/** Watches a playwright page; gives the lists that fill with its console and its requests. */
export function watch(page) {
  const seen = { complaints: [], messages: [], requests: [] };
  page.on("console", (message) => {
    seen.messages.push(`${message.type()}: ${message.text()}`);
    if (["error", "warning"].includes(message.type())) seen.complaints.push(message.text());
  });
  page.on("pageerror", (error) => seen.complaints.push(`uncaught: ${error.message}`));
  page.on("request", (request) => seen.requests.push(request.url()));
  return seen;
}

/** Opens a page in Chromium behind the facade of open.mjs. */
export async function openChromium(url, { size, gate }) {
  const browser = await launchChromium();
  const context = await browser.newContext({
    viewport: size,
    proxy: { server: `http://127.0.0.1:${gate.port}` },
    acceptDownloads: true,
  });
  const page = await context.newPage();
  const seen = watch(page);
  await page.goto(url);
  return {
    engine: "chromium",
    page,
    click: (selector) => page.click(selector),
    text: (selector) => page.innerText(selector),
    evaluate: (fn, ...values) =>
      within(60_000, `${fn}`, page.evaluate(`(${fn})(...${JSON.stringify(values)})`)),
    press: (key) => page.keyboard.press(key === " " ? "Space" : key),
    goto: (to) => page.goto(to),
    screenshot: () => page.screenshot(),
    complaints: async () => seen.complaints,
    messages: async () => seen.messages,
    requests: async () => seen.requests,
    close: () => browser.close(),
  };
}
