// Firefox ESR over WebDriver BiDi, without a driver program between.

import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { connectBidi } from "./bidi.mjs";
import { clickActions, keyActions, SCROLL_TO, TEXT_OF } from "./actions.mjs";
import { endProgram, printed, startProgram, surroundings, temporaryFolder } from "./surroundings.mjs";

const PROGRAM = "/usr/bin/firefox-esr";

// What a fresh profile would otherwise ask the network for; the tests count requests.
const PREFERENCES = {
  "app.normandy.enabled": false,
  "app.update.enabled": false,
  "browser.aboutwelcome.enabled": false,
  "browser.newtabpage.enabled": false,
  "browser.region.network.url": "",
  "browser.safebrowsing.malware.enabled": false,
  "browser.safebrowsing.phishing.enabled": false,
  "browser.safebrowsing.downloads.enabled": false,
  "browser.search.update": false,
  "browser.shell.checkDefaultBrowser": false,
  "browser.startup.homepage_override.mstone": "ignore",
  "browser.startup.page": 0,
  "datareporting.policy.dataSubmissionEnabled": false,
  "dom.push.connection.enabled": false,
  "extensions.getAddons.cache.enabled": false,
  "extensions.systemAddon.update.enabled": false,
  "extensions.update.enabled": false,
  "media.gmp-manager.updateEnabled": false,
  "network.captive-portal-service.enabled": false,
  "network.connectivity-service.enabled": false,
  "network.prefetch-next": false,
  "services.settings.server": "data:,",
  "toolkit.telemetry.enabled": false,
};

function writeProfile(gate) {
  const folder = temporaryFolder("firefox");
  const preferences = {
    ...PREFERENCES,
    "network.proxy.type": 1,
    "network.proxy.http": "127.0.0.1",
    "network.proxy.http_port": gate.port,
    "network.proxy.ssl": "127.0.0.1",
    "network.proxy.ssl_port": gate.port,
  };
  const lines = Object.entries(preferences).map(
    ([name, value]) => `user_pref(${JSON.stringify(name)}, ${JSON.stringify(value)});\n`,
  );
  writeFileSync(join(folder, "user.js"), lines.join(""));
  return folder;
}

async function startFirefox(gate) {
  const profile = writeProfile(gate);
  const child = startProgram(
    PROGRAM,
    ["-headless", "-no-remote", "-profile", profile, "--remote-debugging-port=0"],
    {
      stdio: ["ignore", "ignore", "pipe"],
      env: { ...(await surroundings()), HOME: profile, MOZ_CRASHREPORTER_DISABLE: "1" },
    },
  );
  const [, address] = await printed(child, 2, /WebDriver BiDi listening on (ws:\S+)/);
  return { child, address: `${address}/session` };
}

/** Opens a page in Firefox behind the facade of open.mjs. */
export async function openFirefox(url, { size, gate }) {
  const { child, address } = await startFirefox(gate);
  const bidi = await connectBidi(address);
  const seen = { complaints: [], messages: [], requests: [] };
  await bidi.send("session.new", { capabilities: {} });
  bidi.on("log.entryAdded", (entry) => {
    seen.messages.push(`${entry.level}: ${entry.text}`);
    if (["error", "warn"].includes(entry.level)) seen.complaints.push(entry.text);
  });
  bidi.on("network.beforeRequestSent", ({ request }) => seen.requests.push(request.url));
  const { contexts } = await bidi.send("browsingContext.getTree");
  const { context } = contexts[0];
  await bidi.send("session.subscribe", {
    events: ["log.entryAdded", "network.beforeRequestSent"],
    contexts: [context],
  });
  await bidi.send("browsingContext.setViewport", { context, viewport: size });

  const goto = (to) => bidi.send("browsingContext.navigate", { context, url: to, wait: "complete" });
  const perform = (actions) => bidi.send("input.performActions", { context, actions: [actions] });

  async function call(declaration, values) {
    const result = await bidi.send("script.callFunction", {
      // What comes back goes through JSON, so that all engines give the same plain values.
      functionDeclaration: `async (values) =>
        JSON.stringify(await (${declaration})(...JSON.parse(values))) ?? "null"`,
      arguments: [{ type: "string", value: JSON.stringify(values) }],
      awaitPromise: true,
      target: { context },
    });
    if (result.type === "exception") throw new Error(result.exceptionDetails.text);
    return JSON.parse(result.result.value);
  }

  async function find(selector) {
    const { nodes } = await bidi.send("browsingContext.locateNodes", {
      context,
      locator: { type: "css", value: selector },
      maxNodeCount: 1,
    });
    if (nodes.length === 0) throw new Error(`nothing matches ${selector}`);
    return nodes[0];
  }

  await goto(url);
  return {
    engine: "firefox",
    async click(selector) {
      const node = await find(selector);
      await call(SCROLL_TO, [selector]);
      await perform(clickActions({ type: "element", element: { sharedId: node.sharedId } }));
    },
    text: (selector) => call(TEXT_OF, [selector]),
    evaluate: (fn, ...values) => call(String(fn), values),
    press: (key) => perform(keyActions(key)),
    goto,
    async screenshot() {
      const { data } = await bidi.send("browsingContext.captureScreenshot", { context });
      return Buffer.from(data, "base64");
    },
    complaints: async () => seen.complaints,
    messages: async () => seen.messages,
    requests: async () => seen.requests,
    async close() {
      await bidi.send("browser.close").catch(() => {});
      bidi.close();
      endProgram(child);
    },
  };
}
