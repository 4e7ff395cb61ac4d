//! What was packed once is readable for ever.
#![allow(
    clippy::unwrap_used,
    reason = "helpers of tests may fail loudly, as tests do"
)]

use cueleaf_guide::open;
use cueleaf_read::guide_in_page;

#[test]
fn a_page_of_an_earlier_version_still_opens() {
    let page = include_str!("../../../tests/cases/packed/quay.html");
    let saved = include_str!("../../../tests/cases/packed/quay.json");
    assert_eq!(guide_in_page(page).unwrap(), open(saved));
}
