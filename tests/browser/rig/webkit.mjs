// WebKitGTK's MiniBrowser over its W3C WebDriver, by plain fetch.
// The driver gives no console log. So what the page says while it loads is read from what a
// second MiniBrowser prints that opens the same address without a driver; what it says later is
// caught by listeners that are added once it has loaded.

import { readFileSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { clickActions, keyActions, SCROLL_TO, TEXT_OF } from "./actions.mjs";
import { endProgram, startProgram, surroundings, temporaryFolder, until } from "./surroundings.mjs";

const DRIVER = "/usr/bin/WebKitWebDriver";
const PROGRAM = "/usr/lib/x86_64-linux-gnu/webkit2gtk-4.1/MiniBrowser";
/** What it prints: "file:///a.html:1:52: CONSOLE JS ERROR text". */
const PRINTED_MESSAGE = /CONSOLE (?:[A-Z]+ )?(LOG|INFO|DEBUG|WARN|ERROR) (.*)$/gm;
/** How long the second browser may take for what a page says at its load, in milliseconds. */
const LOAD_TIME = 4000;
/** How long the driver may take for one answer, in milliseconds; longer than a script of a page. */
const LIMIT = 90_000;
/** The name under which WebDriver hands out elements (W3C WebDriver, "Elements"). */
const ELEMENT = "element-6066-11e4-a52e-4f735466cecf";

async function freePort() {
  const server = createServer();
  await new Promise((resolve) => server.listen(0, "127.0.0.1", resolve));
  const { port } = server.address();
  await new Promise((resolve) => server.close(resolve));
  return port;
}

/** Opens an address without a driver; gives how to read the console messages of its load. */
async function watchLoad(url, gate) {
  const home = temporaryFolder("webkit-load");
  const output = join(home, "printed");
  const script = join(home, "browser");
  // Its output is a file and so held back in blocks, unless stdbuf asks for lines.
  const lines = `#!/bin/sh\nexec stdbuf -oL ${PROGRAM} "$@" >"${output}" 2>&1\n`;
  writeFileSync(script, lines, { mode: 0o755 });
  writeFileSync(output, "");
  const child = startProgram(
    script,
    [
      "--enable-write-console-messages-to-stdout=true",
      `--proxy=http://127.0.0.1:${gate.port}`,
      url,
    ],
    { env: await environment(home) },
  );
  const begin = Date.now();
  return {
    async messages() {
      await sleep(Math.max(0, begin + LOAD_TIME - Date.now()));
      const found = readFileSync(output, "utf8").matchAll(PRINTED_MESSAGE);
      return [...found].map(([, level, text]) => ({ level, text }));
    },
    end: () => endProgram(child),
  };
}

/** Runs in the page: keeps what it says from now on. */
function listen() {
  const said = (window.rigSaid = []);
  for (const name of ["warn", "error", "log", "info"]) {
    const original = console[name].bind(console);
    console[name] = (...parts) => {
      said.push({ level: name.toUpperCase(), text: parts.map(String).join(" ") });
      original(...parts);
    };
  }
  const complain = (text) => said.push({ level: "ERROR", text });
  addEventListener("error", (event) => complain(`uncaught: ${event.message}`));
  addEventListener("unhandledrejection", (event) => complain(`uncaught: ${event.reason}`));
  document.addEventListener("securitypolicyviolation", (event) =>
    complain(`policy: ${event.violatedDirective} ${event.blockedURI}`),
  );
}

async function environment(home) {
  return {
    ...(await surroundings()),
    HOME: home,
    XDG_DATA_HOME: home,
    XDG_CACHE_HOME: home,
    XDG_CONFIG_HOME: home,
  };
}

/** Opens a page in WebKitGTK behind the facade of open.mjs. */
export async function openWebKit(url, { size, gate }) {
  const port = await freePort();
  const home = temporaryFolder("webkit");
  const driver = startProgram(DRIVER, [`--port=${port}`, "--host=127.0.0.1"], {
    env: await environment(home),
  });

  async function ask(method, path, body) {
    const response = await fetch(`http://127.0.0.1:${port}${path}`, {
      method,
      body: body === undefined ? undefined : JSON.stringify(body),
      signal: AbortSignal.timeout(LIMIT),
    });
    const { value } = await response.json();
    if (!response.ok) throw new Error(`${method} ${path}: ${value.error}: ${value.message}`);
    return value;
  }

  await until("the WebKit driver", () => ask("GET", "/status").then(() => true, () => false));
  const { sessionId } = await ask("POST", "/session", {
    capabilities: {
      alwaysMatch: {
        browserName: "MiniBrowser",
        proxy: {
          proxyType: "manual",
          httpProxy: `127.0.0.1:${gate.port}`,
          sslProxy: `127.0.0.1:${gate.port}`,
        },
        "webkitgtk:browserOptions": { binary: PROGRAM, args: ["--automation"] },
      },
    },
  });
  const session = `/session/${sessionId}`;

  let load;
  async function goto(to) {
    load?.end();
    load = await watchLoad(to, gate);
    await ask("POST", `${session}/url`, { url: to });
    await call(String(listen), []);
  }
  const perform = (actions) => ask("POST", `${session}/actions`, { actions: [actions] });

  async function call(declaration, values) {
    const text = await ask("POST", `${session}/execute/async`, {
      script: `
        const [values, done] = arguments;
        Promise.resolve()
          .then(() => (${declaration})(...JSON.parse(values)))
          .then(
            (value) => done(JSON.stringify({ value: value === undefined ? null : value })),
            (error) => done(JSON.stringify({ error: String(error) })),
          );`,
      args: [JSON.stringify(values)],
    });
    const { value, error } = JSON.parse(text);
    if (error !== undefined) throw new Error(error);
    return value;
  }

  const find = (selector) =>
    ask("POST", `${session}/element`, { using: "css selector", value: selector });

  // WebDriver sizes the window; the page gets what the tool bar leaves.
  async function resize() {
    const { width, height } = size;
    await ask("POST", `${session}/window/rect`, { width, height });
    const [innerWidth, innerHeight] = await call(`() => [window.innerWidth, window.innerHeight]`, []);
    await ask("POST", `${session}/window/rect`, {
      width: 2 * width - innerWidth,
      height: 2 * height - innerHeight,
    });
  }

  async function messages() {
    return [...(await load.messages()), ...(await call(`() => window.rigSaid ?? []`, []))];
  }

  await ask("POST", `${session}/timeouts`, { script: 60000 });
  await goto(url);
  await resize();
  return {
    engine: "webkit",
    async click(selector) {
      const element = await find(selector);
      await call(SCROLL_TO, [selector]);
      await perform(clickActions({ [ELEMENT]: element[ELEMENT] }));
    },
    text: (selector) => call(TEXT_OF, [selector]),
    evaluate: (fn, ...values) => call(String(fn), values),
    press: (key) => perform(keyActions(key)),
    goto,
    screenshot: async () => Buffer.from(await ask("GET", `${session}/screenshot`), "base64"),
    complaints: async () =>
      (await messages())
        .filter(({ level }) => ["ERROR", "WARN"].includes(level))
        .map(({ text }) => text),
    messages: async () => (await messages()).map(({ level, text }) => `${level}: ${text}`),
    requests: () => call(`() => performance.getEntriesByType("resource").map((one) => one.name)`, []),
    async close() {
      await ask("DELETE", session).catch(() => {});
      load.end();
      endProgram(driver);
    },
  };
}
