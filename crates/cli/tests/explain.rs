//! Proofs explained, and learned from, by the native program.

use serde_json::Value;
use std::process::Command;

fn platewright(arguments: &[&str]) -> Result<Value, String> {
    let output = Command::new(env!("CARGO_BIN_EXE_platewright"))
        .args(arguments)
        .output()
        .expect("the native program runs");
    if !output.status.success() {
        return Err(String::from_utf8_lossy(&output.stderr).into_owned());
    }
    Ok(serde_json::from_slice(&output.stdout).expect("JSON"))
}

#[test]
fn a_proof_is_explained_and_learned_from() {
    // As the harbour's plan prints, every value in the bath 7 L* lighter.
    let readings = "93,88,80,71,64,54,44,34";
    let told = platewright(&["explain", "--readings", readings, "--photographed"]).expect("told");
    let causes = told["causes"].as_array().expect("causes");
    let shares: f64 = causes.iter().map(|one| one["share"].as_f64().expect("a share")).sum();
    assert!((shares - 1.0).abs() < 1e-9, "{shares}");
    assert_ne!(causes[0]["cause"]["what"], "planned", "{}", told["said"]);
    let said = told["said"]["metric"].as_str().expect("a sentence");
    assert!(said.contains("lighter than planned"), "{said}");
    // What it printed is a file of evidence.
    let file =
        std::env::temp_dir().join(format!("platewright-evidence-{}.json", std::process::id()));
    std::fs::write(&file, told.to_string()).expect("written");
    let path = file.to_str().expect("a path");
    let one = platewright(&["learn", path]).expect("learned");
    let two = platewright(&["learn", path, path]).expect("learned");
    std::fs::remove_file(&file).expect("removed");
    let limits = |learned: &Value| -> f64 {
        let rate = &learned["constants"][0];
        assert_eq!(rate["key"], "bite.rate_um_per_min");
        rate["high"].as_f64().expect("a limit") / rate["low"].as_f64().expect("a limit")
    };
    assert!(limits(&two) < limits(&one), "two tell more than one");
    let refused = platewright(&["explain", "--readings", "93,88"]).expect_err("too few");
    assert!(refused.contains("paper and each of the 7 values"), "{refused}");
    let refused = platewright(&["explain", "--readings", "93,88,so,71,64,54,44,34"]);
    assert!(refused.expect_err("a word").contains("`so` is no reading"), "words are no readings");
}
