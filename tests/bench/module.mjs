// Times the work of the bench in its module, under Node.js; one line of JSON.
//
//   node tests/bench/module.mjs GLUE.js plan MEASURES
//   node tests/bench/module.mjs GLUE.js read FILE

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const LEAST_SECONDS = 0.3;
const LEAST_TIMES = 5;

const [glue, kind, what] = process.argv.slice(2);
const { Bench } = createRequire(import.meta.url)(glue);

/** Repeats a piece of work; gives the shortest time in seconds and what the work gave. */
function best(work) {
  const begin = performance.now();
  let result = work();
  let shortest = performance.now() - begin;
  for (let times = 1; times < LEAST_TIMES || performance.now() - begin < LEAST_SECONDS * 1000; times += 1) {
    const start = performance.now();
    result = work();
    shortest = Math.min(shortest, performance.now() - start);
  }
  return [shortest / 1000, result];
}

function plan(measures) {
  const bench = Bench.of_measures(measures);
  const [build, seconds] = best(() => bench.build());
  const [lookUp, outside] = best(() => bench.look_up(10_000));
  const [count, counts] = best(() => bench.count());
  return { measures, played: bench.played(), seconds, outside, counts, build, look_up: lookUp / 10_000, count };
}

function read(file) {
  const bytes = readFileSync(file);
  const bench = Bench.of_score(bytes);
  const [read, measures] = best(() => bench.read());
  const [watch, watched] = best(() => bench.watch());
  const [scan, events] = best(() => bench.scan());
  return { bytes: bytes.length, measures, events, read, scan, watched, watch };
}

console.log(JSON.stringify(kind === "plan" ? plan(Number(what)) : read(what)));
