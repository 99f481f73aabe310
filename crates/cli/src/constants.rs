//! The account of doubt: every constant, how it is known, and how far it moves the harbour.

use crate::files::{Asked, words};
use crate::{Outcome, Source, table};
use plate::Renderer;
use plate::constants::{Constants, Tag};
use std::fmt::Write as _;
use study::sensitivity;

/// What is known of every constant, as a JSON list.
pub(crate) fn list() -> Outcome<String> {
    table::json(&Constants::catalogue())
}

/// The table as Markdown, stage by stage in the order of the bench.
pub(crate) fn table(source: &Source) -> Outcome<String> {
    let job = Asked::read(source)?;
    let renderer = &mut Renderer::default();
    let plate = job.plate(renderer)?;
    let mut text = String::from(
        "| constant | meaning | default | unit | plausible range | known | a pale value, L* | the middle value, L* | the darkest value, L* | source |\n|---|---|---|---|---|---|---|---|---|---|\n",
    );
    for info in Constants::catalogue() {
        let moved = sensitivity(&plate, renderer, &info).map_err(words)?;
        let spreads = moved.spreads();
        let [pale, middle, darkest] = [0, 1, 2].map(|i| {
            let (min, max) = (moved.lightness_at_min[i], moved.lightness_at_max[i]);
            format!("{:.1} ({min:.1} – {max:.1})", spreads[i])
        });
        let known = match info.tag {
            Tag::Measured => "measured",
            Tag::Published => "published",
            Tag::Estimated => "estimated",
        };
        // Writing to a string can't fail.
        let _ = writeln!(
            text,
            "| `{}` | {} | {} | {} | {} – {} | {known} | {pale} | {middle} | {darkest} | {} |",
            info.key, info.meaning, info.default, info.unit, info.min, info.max, info.source
        );
    }
    Ok(text)
}
