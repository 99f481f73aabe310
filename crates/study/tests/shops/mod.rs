//! Synthetic shops: constants that are hidden, prints of real plates, readings that scatter, cameras, and plans that are wrong.

use crate::chance::Chance;
use crate::drawn::{PAPER, Spoilt, askew, at_scale, corners, draw_at, scale_at, to_picture};
use plan::{Bite, Plan};
use plate::{Plate, Renderer, View, light};
use study::calibration::forward::FITTED;
use study::calibration::{
    Forward, Grounds, KnownGrey, PhotoReading, Shot, design, layout, read_photo, step_plate,
};

/// Powder of grounds that are not the plan's, times the plan's: half to nearly twice.
pub(crate) const OTHER_POWDER: [f64; 4] = [0.5, 0.6, 1.65, 1.9];
/// Reflectances of the grey scale beside a print.
const SCALE: [f64; 5] = [0.6, 0.35, 0.18, 0.08, 0.035];

/// What is the same for all shops: the plan's step plate, its tables, and grounds that are not the plan's.
pub(crate) struct Bench {
    pub(crate) bite_min: Vec<f64>,
    pub(crate) forward: Forward,
    pub(crate) grounds: Grounds,
    planned: Plate,
    others: [Plate; OTHER_POWDER.len()],
    renderer: Renderer,
}

impl Clone for Bench {
    fn clone(&self) -> Self {
        let Self { bite_min, forward, grounds, planned, others, renderer: _ } = self;
        Self {
            bite_min: bite_min.clone(),
            forward: forward.clone(),
            grounds: grounds.clone(),
            planned: planned.clone(),
            others: others.clone(),
            renderer: Renderer::default(),
        }
    }
}

impl Bench {
    pub(crate) fn new() -> Self {
        let plan = Plan::default();
        let bite_min = design(&plan, 8).expect("a sound plan").bite_min;
        let lay = |plan: &Plan| step_plate(plan, &bite_min);
        let planned = lay(&plan).expect("a sound plan");
        let forward = Forward::new(&planned).expect("known constants");
        let grounds = Grounds::new(&plan, &planned, lay).expect("sound plans");
        let others = OTHER_POWDER.map(|times| {
            let mut plan = plan.clone();
            plan.dust.powder_g_per_m2 *= times;
            lay(&plan).expect("a sound plan")
        });
        Self { bite_min, forward, grounds, planned, others, renderer: Renderer::default() }
    }

    /// Constants anywhere in the middle four fifths of their ranges, evenly in ln.
    pub(crate) fn hidden(&self, chance: &mut Chance) -> [f64; FITTED] {
        std::array::from_fn(|i| {
            let (low, high) = (libm::log(self.forward.min[i]), libm::log(self.forward.max[i]));
            libm::exp(low + (high - low) * (0.1 + 0.8 * chance.share()))
        })
    }

    /// What a plate with these constants and bites really prints, L*: by the chain, not by the tables of the fit. `other` is one
    /// of the grounds that are not the plan's.
    pub(crate) fn printed(
        &mut self,
        constants: [f64; FITTED],
        bite_min: &[f64],
        other: Option<usize>,
    ) -> Vec<f64> {
        let ground = other.map_or(&self.planned, |other| &self.others[other]);
        let mut plan = ground.plan().clone();
        for (key, value) in self.forward.keys.iter().zip(constants) {
            plan.calibration.insert((*key).to_owned(), value);
        }
        plan.bites = bite_min.iter().map(|&bite_min| Bite { bite_min }).collect();
        let plate = ground.after(&ground.job().with_plan(plan)).expect("a sound plan");
        let values = self.renderer.look(&plate, &View::default()).values();
        values.iter().skip(1).map(|value| value.lightness).collect()
    }
}

/// A photograph of a print with these L*, of a camera with a tone curve and haze that nobody knows; with a grey scale beside it
/// or without. Each patch printed a little off, light falling off, corners a pixel off.
pub(crate) fn photographed(
    printed_l: &[f64],
    scale: bool,
    seed: u64,
    chance: &mut Chance,
) -> PhotoReading {
    let on = layout(printed_l.len());
    let (m, size) = at_scale(&askew(), 0.42);
    let patches: Vec<f64> = printed_l
        .iter()
        .map(|l| light::reflectance_of_lightness(l + 0.6 * chance.normal()))
        .collect();
    let greys = if scale { SCALE.to_vec() } else { Vec::new() };
    let spoilt = Spoilt {
        gamma: libm::exp(libm::log(0.85) + chance.share() * libm::log(1.2 / 0.85)),
        haze: 0.02 * chance.share(),
        falls_off: 0.3 * chance.share(),
        exposure: 0.6 + 0.25 * chance.share(),
        greys: greys.clone(),
        ..Spoilt::not()
    };
    let photo = draw_at(&m, size, seed, &on, &patches, &spoilt);
    let corners =
        corners(&m, &on).map(|(x, y)| (x + 0.5 * chance.normal(), y + 0.5 * chance.normal()));
    // A scale's own values are known to half an L*.
    let mut known = |(i, &reflectance): (usize, &f64)| {
        let (x, y) = scale_at(&on, i);
        let l = light::lightness(reflectance) + 0.5 * chance.normal();
        KnownGrey { at: to_picture(&m, x, y), reflectance: light::reflectance_of_lightness(l) }
    };
    let greys = greys.iter().enumerate().map(&mut known).collect();
    let shot = Shot { corners, paper_reflectance: PAPER, greys };
    read_photo(&photo, &on, &shot).expect("a readable picture")
}

/// Fewest of `runs` that are to be expected, were each right with this likelihood, in all but one of a thousand repetitions: the
/// binomial distribution summed from its end.
pub(crate) fn fewest(runs: u32, likely: f64) -> u32 {
    let mut ln = f64::from(runs) * libm::log(1.0 - likely);
    let mut sum = 0.0;
    for k in 0..=runs {
        sum += libm::exp(ln);
        if sum > 1e-3 {
            return k;
        }
        ln += libm::log(f64::from(runs - k) / f64::from(k + 1) * likely / (1.0 - likely));
    }
    runs
}

/// Most, likewise.
pub(crate) fn most(runs: u32, likely: f64) -> u32 {
    runs - fewest(runs, 1.0 - likely)
}
