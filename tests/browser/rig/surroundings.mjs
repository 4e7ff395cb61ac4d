// The screen and the sound device that the browsers need, both in memory only.
// Firefox needs a sound device even to start; without one Chromium's audio clock stands still;
// WebKitGTK needs a screen. `run.mjs` starts them once and the test files inherit them; a test
// file run alone starts its own.

import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";

const SOUND = "CUELEAF_TEST_SOUND";
const SCREEN = "CUELEAF_TEST_SCREEN";

let started;

/** Makes a folder that is removed when this process ends. */
export function temporaryFolder(name) {
  const folder = mkdtempSync(join(tmpdir(), `cueleaf-${name}-`));
  atEnd(() => rmSync(folder, { recursive: true, force: true, maxRetries: 5, retryDelay: 100 }));
  return folder;
}

const endings = [];

/** Registers what must be done when this process ends, the latest first. */
export function atEnd(action) {
  if (endings.length === 0) {
    const finish = () => {
      while (endings.length > 0) {
        try {
          endings.pop()();
        } catch {
          // What is already gone needs no end.
        }
      }
    };
    process.on("exit", finish);
    for (const signal of ["SIGINT", "SIGTERM"]) {
      process.on(signal, () => process.exit(1));
    }
  }
  endings.push(action);
}

/** Starts a program that is ended, with all that it started, when this process ends. */
export function startProgram(command, parameters, options = {}) {
  const child = spawn(command, parameters, { detached: true, stdio: "ignore", ...options });
  child.on("error", (error) => console.error(`${command}: ${error.message}`));
  // A browser that a failed test left open must not keep the test process waiting.
  child.unref();
  atEnd(() => endProgram(child));
  return child;
}

/** Ends a program that `startProgram` started, with all that it started. */
export function endProgram(child) {
  if (child.pid === undefined) return;
  try {
    process.kill(-child.pid, "SIGKILL");
  } catch {
    // It has ended by itself.
  }
}

/** Waits until what a program prints on a descriptor matches; gives the match. */
export function printed(child, descriptor, pattern) {
  const stream = child.stdio[descriptor];
  return within(60_000, `${child.spawnfile} saying ${pattern}`, new Promise((resolve, reject) => {
    let text = "";
    stream.on("data", (data) => {
      text += data;
      const found = pattern.exec(text);
      if (!found) return;
      // From here on nobody waits for this stream, but it must not fill up either.
      stream.removeAllListeners("data").resume().unref();
      resolve(found);
    });
    stream.once("close", () => reject(new Error(`${child.spawnfile} ended: ${text.slice(-2000)}`)));
  }));
}

/** Gives what a promise gives, unless that takes longer than so many milliseconds. */
export function within(limit, what, promise) {
  let timer;
  const late = new Promise((_, reject) => {
    timer = setTimeout(() => reject(new Error(`${what}: no answer within ${limit} ms`)), limit);
  });
  return Promise.race([promise, late]).finally(() => clearTimeout(timer));
}

/** Waits until a condition holds, at most so many milliseconds. */
export async function until(what, condition, limit = 15000) {
  const end = Date.now() + limit;
  for (;;) {
    const value = await condition();
    if (value) return value;
    if (Date.now() > end) throw new Error(`${what}: not within ${limit} ms`);
    await sleep(50);
  }
}

/** Starts screen and sound where they are not yet there; gives the environment for browsers. */
export function surroundings() {
  started ??= start();
  return started;
}

async function start() {
  if (!process.env[SOUND]) process.env[SOUND] = await startSound();
  if (!process.env[SCREEN]) process.env[SCREEN] = await startScreen();
  return {
    ...process.env,
    PULSE_SERVER: process.env[SOUND],
    DISPLAY: process.env[SCREEN],
    NO_AT_BRIDGE: "1",
  };
}

async function startSound() {
  const folder = temporaryFolder("sound");
  const socket = join(folder, "native");
  startProgram(
    "pulseaudio",
    [
      "-n",
      "--exit-idle-time=-1",
      "--daemonize=no",
      "-L",
      "module-null-sink sink_name=null rate=44100",
      "-L",
      `module-native-protocol-unix socket=${socket} auth-anonymous=1`,
    ],
    { env: { ...process.env, HOME: folder, XDG_RUNTIME_DIR: folder } },
  );
  await until("the sound device", () => existsSync(socket));
  return `unix:${socket}`;
}

/** Records what comes out of the sound device; `end()` gives the samples, one channel, at 44,100
    Hz as the device itself runs. */
export async function record() {
  const format = ["--format=float32le", "--rate=44100", "--channels=1", "--raw", "--latency-msec=50"];
  const child = startProgram("parec", [...format, "-d", "null.monitor"], {
    stdio: ["ignore", "pipe", "ignore"],
    env: await surroundings(),
  });
  const parts = [];
  child.stdout.on("data", (part) => parts.push(part));
  return {
    end() {
      endProgram(child);
      const bytes = Buffer.concat(parts);
      return new Float32Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + (bytes.length & ~3)));
    },
  };
}

async function startScreen() {
  // The server writes the number of the display it chose to descriptor 3.
  const child = startProgram(
    "Xvfb",
    ["-displayfd", "3", "-screen", "0", "1280x1024x24", "-nolisten", "tcp"],
    { stdio: ["ignore", "ignore", "ignore", "pipe"] },
  );
  const [, number] = await printed(child, 3, /^(\d+)\n/);
  return `:${number}`;
}
