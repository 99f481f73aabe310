//! The same bits everywhere: this is the native side, in whichever profile the tests are built.
//! See `tests/digests/README.md` for what a change means.

use std::path::Path;

#[test]
fn the_solvers_have_their_committed_bits() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/digests/shop.txt");
    let now = study::calibration::example::digests();
    let committed = std::fs::read_to_string(&path).unwrap_or_default();
    if now != committed && std::env::var_os("UPDATE").is_some() {
        std::fs::write(&path, &now).expect("the digests rewritten");
        panic!("shop.txt has been rewritten: say in the commit why, and run the test again");
    }
    assert_eq!(now, committed, "the solvers' answers have changed");
    assert_eq!(now.lines().count(), 3, "an answer each, none refused: {now}");
}
