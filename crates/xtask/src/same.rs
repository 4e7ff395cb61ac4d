//! Whether every export of random guides is the same, natively and in wasm.

use crate::run::{answer, cargo, must, program, root, say};
use crate::tally::Tally;
use crate::toolchain::find;
use crate::wasm::bound_for_node;
use anyhow::{Context, Result, ensure};

/// How many guides are drawn.
const GUIDES: usize = 1_000;

/// Makes every export of random guides twice, natively and in wasm, and compares their sums.
/// Each guide counts as a test.
///
/// # Errors
/// When a tool fails, or one of the two does not answer for every guide.
pub(crate) fn same() -> Result<Tally> {
    say("making the exports of random guides, natively and in wasm");
    let build = ["build", "--quiet", "--release", "--locked", "--package"];
    must(cargo().args(build).arg("cueleaf-bench"))?;
    let glue = bound_for_node("bench", &find()?)?;
    let count = GUIDES.to_string();
    let mut native = program(root().join("target/release/cueleaf-bench"));
    native.args(["exports", &count]);
    let mut wasm = program("node");
    wasm.arg("tests/bench/exports.mjs").arg(&glue).arg(&count);
    // Each takes a minute or two, so they go side by side.
    let (native, wasm) = std::thread::scope(|threads| {
        let native = threads.spawn(|| answer(&mut native));
        let wasm = answer(&mut wasm);
        (native.join(), wasm)
    });
    let native = native.ok().flatten().context("the native program failed")?;
    let wasm = wasm.context("the module failed")?;
    let native: Vec<&str> = native.lines().collect();
    let wasm: Vec<&str> = wasm.lines().collect();
    ensure!(
        native.len() == GUIDES && wasm.len() == GUIDES,
        "{} guides natively, {} in wasm",
        native.len(),
        wasm.len()
    );
    let mut failed = 0;
    for difference in native.iter().zip(&wasm).filter_map(|(n, w)| differs(n, w)) {
        println!("{difference}");
        failed += 1;
    }
    let passed = u64::try_from(GUIDES)? - failed;
    Ok(Tally::of(passed, failed))
}

/// Names the exports that differ between two lines about a guide: after its number each has a
/// name, a size and a sum. `None` when all are the same.
fn differs(native: &str, wasm: &str) -> Option<String> {
    if native == wasm {
        return None;
    }
    let words = |line: &str| line.split(' ').map(str::to_owned).collect::<Vec<_>>();
    let (native, wasm) = (words(native), words(wasm));
    let names: Vec<String> = native
        .chunks(3)
        .zip(wasm.chunks(3))
        .filter(|(one, other)| one != other)
        .map(|(one, other)| format!("{} natively, {} in wasm", one.join(" "), other.join(" ")))
        .collect();
    Some(format!("guide {}: {}", native.get(1)?, names.join("; ")))
}

#[cfg(test)]
mod tests {
    use super::differs;

    #[test]
    fn a_difference_is_named() {
        let native = "guide 7 of page 12 ab zip 3 cd";
        assert_eq!(differs(native, native), None);
        assert_eq!(
            differs(native, "guide 7 of page 12 ab zip 3 ce").as_deref(),
            Some("guide 7: zip 3 cd natively, zip 3 ce in wasm")
        );
    }
}
