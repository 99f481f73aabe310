//! Tolerance: what is not known, and what no hand keeps to, as a band round every value.
//!
//! Prints the plan many times, each time a little off. Every draw has a number and comes from that
//! alone, so that draws can be shared out between workers and still are the same on every machine.

use crate::tone_response::MET_L;
use plan::{Plan, Sentence, Unit, quantity, sentence};
use plate::constants::{ConstantInfo, Constants, IN_ORDER, Tag, UNEVEN};
use plate::{Plate, Refused, Renderer, View};
use rand::RngExt;
use rand_distr::StandardNormal;
use rand_pcg::Pcg32;
use serde::{Deserialize, Serialize};

/// The usual wobble of a day at the bench (common practice, no source): evenly anywhere within.
const WOBBLE_C: f64 = 1.0;
/// Seconds by which a bite runs over or short.
const WOBBLE_S: f64 = 10.0;
/// Share by which the cover comes out other than planned.
const WOBBLE_COVER: f64 = 0.05;
/// Grounds that stand for the covers within the wobble, in steps of it.
const COVERS: [f64; 5] = [-0.8, -0.4, 0.0, 0.4, 0.8];
/// Change of the powder by which the cover's answer to it is measured.
const TRIED_POWDER: f64 = 0.05;
/// The band holds all but this share of the draws at either side.
const TAIL: f64 = 0.05;
/// Neighbours that can't be told apart in so many of the prints are at risk.
const RISK: f64 = 0.1;

/// What a band is made of.
#[derive(Clone, Debug, PartialEq, serde::Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Spread {
    /// The usual wobble alone.
    Wobble,
    /// The wobble, and every estimated constant anywhere in its plausible range, likeliest at the value
    /// in force.
    Ranges,
    /// The wobble, and the calibrated constants within their limits; the others stay as they are.
    Calibrated(CalibratedLimits),
}

/// How far calibrated constants may be off, and how they hang together.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ts_rs::TS)]
pub struct CalibratedLimits {
    /// Names of the constants.
    pub keys: Vec<String>,
    /// Row by row a square matrix F: were every z normal with deviation 1, ln of constant i would be off
    /// by Σ F_ij·z_j; of one whose range begins at 0 the constant itself.
    pub ln_factor: Vec<f64>,
}

/// Prints a plan again and again, a little off.
pub struct Draws {
    plate: Plate,
    spread: Spread,
    /// Powder for each of the covers, g/m².
    powder_g_per_m2: [f64; COVERS.len()],
    /// The plate last drawn for each cover, whose ground serves the next.
    plates: [Option<Plate>; COVERS.len()],
}

/// Where nine of ten prints of a value lie, L*.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Band {
    /// Lower end: one print of twenty is darker.
    pub dark_l: f64,
    /// Half of the prints are darker.
    pub middle_l: f64,
    /// Upper end: one print of twenty is lighter.
    pub light_l: f64,
    /// Share of the prints in which a practised eye could not tell it from the next darker value
    /// ([`MET_L`]): both are off together, so that bands may overlap and the values still differ in every print.
    pub alike_share: f64,
    /// Whether that is more than one print of ten.
    pub at_risk: bool,
}

/// What the printmaker's own hand decides, and what holding it closer would gain.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct Hold {
    /// What it is and how far off it usually is.
    pub sentence: Sentence,
    /// How far it moves each value to either side, L*, paper first.
    pub moves_l: Vec<f64>,
    /// How far all of these together move each value, L*.
    pub usual_l: Vec<f64>,
    /// The same with this one held twice as close.
    pub held_l: Vec<f64>,
}

impl Draws {
    /// For the values of a plate.
    ///
    /// # Errors
    /// As [`Plate::of`].
    pub fn of(plate: &Plate, spread: Spread) -> Result<Self, Refused> {
        let dust = &plate.plan().dust;
        let cover_with = |powder: f64| -> Result<f64, Refused> {
            let mut plan = plate.plan().clone();
            plan.dust.powder_g_per_m2 *= powder;
            let mut renderer = Renderer::default();
            let other = renderer.plate_after(plate, &plate.job().with_plan(plan))?;
            Ok(renderer.ground_statistics(&other).cover)
        };
        let (less, more) = (cover_with(1.0 - TRIED_POWDER)?, cover_with(1.0 + TRIED_POWDER)?);
        // Relative change of cover for a relative change of powder; a closed ground hardly answers.
        let answer = if less > 0.0 && more > less {
            (2.0 * (more - less) / (more + less) / (2.0 * TRIED_POWDER)).max(0.1)
        } else {
            1.0
        };
        let powder_g_per_m2 =
            COVERS.map(|step| dust.powder_g_per_m2 * (1.0 + step * WOBBLE_COVER / answer).max(0.1));
        let plates = [const { None }; COVERS.len()];
        Ok(Self { plate: plate.clone(), spread, powder_g_per_m2, plates })
    }

