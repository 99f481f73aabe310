//! Test strips: one or two numbers of the plan varied, and how one value comes out each time.

use crate::{Outcome, Source, files, files::Asked, table};
use plan::strip::{At, LEAST_PATCHES, MOST_PATCHES, Side, shares_of, step_of, steps, with_step};
use plan::{Plan, vary};
use plate::chain::{Job, OneValue, Renderer, Sample, ValueAreas as _, View};
use plate::check;
use std::fmt::Write as _;
use std::sync::Arc;

/// What is varied and what is looked at.
#[derive(clap::Args)]
pub(crate) struct Choices {
    /// Numbers and choices to set first: `dust.wait_s=30`, `ink.wipe=hard`, `bites.0.bite_min=2`.
    #[arg(long = "set", value_name = "KEY=VALUE")]
    sets: Vec<String>,
    /// What varies along the strip: `dust.wait_s=0..240:7` (seven patches), a choice such as
    /// `ink.wipe`, or `minutes=1..20:6`.
    #[arg(long, value_name = "KEY=FROM..TO:COUNT")]
    vary: String,
    /// What varies down the side, for a grid.
    #[arg(long, value_name = "KEY=FROM..TO:COUNT")]
    by: Option<String>,
    /// The value that is printed; left out, the last. With `minutes` it is always 1.
    #[arg(long)]
    value: Option<usize>,
    /// Instead of a value of the plan: one bite of so many minutes.
    #[arg(long)]
    minutes: Option<f64>,
}

fn set(plan: &Plan, key: &str, value: &str) -> Outcome<Plan> {
    if let Some(plan) = vary::with_choice(plan, key, value) {
        return Ok(plan);
    }
    let number = value.parse().map_err(|_| {
        format!("{key} can't be set to \u{201c}{value}\u{201d}: a number is wanted.")
    })?;
    at(plan, key, At::Number(number))
}

/// The plan at one step of a side.
fn at(plan: &Plan, key: &str, step: At<'_>) -> Outcome<Plan> {
    with_step(plan, key, step).ok_or_else(|| format!("A plan has no number or choice {key}."))
}

/// A side from `key=from..to:count`, or a choice's key.
fn side(text: &str) -> Outcome<Side> {
    if plan::CHOICES.iter().any(|choice| choice.key == text) {
        return Ok(Side { key: text.to_owned(), from: 0.0, to: 0.0, count: 0 });
    }
    let wanted =
        || format!("\u{201c}{text}\u{201d} is not KEY=FROM..TO:COUNT, nor a choice of the plan.");
    let (key, range) = text.split_once('=').ok_or_else(wanted)?;
    let (from, rest) = range.split_once("..").ok_or_else(wanted)?;
    let (to, count) = rest.split_once(':').ok_or_else(wanted)?;
    let number = |text: &str| text.parse::<f64>().map_err(|_| wanted());
    let (from, to) = (number(from)?, number(to)?);
    let count = count.parse::<usize>().map_err(|_| wanted())?;
    if !(LEAST_PATCHES..=MOST_PATCHES).contains(&count) {
        return Err(format!("A strip has {LEAST_PATCHES} to {MOST_PATCHES} patches, not {count}."));
    }
    let side = Side { key: key.to_owned(), from, to, count };
    if steps(&side).len() < LEAST_PATCHES {
        let fine = step_of(key);
        return Err(format!(
            "From {from} to {to} there is only one {key} that a plan can tell apart; it keeps steps of {fine}. Widen the range."
        ));
    }
    Ok(side)
}

fn shown(step: At<'_>) -> String {
    match step {
        At::Number(number) => number.to_string(),
        At::Word(word) => word.to_owned(),
    }
}

/// Prints the strip as CSV, patch by patch.
pub(crate) fn write(source: &Source, strip: &Choices) -> Outcome<()> {
    let job = Asked::read(source)?;
    let mut base = job.plan().clone();
    for setting in &strip.sets {
        let (key, value) = setting
            .split_once('=')
            .ok_or_else(|| format!("\u{201c}{setting}\u{201d} is not KEY=VALUE."))?;
        base = set(&base, key, value)?;
    }
    if let Some(minutes) = strip.minutes {
        base = at(&base, "minutes", At::Number(minutes))?;
    }
    let along = side(&strip.vary)?;
    let down = strip.by.as_deref().map(side).transpose()?;
    let mut text = along.key.clone();
    if let Some(down) = &down {
        let _ = write!(text, ",{}", down.key);
    }
    text.push_str(HEAD);
    let rows = down.as_ref().map_or(vec![None], |down| {
        steps(down).into_iter().map(|step| Some((down, step))).collect()
    });
    for row in rows {
        for column in steps(&along) {
            let mut plan = at(&base, &along.key, column)?;
            text.push_str(&shown(column));
            if let Some((down, row)) = row {
                plan = at(&plan, &down.key, row)?;
                let _ = write!(text, ",{}", shown(row));
            }
            text.push_str(&patch(&plan, strip, &job)?);
        }
    }
    table::print(&text)
}

const HEAD: &str = ",minutes,cover,domes_per_mm2,median_footprint_um,loose_cover,low_angle_cover,mass_g_per_m2,plate_end_c,doneness,rate_um_per_min,depth_um,mean_depth_um,land,held_um,printed_um,reflectance,lightness,density,problem\n";

fn patch(plan: &Plan, strip: &Choices, job: &Asked) -> Outcome<String> {
    // A patch that can't be had says why, as on the page; the others are still worth having.
    if let Some(wrong) = check::errors(plan).into_iter().next() {
        let empty = ",".repeat(HEAD.matches(',').count() - 1);
        return Ok(format!("{empty},\"{}\"\n", wrong.to_string().replace('"', "\"\"")));
    }
    let once = strip.minutes.is_some() || plan.bites.len() != job.plan().bites.len();
    let value = if once { 1 } else { strip.value.unwrap_or(plan.bites.len()) };
    let shares = shares_of(job.picture_areas().shares(), plan.bites.len(), once);
    let areas = OneValue::new(value, &shares, plan.bites.len())
        .ok_or_else(|| format!("The plan has no value {value}."))?;
    let mut renderer = Renderer::default();
    let plate = renderer.plate(&Job::new(plan.clone(), Arc::new(areas))).map_err(files::words)?;
    Ok(row(&renderer.look(&plate, &View::default()).sample(value)))
}

fn row(s: &Sample) -> String {
    format!(
        ",{},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},\n",
        s.minutes,
        s.cover,
        s.domes_per_mm2,
        s.median_footprint_um,
        s.loose_cover,
        s.low_angle_cover,
        s.mass_g_per_m2,
        s.plate_end_c,
        s.doneness,
        s.rate_um_per_min,
        s.depth_um,
        s.mean_depth_um,
        s.land,
        s.held_um,
        s.printed_um,
        s.reflectance,
        s.lightness,
        s.density
    )
}
