//! The account of doubt: every constant, how it is known, and how far it moves the harbour.

use crate::files::{Asked, words};
use crate::{Outcome, Source};
use plate::Renderer;
use plate::constants::{Constants, Tag};
use std::fmt::Write as _;
use study::sensitivity;

/// What is known of every constant, as a JSON list.
pub(crate) fn list() -> Outcome<String> {
    let list = serde_json::to_string_pretty(&Constants::catalogue()).map_err(|e| e.to_string())?;
    Ok(list + "\n")
}

/// The table as Markdown, stage by stage in the order of the bench.
pub(crate) fn table(source: &Source) -> Outcome<String> {
    let job = Asked::read(source)?;
    let renderer = &mut Renderer::default();
    let plate = job.plate(renderer)?;
    let mut text = String::from(
        "| constant | meaning | default | unit | plausible range | known | middle value, L* across the range | source |\n|---|---|---|---|---|---|---|---|\n",
    );
    for info in Constants::catalogue() {
        let moved = sensitivity(&plate, renderer, &info).map_err(words)?;
        let known = match info.tag {
            Tag::Measured => "measured",
            Tag::Published => "published",
            Tag::Estimated => "estimated",
        };
        // Writing to a string can't fail.
        let _ = writeln!(
            text,
            "| `{}` | {} | {} | {} | {} – {} | {known} | {:.1} ({:.1} – {:.1}) | {} |",
            info.key,
            info.meaning,
            info.default,
            info.unit,
            info.min,
            info.max,
            moved.spread(),
            moved.lightness_at_min,
            moved.lightness_at_max,
            info.source
        );
    }
    Ok(text)
}
