//! Replays what the fuzzer found worth keeping (`fuzz/corpus`).

use crate::coded;
use crate::grown;

fn replay(target: &str, check: fn(&[u8])) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/corpus").join(target);
    let mut replayed = 0;
    for entry in std::fs::read_dir(&folder).expect("the corpus") {
        let path = entry.expect("its files").path();
        // Named where one fails.
        eprintln!("{}", path.display());
        check(&std::fs::read(path).expect("a file"));
        replayed += 1;
    }
    assert!(replayed > 0, "no corpus in {}", folder.display());
}

#[test]
fn areas_grown_from_bytes() {
    replay("areas", grown::areas);
}

#[test]
fn small_pictures_of_any_bytes() {
    replay("miniature", coded::miniature);
}
