//! What each kind of local fault does to each value: the chain is asked, about a plate on which all values lie in stripes.

use super::SHAPES;
use plan::{Fault, Plan};
use plate::chain::{Job, ValueAreas};
use plate::grid::Grid;
use plate::{Plate, Refused, Renderer, View, light};
use std::sync::Arc;

/// Size of the faults that the chain is asked about, and at how many places.
const ASKED_SIZE: f64 = 0.7;
const ASKED_PLACES: usize = 8;

/// Stripes of every value, one below the other.
struct Stripes(Vec<f64>);

const STRIPE_UM: f64 = 1500.0;
const MARK_PX_UM: f32 = 12.0;

impl ValueAreas for Stripes {
    fn fill(&self, grid: &Grid, out: &mut Vec<u8>) -> Option<u8> {
        out.clear();
        for row in 0..grid.height {
            let y_um = ((grid.top_px + row as i64) as f64 + 0.5) * f64::from(grid.px_um);
            let stripe = libm::floor(y_um / STRIPE_UM).max(0.0) as usize;
            out.extend(std::iter::repeat_n((stripe % self.0.len()) as u8, grid.width));
        }
        None
    }

    fn shares(&self) -> &[f64] {
        &self.0
    }
}

/// L* of every value at some places of a plate in stripes.
fn stripes_l(plate: &Plate, renderer: &mut Renderer) -> Vec<Vec<f64>> {
    let (plan, view) = (plate.plan(), View::first());
    let values = plan.bites.len() + 1;
    let per_stripe = libm::round(STRIPE_UM / f64::from(MARK_PX_UM)) as usize;
    let width = per_stripe;
    let px = |mm: f64| libm::floor(mm * 1000.0 / f64::from(MARK_PX_UM)) as i64;
    // Whole turns of the stripes from the top, as near the middle as the plate lets.
    let turn = (values * per_stripe) as i64;
    let height = px(plan.plate.height_mm);
    let top_px = ((height / 2).min(height - turn) / turn * turn).max(0);
    (0..ASKED_PLACES)
        .map(|place| {
            let along = (place as f64 + 0.7) / (ASKED_PLACES as f64 + 0.4);
            let left_px = px(plan.plate.width_mm * along) - width as i64 / 2;
            let grid =
                Grid { left_px, top_px, width, height: values * per_stripe, px_um: MARK_PX_UM };
            let print = renderer.look(plate, &view).print_window(&grid).pixels;
            let inset = per_stripe / 5;
            (0..values)
                .map(|value| {
                    let rows = value * per_stripe + inset..(value + 1) * per_stripe - inset;
                    let count = (rows.len() * width) as f64;
                    let pixels = &print[rows.start * width..rows.end * width];
                    let sum: f64 = pixels.iter().map(|&pixel| f64::from(pixel)).sum();
                    light::lightness(sum / count)
                })
                .collect()
        })
        .collect()
}

/// What every kind does to each value of a plan, paper first, at the full size in the middle of its place, L*.
pub(super) fn marks(plan: &Plan, shares: &[f64]) -> Result<Vec<Vec<f64>>, Refused> {
    let mut renderer = Renderer::default();
    let plain = Plan { states: Vec::new(), faults: Vec::new(), lines: None, ..plan.clone() };
    let stripes: Arc<dyn ValueAreas> = Arc::new(Stripes(shares.to_vec()));
    let sound = renderer.plate(&Job::new(plain.clone(), Arc::clone(&stripes)))?;
    let sound_l = stripes_l(&sound, &mut renderer);
    SHAPES
        .iter()
        .map(|shape| {
            let fault = Fault {
                x_mm: 0.5 * plain.plate.width_mm,
                y_mm: 0.5 * plain.plate.height_mm,
                radius_mm: 600.0,
                size: ASKED_SIZE,
                seed: plan.seed,
                ..Fault::usual(shape.kind)
            };
            let faulty = Plan { faults: vec![fault], ..plain.clone() };
            let plate = sound.after(&Job::new(faulty, Arc::clone(&stripes)))?;
            let faulty_l = stripes_l(&plate, &mut renderer);
            let full_l = |value: usize| {
                let off =
                    faulty_l.iter().zip(&sound_l).map(|(one, other)| one[value] - other[value]);
                off.sum::<f64>() / (faulty_l.len() as f64 * ASKED_SIZE)
            };
            Ok((0..shares.len()).map(full_l).collect())
        })
        .collect()
}
