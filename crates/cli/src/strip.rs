//! Test strips: one or two numbers of the plan varied, and how one value comes out each time.

use crate::{Outcome, Source, files::Job, table};
use plan::{Plan, vary};
use plate::check;
use plate::proof::{OneValue, Plate, Sample};
use std::fmt::Write as _;
use std::sync::Arc;

/// Minutes of bites come in quarters.
const QUARTER_MIN: f64 = 0.25;
/// Most patches along or down.
const MOST: usize = 9;

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

/// One setting along a side of the strip: how it is written, and how it changes a plan.
struct Step {
    shown: String,
    key: String,
}

impl Step {
    fn apply(&self, plan: &Plan) -> Outcome<Plan> {
        set(plan, &self.key, &self.shown)
    }
}

fn set(plan: &Plan, key: &str, value: &str) -> Outcome<Plan> {
    if let Some(plan) = vary::with_choice(plan, key, value) {
        return Ok(plan);
    }
    let number = value.parse().map_err(|_| {
        format!("{key} can't be set to \u{201c}{value}\u{201d}: a number is wanted.")
    })?;
    vary::with_number(plan, key, number)
        .ok_or_else(|| format!("A plan has no number or choice {key}."))
}

/// The steps of `key=from..to:count`, or the words of a choice.
fn steps(text: &str) -> Outcome<Vec<Step>> {
    if let Some(choice) = plan::CHOICES.iter().find(|choice| choice.key == text) {
        return Ok(choice
            .options
            .iter()
            .map(|(word, _)| Step { shown: (*word).to_owned(), key: text.to_owned() })
            .collect());
    }
    let wanted =
        || format!("\u{201c}{text}\u{201d} is not KEY=FROM..TO:COUNT, nor a choice of the plan.");
    let (key, range) = text.split_once('=').ok_or_else(wanted)?;
    let (from, rest) = range.split_once("..").ok_or_else(wanted)?;
    let (to, count) = rest.split_once(':').ok_or_else(wanted)?;
    let number = |text: &str| text.parse::<f64>().map_err(|_| wanted());
    let (from, to) = (number(from)?, number(to)?);
    let count = count.parse::<usize>().map_err(|_| wanted())?;
    if !(2..=MOST).contains(&count) {
        return Err(format!("A strip has 2 to {MOST} patches, not {count}."));
    }
    let fine = plan::field(key).map_or(QUARTER_MIN, |field| field.step);
    let mut kept: Vec<String> = (0..count)
        .map(|i| {
            let value = from + (to - from) * i as f64 / (count - 1) as f64;
            // As fine as the plan keeps it, without the dust of binary fractions; the page does the same.
            let kept = ((value / fine).round() * fine * 1e4).round() / 1e4;
            kept.to_string()
        })
        .collect();
    kept.dedup();
    if kept.len() < 2 {
        return Err(format!(
            "From {from} to {to} there is only one {key} that a plan can tell apart; it keeps steps of {fine}. Widen the range."
        ));
    }
    Ok(kept.into_iter().map(|shown| Step { shown, key: key.to_owned() }).collect())
}

/// Prints the strip as CSV, patch by patch.
pub(crate) fn write(source: &Source, strip: &Choices) -> Outcome<()> {
    let job = Job::read(source)?;
    let mut base = job.plan.clone();
    for setting in &strip.sets {
        let (key, value) = setting
            .split_once('=')
            .ok_or_else(|| format!("\u{201c}{setting}\u{201d} is not KEY=VALUE."))?;
        base = set(&base, key, value)?;
    }
    if let Some(minutes) = strip.minutes {
        base = set(&base, "minutes", &minutes.to_string())?;
    }
    let along = steps(&strip.vary)?;
    let down = strip.by.as_deref().map(steps).transpose()?;
    let mut text = along[0].key.clone();
    if let Some(down) = &down {
        let _ = write!(text, ",{}", down[0].key);
    }
    text.push_str(HEAD);
    for row in down.as_deref().unwrap_or(&[]).iter().map(Some).chain(down.is_none().then_some(None))
    {
        for column in &along {
            let mut plan = column.apply(&base)?;
            if let Some(row) = row {
                plan = row.apply(&plan)?;
            }
            let _ = write!(text, "{}", column.shown);
            if let Some(row) = row {
                let _ = write!(text, ",{}", row.shown);
            }
            text.push_str(&patch(&plan, strip, &job)?);
        }
    }
    table::print(&text)
}

const HEAD: &str = ",minutes,cover,domes_per_mm2,median_footprint_um,loose_cover,mass_g_per_m2,plate_end_c,doneness,rate_um_per_min,depth_um,mean_depth_um,land,held_um,printed_um,reflectance,lightness,density,problem\n";

fn patch(plan: &Plan, strip: &Choices, job: &Job) -> Outcome<String> {
    // A patch that can't be had says why, as on the page; the others are still worth having.
    if let Some(wrong) = check::errors(plan).into_iter().next() {
        let empty = ",".repeat(HEAD.matches(',').count() - 1);
        return Ok(format!("{empty},\"{}\"\n", wrong.message.replace('"', "\"\"")));
    }
    let once = plan.bites.len() != job.plan.bites.len();
    let value =
        if once || strip.minutes.is_some() { 1 } else { strip.value.unwrap_or(plan.bites.len()) };
    let mut shares = job.areas().shares().to_vec();
    if once || strip.minutes.is_some() {
        let paper = shares[0];
        shares = vec![0.0; plan.bites.len() + 1];
        (shares[0], shares[1]) = (paper, 1.0 - paper);
    }
    let areas = OneValue::new(value, &shares, plan.bites.len())
        .ok_or_else(|| format!("The plan has no value {value}."))?;
    let mut plate = Plate::new(plan.clone(), Arc::new(areas)).map_err(|refused| {
        refused.into_iter().map(|(_, message)| message).collect::<Vec<_>>().join("\n")
    })?;
    Ok(row(&plate.sample(value)))
}

fn row(s: &Sample) -> String {
    format!(
        ",{},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},{:.4},\n",
        s.minutes,
        s.cover,
        s.domes_per_mm2,
        s.median_footprint_um,
        s.loose_cover,
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
