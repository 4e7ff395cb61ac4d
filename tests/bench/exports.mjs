// Sums up every export of so many random guides in the bench's module, under Node.js; a line for
// each, as `cueleaf-bench exports COUNT` prints them.
//
//   node tests/bench/exports.mjs GLUE.js COUNT

import { createRequire } from "node:module";

const [glue, count] = process.argv.slice(2);
const { exports_of: exportsOf } = createRequire(import.meta.url)(glue);
const lines = Array.from({ length: Number(count) }, (_, number) => exportsOf(number));
console.log(lines.join("\n"));
