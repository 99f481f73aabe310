//! Plans and links of another model, and links of trial versions: what is said of them.

use std::path::PathBuf;
use std::process::Command;

/// What the native program prints and says, and whether it did what it was asked.
fn run(words: &[&str]) -> (bool, String, String) {
    let mut program = Command::new(env!("CARGO_BIN_EXE_platewright"));
    let output = program.args(words).output().expect("the native program runs");
    let text = |bytes| String::from_utf8(bytes).expect("text");
    (output.status.success(), text(output.stdout), text(output.stderr))
}

fn kept(name: &str, model: u32) -> String {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let plan = plan::Plan { model, ..plan::Plan::default() };
    std::fs::write(&path, plan.to_json()).expect("a plan file");
    path.to_string_lossy().into_owned()
}

#[test]
fn another_model_is_told_and_nothing_is_lost() {
    for (model, words) in [(plan::MODEL - 1, "an earlier model"), (plan::MODEL + 1, "a newer")] {
        let path = kept("other-model.json", model);
        let (done, link, said) = run(&["link", "make", &path]);
        assert!(done && said.contains(words) && said.contains("its print may differ"), "{said}");
        let (done, json, said) = run(&["link", "read", link.trim()]);
        assert!(done && said.contains(words), "as a link: {said}");
        let file = std::fs::read_to_string(&path).expect("the plan file");
        assert_eq!(json, file, "the plan still names the model it was made with");
    }
    let (done, link, said) = run(&["link", "make", &kept("this-model.json", plan::MODEL)]);
    assert!(done && said.is_empty(), "nothing is said of this model: {said}");
    let (done, _, said) = run(&["link", "read", link.trim()]);
    assert!(done && said.is_empty(), "nor of a link: {said}");
}

#[test]
fn links_of_trial_versions_are_refused_in_words() {
    let trial = include_str!("../../plan/tests/links/trial/3-stand-in-miniature.txt");
    let (done, _, said) = run(&["link", "read", trial.trim()]);
    assert!(!done && said.contains("made by an early trial version"), "{said}");
}
