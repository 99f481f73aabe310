//! Backwards: minutes for wanted values, dust and bake for a wanted grain, and how sure.

use crate::files::{Asked, words};
use crate::{Outcome, Source, table};
use plate::Renderer;
use study::grain::{GrainSize, GrainWish, grain_for};
use study::inverse::{Wanted, even_steps, inverse, picture_values};
use study::timing::Rounding;
use study::tolerance::{Draws, Spread, tolerance};
use study::tone_response;

/// What is wanted.
#[derive(clap::Args)]
pub(crate) struct Wish {
    /// L* of each value, lightest first (`80,60,40`); `even` for even steps from the paper to the
    /// darkest that is surely short of the ground's breaking down; `picture` for the picture's own values.
    #[arg(long, default_value = "even")]
    values: String,
    /// With `even` and `picture`: to the very darkest.
    #[arg(long)]
    to_the_end: bool,
    /// Minutes of the bites that have run already.
    #[arg(long, value_delimiter = ',')]
    bitten: Vec<f64>,
    /// How bites are timed: `by_hand`, `quarters`, `halves` or `wholes`.
    #[arg(long, default_value = "by_hand")]
    timed: String,
    /// Instead of values, a grain: median footprint of a dome, µm.
    #[arg(long, conflicts_with = "domes")]
    grain: Option<f64>,
    /// Instead of values, a grain: domes per mm².
    #[arg(long)]
    domes: Option<f64>,
    /// Cover of that grain after the bake, 0–1.
    #[arg(long, default_value_t = 0.5)]
    cover: f64,
    /// Instead of minutes, the bands of the plan's own values from so many draws.
    #[arg(long)]
    draws: Option<u32>,
    /// What the bands are made of: `variation` (the usual one at the bench) or `ranges` (those of the constants, too).
    #[arg(long, default_value = "variation")]
    spread: String,
}

/// Prints the answer as JSON.
pub(crate) fn write(source: &Source, wish: &Wish) -> Outcome<()> {
    let job = Asked::read(source)?;
    let renderer = &mut Renderer::default();
    let size = wish.grain.map(GrainSize::FootprintUm).or(wish.domes.map(GrainSize::DomesPerMm2));
    if let Some(size) = size {
        return table::print_json(
            &grain_for(job.plan(), GrainWish { size, cover: wish.cover }).map_err(words)?,
        );
    }
    if let Some(count) = wish.draws {
        let spread = match wish.spread.as_str() {
            "variation" => Spread::Wobble,
            "ranges" => Spread::Ranges,
            other => {
                return Err(format!("Bands are made of `variation` or `ranges`, not `{other}`."));
            }
        };
        let mut draws = Vec::new();
        let mut of = Draws::of(&job.plate(renderer)?, spread).map_err(words)?;
        for number in 0..count {
            draws.extend(of.draw(number, renderer).map_err(words)?);
        }
        return table::print_json(&tolerance(&draws, job.plan().bites.len() + 1));
    }
    let rounding = Rounding::from_word(&wish.timed).ok_or_else(|| {
        format!(
            "Bites are timed `by_hand`, in `quarters`, `halves` or `wholes`, not `{}`.",
            wish.timed
        )
    })?;
    let thresholds_l = job.plan().picture.thresholds_l.clone();
    let histogram = job.histogram();
    let plate = job.plate(renderer)?;
    let values = plate.plan().bites.len();
    let response = tone_response(&plate, renderer);
    let (_, darkest_l) = if wish.to_the_end { response.darkest() } else { response.sure() };
    let paper_l = response.paper_l();
    let wanted_l = match wish.values.as_str() {
        "even" => even_steps(paper_l, darkest_l, values),
        "picture" => picture_values(&histogram, &thresholds_l, paper_l, darkest_l),
        list => list
            .split(',')
            .map(|word| word.trim().parse().map_err(|_| format!("`{word}` is no L*.")))
            .collect::<Outcome<Vec<f64>>>()?,
    };
    if wanted_l.len() != values {
        return Err(format!(
            "The plan has {values} values and {} are asked for: give as many, or change the plan.",
            wanted_l.len()
        ));
    }
    let wanted = Wanted { wanted_l: &wanted_l, bitten_min: &wish.bitten, rounding };
    table::print_json(&inverse(&plate, renderer, &response, &wanted))
}
