//! What was packed once is readable for ever.
#![allow(
    clippy::unwrap_used,
    reason = "helpers of tests may fail loudly, as tests do"
)]

use cueleaf_guide::open;
use cueleaf_read::guide_in_page;

#[test]
fn a_page_of_each_way_of_packing_opens() {
    let saved = include_str!("../../../tests/cases/packed/quay.json");
    for page in [
        include_str!("../../../tests/cases/packed/quay-1.html"),
        include_str!("../../../tests/cases/packed/quay-2.html"),
    ] {
        assert_eq!(guide_in_page(page).unwrap(), open(saved));
    }
}
