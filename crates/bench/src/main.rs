//! Times the work natively and prints one line of JSON.
//!
//! `cueleaf-bench plan MEASURES` · `cueleaf-bench read FILE` · `cueleaf-bench guide MEASURES`
//!
//! `cueleaf-bench exports COUNT` prints a line for each of so many random guides instead.
#![allow(
    clippy::print_stdout,
    clippy::disallowed_types,
    reason = "a bench has a clock and prints what it says"
)]

use cueleaf_bench::{Bench, exports_of, saved};
use std::process::ExitCode;
use std::time::Instant;

/// How long each piece of work is repeated at least, in seconds, and how often.
const LEAST_SECONDS: f64 = 0.3;
const LEAST_TIMES: usize = 5;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let line = match words.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        ["plan", measures] => measures.parse().ok().map(plan),
        ["read", file] => std::fs::read(file).ok().map(read),
        ["guide", measures] => measures.parse().ok().map(saved),
        ["exports", count] => count.parse().ok().map(exports),
        _ => None,
    };
    let Some(line) = line else {
        return ExitCode::FAILURE;
    };
    println!("{line}");
    ExitCode::SUCCESS
}

fn exports(count: u32) -> String {
    let lines: Vec<String> = (0..count).map(exports_of).collect();
    lines.join("\n")
}

fn plan(measures: usize) -> String {
    let bench = Bench::of_measures(measures);
    let (build, seconds) = best(|| bench.build());
    let (look_up, outside) = best(|| bench.look_up(10_000));
    let (count, counts) = best(|| bench.count());
    serde_json::json!({
        "measures": measures, "played": bench.played(), "seconds": seconds, "outside": outside,
        "counts": counts, "build": build, "look_up": look_up / 10_000.0, "count": count,
    })
    .to_string()
}

fn read(bytes: Vec<u8>) -> String {
    let size = bytes.len();
    let bench = Bench::of_score(bytes);
    let (read, measures) = best(|| bench.read());
    let (watch, watched) = best(|| bench.watch());
    let (scan, events) = best(|| bench.scan());
    serde_json::json!({
        "bytes": size, "measures": measures, "events": events, "read": read, "scan": scan,
        "watched": watched, "watch": watch,
    })
    .to_string()
}

/// Repeats a piece of work; gives the shortest time in seconds and what the work gave.
fn best<T>(work: impl Fn() -> T) -> (f64, T) {
    let begin = Instant::now();
    let mut result = work();
    let mut shortest = begin.elapsed().as_secs_f64();
    let mut times = 1;
    while times < LEAST_TIMES || begin.elapsed().as_secs_f64() < LEAST_SECONDS {
        let start = Instant::now();
        result = std::hint::black_box(work());
        shortest = shortest.min(start.elapsed().as_secs_f64());
        times += 1;
    }
    (shortest, result)
}
