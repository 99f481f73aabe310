//! The test strip of the native program: what it prints, and what it refuses.

use std::process::{Command, Output};

fn strip(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_platewright"))
        .arg("strip")
        .args(arguments)
        .output()
        .expect("the native program runs")
}

fn lines(arguments: &[&str]) -> Vec<Vec<String>> {
    let output = strip(arguments);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout).expect("text");
    text.lines().map(|line| line.split(',').map(str::to_owned).collect()).collect()
}

#[test]
fn a_grid_has_a_row_for_each_patch() {
    let rows = lines(&["--vary", "dust.wait_s=30..90:2", "--by", "ink.wipe", "--value", "3"]);
    let places: Vec<String> = rows[1..].iter().map(|row| row[..2].join(" ")).collect();
    let expected = ["30 tarlatan", "90 tarlatan", "30 hand", "90 hand", "30 hard", "90 hard"];
    assert_eq!(places, expected, "wait and wiping of each patch, row by row");
    for row in &rows {
        assert_eq!(row.len(), rows[0].len(), "as many numbers as headings: {row:?}");
    }
    let at = rows[0].iter().position(|name| name == "cover").expect("cover");
    assert_eq!(rows[1][at], rows[3][at], "wiping leaves the ground alone");
    assert_ne!(rows[1][at], rows[2][at], "the wait does not");
}

#[test]
fn steps_are_as_fine_as_the_plan_keeps_them() {
    let rows = lines(&["--vary", "minutes=1..2:8"]);
    let minutes: Vec<&str> = rows[1..].iter().map(|row| row[0].as_str()).collect();
    assert_eq!(minutes, ["1", "1.25", "1.5", "1.75", "2"], "quarter minutes, none twice");
}

#[test]
fn an_impossible_patch_says_why_in_its_row() {
    let output = strip(&["--vary", "bath.temperature_c=30..40:2"]);
    let text = String::from_utf8(output.stdout).expect("text");
    let (head, last) = (text.lines().next().expect("a head"), text.lines().last().expect("a row"));
    assert!(last.contains("Temperature is 40 °C; it must lie between 10 and 35 °C"), "{last}");
    assert_eq!(last.matches(',').count(), head.matches(',').count(), "its numbers are left empty");
}

#[test]
fn bad_ranges_get_one_sentence() {
    for (arguments, part) in [
        (&["--vary", "dust.patience=1..2:3"][..], "no number or choice dust.patience"),
        (&["--vary", "dust.wait_s"], "is not KEY=FROM..TO:COUNT"),
        (&["--vary", "dust.wait_s=9..9:3"], "Widen the range"),
        (&["--vary", "dust.wait_s=0..90:10"], "2 to 9 patches"),
        (&["--vary", "dust.wait_s=0..90:3", "--value", "8"], "no value 8"),
    ] {
        let output = strip(arguments);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(!output.status.success(), "{arguments:?} is refused");
        assert!(said.contains(part) && said.trim().lines().count() == 1, "{arguments:?}: {said}");
    }
}