    /// Raises the second of two constants that were drawn across each other.
    fn keep_order(&self, plan: &mut Plan) {
        let constants = self.plate.constants();
        for (lower, upper) in IN_ORDER {
            let drawn = |key: &str| {
                let known = plan.calibration.get(key).copied();
                known.or_else(|| constants.get(key)).unwrap_or(0.0)
            };
            let (least, most) = (drawn(lower), drawn(upper));
            if least > most {
                plan.calibration.insert(upper.to_owned(), least);
            }
        }
    }

    /// L* of every value, paper first, in the print of this number.
    ///
    /// # Errors
    /// As [`Plate::of`].
    pub fn draw(&mut self, number: u32, renderer: &mut Renderer) -> Result<Vec<f64>, Refused> {
        let mut plan = self.plate.plan().clone();
        let mut constants = self.plate.constants().clone();
        let mut chance = Pcg32::new(plan.seed.into(), number.into());
        plan.bath.temperature_c += WOBBLE_C * chance.random_range(-1.0..=1.0);
        for bite in &mut plan.bites {
            let off_min = WOBBLE_S / 60.0 * chance.random_range(-1.0..=1.0);
            bite.bite_min = (bite.bite_min + off_min).max(0.0);
        }
        let place = chance.random_range(0..COVERS.len() as u32) as usize;
        plan.dust.powder_g_per_m2 = self.powder_g_per_m2[place];
        match &self.spread {
            Spread::Wobble => {}
            Spread::Ranges => {
                let all = Constants::catalogue();
                for info in all.into_iter().filter(|info| !UNEVEN.contains(&info.key)) {
                    // The same chances are drawn for all, so that a constant never shifts another's.
                    let (a, b) = (chance.random(), chance.random());
                    if info.tag == Tag::Estimated && !plan.calibration.contains_key(info.key) {
                        let value = within(&info, constants.get_mut(info.key), a, b);
                        plan.calibration.insert(info.key.to_owned(), value);
                    }
                }
            }
            Spread::Calibrated(limits) => {
                let count = limits.keys.len();
                let normal: Vec<f64> = (0..count).map(|_| chance.sample(StandardNormal)).collect();
                let catalogue = Constants::catalogue();
                for (row, key) in limits.ln_factor.chunks_exact(count.max(1)).zip(&limits.keys) {
                    let info = catalogue.iter().find(|info| info.key == key);
                    if let (Some(info), Some(value)) = (info, constants.get_mut(key)) {
                        let off: f64 = row.iter().zip(&normal).map(|(f, z)| f * z).sum();
                        let drawn =
                            if info.min > 0.0 { *value * libm::exp(off) } else { *value + off };
                        plan.calibration.insert(key.clone(), drawn.clamp(info.min, info.max));
                    }
                }
            }
        }
        self.keep_order(&mut plan);
        let before = self.plates[place].as_ref().unwrap_or(&self.plate);
        let plate = before.after(&self.plate.job().with_plan(plan))?;
        Ok(printed(self.plates[place].insert(plate), renderer))
    }

    /// What the hand decides, each alone at both ends of its usual wobble; what moves a value most comes first.
    ///
    /// # Errors
    /// As [`Plate::of`].
    pub fn holds(&self, renderer: &mut Renderer) -> Result<Vec<Hold>, Refused> {
        let degrees = quantity(WOBBLE_C, Unit::CelsiusApart, 1);
        let seconds = quantity(WOBBLE_S, Unit::Seconds, 0);
        let share = quantity(WOBBLE_COVER, Unit::Percent, 0);
        let cover = [self.powder_g_per_m2[0], self.powder_g_per_m2[COVERS.len() - 1]];
        let hands: [(Sentence, Off<'_>); 3] = [
            (sentence!("The warmth of the bath, to ± {}", degrees), &|plan, more| {
                plan.bath.temperature_c += if more { WOBBLE_C } else { -WOBBLE_C };
            }),
            (sentence!("The time of each bite, to ± {}", seconds), &|plan, more| {
                // Bites run over and short by themselves: after n of them the total is off by √n times as much.
                let mut before = 0.0;
                for (i, bite) in plan.bites.iter_mut().enumerate() {
                    let off_min = WOBBLE_S / 60.0 * libm::sqrt(i as f64 + 1.0);
                    let own = if more { off_min - before } else { before - off_min };
                    bite.bite_min = (bite.bite_min + own).max(0.0);
                    before = off_min;
                }
            }),
            // The outermost covers that are drawn.
            (sentence!("The cover of the ground, to ± {}", share), &|plan, more| {
                plan.dust.powder_g_per_m2 = cover[usize::from(more)];
            }),
        ];
        let mut end = |change: Off<'_>, more| -> Result<Vec<f64>, Refused> {
            let mut plan = self.plate.plan().clone();
            change(&mut plan, more);
            Ok(printed(&self.plate.after(&self.plate.job().with_plan(plan))?, renderer))
        };
        let mut found = Vec::new();
        for (sentence, change) in hands {
            let (less, more) = (end(change, false)?, end(change, true)?);
            let moves_l: Vec<f64> =
                less.iter().zip(more).map(|(less, more)| 0.5 * (less - more).abs()).collect();
            found.push((sentence, moves_l));
        }
        let values = found.first().map_or(0, |(_, moves_l)| moves_l.len());
        let together = |closer: Option<usize>| -> Vec<f64> {
            let square = |value: usize| {
                found.iter().enumerate().map(move |(i, (_, moves_l))| {
                    let moves = if closer == Some(i) { 0.5 } else { 1.0 } * moves_l[value];
                    moves * moves
                })
            };
            (0..values).map(|value| libm::sqrt(square(value).sum())).collect()
        };
        let usual_l = together(None);
        let held: Vec<Vec<f64>> = (0..found.len()).map(|i| together(Some(i))).collect();
        let most = |moves_l: &[f64]| moves_l.iter().fold(0.0_f64, |most, moves| most.max(*moves));
        let mut holds: Vec<Hold> = found
            .into_iter()
            .zip(held)
            .map(|((sentence, moves_l), held_l)| Hold {
                sentence,
                moves_l,
                usual_l: usual_l.clone(),
                held_l,
            })
            .collect();
        holds.sort_by(|a, b| most(&b.moves_l).total_cmp(&most(&a.moves_l)));
        Ok(holds)
    }
}

