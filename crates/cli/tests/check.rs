//! One check, one answer: whatever command reads a plan, and however its text is written.

use std::path::PathBuf;
use std::process::{Command, Output};

fn kept(name: &str, bytes: &[u8]) -> PathBuf {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::write(&path, bytes).expect("a plan file");
    path
}

fn run(command: &str, plan: &PathBuf) -> Output {
    let output = kept("check-proof.png", b"");
    let mut program = Command::new(env!("CARGO_BIN_EXE_platewright"));
    program.arg(command).arg(plan);
    if command == "proof" {
        program.arg("--output").arg(output);
    }
    program.output().expect("the native program runs")
}

#[test]
fn an_impossible_plan_gets_the_same_answer_from_every_command() {
    let calibrated = |entry: &str| format!(r#"{{"platewright": 1, "calibration": {{{entry}}}}}"#);
    for (at, (plan, key, part)) in [
        (calibrated(r#""bite.rat": 1"#), "calibration.bite.rat: ", "no constant of this program"),
        (
            calibrated(r#""bite.rate_um_per_min": -1"#),
            "calibration.bite.rate_um_per_min: ",
            "to -1 µm/min; it must lie between 0.5 and 2 µm/min",
        ),
        (
            calibrated(r#""bite.rate_um_per_min": 1e9"#),
            "calibration.bite.rate_um_per_min: ",
            "to 1000000000 µm/min",
        ),
        (
            r#"{"platewright": 1, "bake": {"hot_plate_c": 900}}"#.to_owned(),
            "bake.hot_plate_c: ",
            "is 900 °C",
        ),
    ]
    .into_iter()
    .enumerate()
    {
        let path = kept(&format!("check-{at}.json"), plan.as_bytes());
        let said: Vec<String> = ["check", "table", "proof", "suits"]
            .map(|command| {
                let output = run(command, &path);
                assert!(!output.status.success(), "{command} takes {plan}");
                String::from_utf8(output.stderr).expect("text")
            })
            .into();
        assert!(said[0].starts_with(key) && said[0].contains(part), "{}", said[0]);
        assert!(said.iter().all(|one| *one == said[0]), "one answer: {said:#?}");
    }
}

#[test]
fn a_plan_is_read_with_a_byte_order_mark_and_as_utf_16() {
    let plan = r#"{"platewright": 1, "title": "Ätzgrund"}"#;
    let units =
        |bytes: fn(u16) -> [u8; 2]| -> Vec<u8> { plan.encode_utf16().flat_map(bytes).collect() };
    for (name, bytes) in [
        ("utf-8", plan.as_bytes().to_vec()),
        ("utf-8, marked", [b"\xEF\xBB\xBF", plan.as_bytes()].concat()),
        ("utf-16le, marked", [&b"\xFF\xFE"[..], &units(u16::to_le_bytes)].concat()),
        ("utf-16be, marked", [&b"\xFE\xFF"[..], &units(u16::to_be_bytes)].concat()),
        ("utf-16le", units(u16::to_le_bytes)),
        ("utf-16be", units(u16::to_be_bytes)),
    ] {
        let output = run("check", &kept("check-text.json", &bytes));
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "{name}: {said}");
    }
    for bytes in [&b"\xFF\xFE{\0\0"[..], b"\xFF\xFE\x00\xD8", b"{\"\xC3\x28\"}"] {
        let output = run("check", &kept("check-no-text.json", bytes));
        assert!(!output.status.success(), "{bytes:?}");
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(said.contains("is no text in UTF-8 or UTF-16"), "{said}");
    }
}
