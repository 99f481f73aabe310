//! The faults that a plan can have, in words.

use crate::{Outcome, table};
use plan::{FaultInfo, FaultPlace, faults_in_words};
use std::fmt::Write as _;

/// All of them, as text or as a JSON list.
pub(crate) fn list(json: bool) -> Outcome<String> {
    let all = faults_in_words();
    if json {
        return table::json(&all);
    }
    Ok(all.iter().map(told).collect::<Vec<_>>().join("\n"))
}

fn told(info: &FaultInfo) -> String {
    // Its name in a plan's file is that of JSON.
    let kind = serde_json::to_string(&info.kind).unwrap_or_default();
    let place = match info.place {
        FaultPlace::Spot => "round a place",
        FaultPlace::Edges => "along the edges",
        FaultPlace::Plate => "the whole plate",
    };
    let mut text = String::new();
    // Writing to a string can't fail.
    let _ = writeln!(text, "{} ({}, {place})", info.name, kind.trim_matches('"'));
    for (what, words) in [
        ("", info.happens),
        ("Size: ", &info.full_size.to_string()),
        ("Mistaken for: ", info.mistaken_for),
        ("Avoid: ", info.avoid),
        ("Mend: ", info.mend),
    ] {
        let _ = writeln!(text, "  {what}{words}");
    }
    let _ = writeln!(text, "  Full size: {}.", info.full.in_short());
    let _ = writeln!(text, "  Known from: {}.", info.source);
    text
}