/// Puts a plan off to the lower end of a wobble, or to the upper one.
type Off<'a> = &'a dyn Fn(&mut Plan, bool);

/// L* of every value of a plate, paper first.
fn printed(plate: &Plate, renderer: &mut Renderer) -> Vec<f64> {
    let view = View::first();
    let mut looking = renderer.look(plate, &view);
    let doses_um = &plate.session().dose_um;
    doses_um.iter().map(|&dose_um| looking.lightness_at(dose_um)).collect()
}

/// A value of a constant in its range, likeliest at the one in force: half of all draws to either side
/// of it, thinning out evenly to the ends.
fn within(info: &ConstantInfo, in_force: Option<&mut f64>, side: f64, far: f64) -> f64 {
    let middle = in_force.map_or(info.default, |value| *value);
    let end = if side < 0.5 { info.min } else { info.max };
    middle + (end - middle) * (1.0 - libm::sqrt(1.0 - far))
}

/// The bands of so many values (paper counted) from draws laid one after another.
#[must_use]
pub fn tolerance(draws: &[f64], values: usize) -> Vec<Band> {
    let count = draws.len().checked_div(values).unwrap_or(0);
    if count == 0 {
        return Vec::new();
    }
    (0..values)
        .map(|value| {
            let mut all: Vec<f64> = (0..count).map(|draw| draws[draw * values + value]).collect();
            all.sort_unstable_by(f64::total_cmp);
            let at = |share: f64| {
                let place = share * (count - 1) as f64;
                let below = place as usize;
                let above = (below + 1).min(count - 1);
                all[below] + (all[above] - all[below]) * (place - below as f64)
            };
            let alike = |draw: &usize| {
                let at = draw * values + value;
                value + 1 < values && draws[at] - draws[at + 1] < MET_L
            };
            let alike_share = (0..count).filter(alike).count() as f64 / count as f64;
            Band {
                dark_l: at(TAIL),
                middle_l: at(0.5),
                light_l: at(1.0 - TAIL),
                alike_share,
                at_risk: alike_share > RISK,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{COVERS, Draws, Spread, WOBBLE_COVER};
    use plan::Plan;
    use plate::chain::OneValue;
    use plate::{Job, Plate, Renderer};
    use std::sync::Arc;

    #[test]
    fn the_grounds_of_the_draws_cover_as_much_more_and_less_as_the_wobble_says() {
        let plan = Plan::default();
        let shares = [0.125; 8];
        let areas = Arc::new(OneValue::new(1, &shares, 7).expect("a value of the plan"));
        let plate = Plate::of(&Job::new(plan.clone(), areas)).expect("a sound plan");
        let draws = Draws::of(&plate, Spread::Wobble).expect("a sound plan");
        let cover = |powder_g_per_m2: f64| {
            let mut other = plan.clone();
            other.dust.powder_g_per_m2 = powder_g_per_m2;
            let other = plate.after(&plate.job().with_plan(other)).expect("a sound plan");
            Renderer::default().ground_statistics(&other).cover
        };
        let last = COVERS.len() - 1;
        let (least, most) = (cover(draws.powder_g_per_m2[0]), cover(draws.powder_g_per_m2[last]));
        let (usual, range) = (cover(plan.dust.powder_g_per_m2), COVERS[last] - COVERS[0]);
        // The cover of a ground is known to 0.003.
        let (found, expected) = ((most - least) / usual, range * WOBBLE_COVER);
        assert!((found / expected - 1.0).abs() < 0.2, "{least} to {most} of {usual}: {found}");
        assert!(draws.powder_g_per_m2.is_sorted(), "{:?}", draws.powder_g_per_m2);
    }
}
