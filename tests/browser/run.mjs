// Runs every *.test.mjs of this folder, one file after the other (two cores; a browser is
// enough for them), and ends with the line `N passed, N failed`.
//
//   node tests/browser/run.mjs [text …]     only files whose name has one of the texts
//
// `cargo xtask test` prepares what this needs: npm packages, the three browsers, Xvfb and
// pulseaudio, and the built pages in dist/.

import { readdirSync } from "node:fs";
import { dirname, join } from "node:path";
import { run } from "node:test";
import { spec } from "node:test/reporters";
import { fileURLToPath } from "node:url";
import { surroundings } from "./rig/surroundings.mjs";

const folder = dirname(fileURLToPath(import.meta.url));
const wanted = process.argv.slice(2);
const files = readdirSync(folder)
  .filter((name) => name.endsWith(".test.mjs"))
  .filter((name) => wanted.length === 0 || wanted.some((text) => name.includes(text)))
  .sort()
  .map((name) => join(folder, name));

await surroundings();

let passed = 0;
let failed = 0;
const stream = run({ files, concurrency: 1, timeout: 10 * 60 * 1000 });
// A suite is not a test; a file that breaks before its first test is a failure.
stream.on("test:pass", ({ details, skip, todo }) => {
  if (details.type !== "suite" && skip === undefined && todo === undefined) passed += 1;
});
stream.on("test:fail", ({ details, todo }) => {
  if (details.type !== "suite" && todo === undefined) failed += 1;
});
const printed = stream.compose(new spec());
printed.pipe(process.stdout);
printed.on("end", () => {
  // No test at all is no success.
  if (passed + failed === 0) failed = 1;
  process.stdout.write(`${passed} passed, ${failed} failed\n`);
  process.exitCode = failed > 0 ? 1 : 0;
  setTimeout(() => process.exit(), 200);
});
