//! Explain: why a proof did not print as planned and what next; and what a shop learns from its proofs.

use crate::files::{Asked, words};
use crate::{Outcome, Source, table};
use plate::Renderer;
use plate::chain::ValueAreas;
use serde::{Deserialize, Serialize};
use std::path::PathBuf;
use study::calibration::Camera;
use study::proof_causes::{
    Evidence, Explained, Next, ProofSeen, ProofTables, ValueSeen, explain, learn, next,
};

/// What has been read of a proof.
#[derive(clap::Args)]
pub(crate) struct Readings {
    /// L* of the paper where nothing was bitten, then of each value; `-` for one that was not read.
    #[arg(long, value_delimiter = ',', required = true)]
    readings: Vec<String>,
    /// How good each is, L* (standard error).
    #[arg(long, default_value_t = 0.5)]
    good_to: f64,
    /// They were read off a picture by a camera that nobody knows, not by an instrument.
    #[arg(long)]
    photographed: bool,
}

/// What it tells.
#[derive(Serialize)]
pub(crate) struct Told {
    #[serde(flatten)]
    explained: Explained,
    /// What can be done, if the likeliest cause is the one.
    next: Option<Next>,
}

/// A file of evidence: itself, or what [`write()`] printed.
#[derive(Deserialize)]
#[serde(untagged)]
enum Kept {
    Within { evidence: Evidence },
    Itself(Evidence),
}

/// Prints what explains a proof as JSON.
pub(crate) fn write(source: &Source, asked: &Readings) -> Outcome<()> {
    let read = Asked::read(source)?;
    let good_to_l = asked.good_to;
    let one = |word: &String| match word.trim() {
        "-" | "" => Ok(None),
        word => match word.parse() {
            Ok(lightness) => Ok(Some(ValueSeen { lightness, good_to_l })),
            Err(_) => Err(format!("`{word}` is no reading.")),
        },
    };
    let values = asked.readings.iter().map(one).collect::<Outcome<_>>()?;
    let camera = asked.photographed.then(|| Camera::unknown(false));
    table::print_json(&told(&read, &ProofSeen { values, camera, ..ProofSeen::default() })?)
}

/// What explains a proof of the first state, and what can be done.
pub(crate) fn told(asked: &Asked, seen: &ProofSeen) -> Outcome<Told> {
    let plan = &asked.job.plan;
    let shares = asked.picture_areas().shares();
    let tables = ProofTables::new(plan, shares).map_err(words)?;
    let explained = explain(plan, &tables, seen).map_err(words)?;
    let mut renderer = Renderer::default();
    let next = match explained.causes.first() {
        Some(one) => Some(next(plan, shares, &one.as_found, &[], &mut renderer).map_err(words)?),
        None => None,
    };
    Ok(Told { explained, next })
}

/// Prints the constants that files of evidence tell together, as JSON; each proof has the name of its file.
pub(crate) fn learn_from(paths: &[PathBuf]) -> Outcome<()> {
    let mut all = Vec::new();
    for path in paths {
        let name = path.display().to_string();
        let text = std::fs::read_to_string(path).map_err(|error| format!("{name}: {error}"))?;
        let kept = serde_json::from_str(&text).map_err(|error| format!("{name}: {error}"))?;
        let mut evidence = match kept {
            Kept::Within { evidence } | Kept::Itself(evidence) => evidence,
        };
        if evidence.id.is_empty() {
            evidence.id = name;
        }
        all.push(evidence);
    }
    table::print_json(&learn(&all))
}
