// Runs every *.test.mjs of this folder, one file after the other (two cores; a browser is
// enough for them), and ends with the line `N passed, N failed`.
//
//   node tests/browser/run.mjs [text …]     only files whose name has one of the texts
//
// `cargo xtask test` prepares what this needs: npm packages, the three browsers, Xvfb and
// pulseaudio, and the built pages in dist/.

import { readdirSync } from "node:fs";
import { basename, dirname, join } from "node:path";
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

// A suite is not a test; a file that breaks before its first test is a failure.
const isTest = ({ details, skip, todo }) =>
  details.type !== "suite" && skip === undefined && todo === undefined;

/** Whether a test failed because a browser gave no answer at all (`within` of the rig). */
function isUnanswered({ details: { error } }) {
  return /no answer within \d+ ms|test timed out/.test(`${error?.message} ${error?.cause?.message ?? error?.cause}`);
}

/** Runs test files one after the other; gives what passed and failed, by file. */
async function runFiles(some) {
  const results = new Map(some.map((file) => [file, { passed: 0, failed: 0, unanswered: false }]));
  const stream = run({ files: some, concurrency: 1, timeout: 10 * 60 * 1000 });
  const count = (event, what) => {
    const result = results.get(event.file) ?? results.get(event.name);
    if (result === undefined) throw new Error(`a test of no file: ${event.name}`);
    if (isTest(event)) result[what] += 1;
    if (what === "failed" && isUnanswered(event)) result.unanswered = true;
  };
  stream.on("test:pass", (event) => count(event, "passed"));
  stream.on("test:fail", (event) => count(event, "failed"));
  const printed = stream.compose(new spec());
  printed.pipe(process.stdout, { end: false });
  await new Promise((done) => printed.on("end", done));
  return results;
}

const results = await runFiles(files);
// A browser that hangs says nothing about the pages: such a file has one more chance, in the open.
const again = [...results].filter(([, { unanswered }]) => unanswered).map(([file]) => file);
if (again.length > 0) {
  process.stdout.write(`a browser gave no answer; once more: ${again.map((file) => basename(file)).join(", ")}\n`);
  for (const [file, result] of await runFiles(again)) results.set(file, result);
}
let passed = 0;
let failed = 0;
for (const result of results.values()) {
  passed += result.passed;
  failed += result.failed;
}
// No test at all is no success.
if (passed + failed === 0) failed = 1;
process.stdout.write(`${passed} passed, ${failed} failed\n`, () => process.exit(failed > 0 ? 1 : 0));
