//! Replays what the fuzzer found worth keeping (`fuzz/corpus`).

#[path = "support/grown.rs"]
mod grown;

#[test]
fn areas_grown_from_bytes() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/corpus/areas");
    let mut replayed = 0;
    for entry in std::fs::read_dir(&folder).expect("the corpus") {
        let path = entry.expect("its files").path();
        // Named where one fails.
        println!("{}", path.display());
        grown::areas(&std::fs::read(path).expect("a file"));
        replayed += 1;
    }
    assert!(replayed > 0, "no corpus in {}", folder.display());
}
