//! The documents that are made from the code say what the code says. `UPDATE=1 cargo test -p cli`
//! rewrites them (and then fails, so that it cannot slip through unread).

use plan::{CHOICES, FIELDS, Part};
use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;

/// Compares the part of a document between `<!-- begin -->` and `<!-- end -->` with `made`.
fn assert_document(name: &str, made: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(name);
    let text = std::fs::read_to_string(&path).expect("the document");
    let (head, rest) = text.split_once("<!-- begin -->\n").expect("a begin mark");
    let (written, tail) = rest.split_once("<!-- end -->").expect("an end mark");
    if written != made && std::env::var_os("UPDATE").is_some() {
        let text = format!("{head}<!-- begin -->\n{made}<!-- end -->{tail}");
        std::fs::write(&path, text).expect("the document rewritten");
        panic!("{name} has been rewritten: read it and run the test again");
    }
    let odd = written.lines().zip(made.lines()).find(|(a, b)| a != b);
    assert!(
        written == made,
        "{name} is out of date, first at {odd:?}; run UPDATE=1 cargo test -p cli"
    );
}

#[test]
fn the_table_of_constants_is_true() {
    let output = Command::new(env!("CARGO_BIN_EXE_platewright"))
        .arg("constants")
        .output()
        .expect("the native program runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    assert_document("docs/constants.md", &String::from_utf8(output.stdout).expect("text"));
}

#[test]
fn the_readme_says_what_is_not_modelled() {
    let made: String = plate::NOT_MODELLED.iter().map(|one| format!("- {one}\n")).collect();
    assert_document("README.md", &made);
}

#[test]
fn the_description_of_plan_files_is_true() {
    let mut made = String::new();
    for part in [Part::Plate, Part::Dust, Part::Bake, Part::Bath, Part::Ink] {
        made.push_str("\n| key | what | unit | from | to | default |\n|---|---|---|---|---|---|\n");
        for field in FIELDS.iter().filter(|field| field.part == part) {
            let _ = writeln!(
                made,
                "| `{}` | **{}.** {} | {} | {} | {} | {} |",
                field.key,
                field.label,
                plan::Sentence::marked(field.why),
                field.unit,
                field.min,
                field.max,
                field.default
            );
        }
        for choice in CHOICES.iter().filter(|choice| choice.part == part) {
            let words: Vec<String> =
                choice.options.iter().map(|(word, shown)| format!("`{word}` ({shown})")).collect();
            let default = choice.options[(choice.get)(&plan::Plan::default())].0;
            let _ = writeln!(
                made,
                "| `{}` | **{}.** {} One of {} | | | | `{default}` |",
                choice.key,
                choice.label,
                plan::Sentence::marked(choice.why),
                words.join(", ")
            );
        }
    }
    assert_document("docs/plan-file.md", &made);
}
