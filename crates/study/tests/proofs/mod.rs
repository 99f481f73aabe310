//! Synthetic proofs: plans of several pictures and grounds, shops with hidden constants, hidden faults, and readings of photographs by
//! cameras that nobody knows. What is printed comes from the chain, not from the tables that explain it.

use crate::chance::Chance;
use plan::{Bite, Plan};
use plate::{Plate, Renderer, View, light};
use std::collections::BTreeMap;
use study::calibration::forward::FITTED;
use study::calibration::{Camera, Grey, proof_plate};
use study::proof_causes::{Cause, ProofSeen, ProofTables, ValueSeen};

/// Powder of grounds that are not the plan's, times the plan's.
const OTHER_POWDER: [f64; 3] = [0.6, 1.45, 1.8];
/// The four constants, with the middle half of their ranges, in which shops lie.
pub(crate) const CONSTANTS: [(&str, f64, f64, f64); FITTED] = [
    ("bite.rate_um_per_min", 0.5, 1.0, 2.0),
    ("ink.absorption_per_um", 0.4, 0.85, 2.0),
    ("ink.surface_reflectance", 0.01, 0.0224, 0.05),
    ("ink.hand_overlap_um", 0.3, 0.8, 3.0),
];

/// Constants, minutes and ground that a proof was really made with.
#[derive(Clone)]
pub(crate) struct Hidden {
    pub(crate) constants: [f64; FITTED],
    pub(crate) others: BTreeMap<&'static str, f64>,
    pub(crate) bite_min: Vec<f64>,
    pub(crate) ground: Option<usize>,
}

/// A plan, its plate, and the tables that explain its proofs.
pub(crate) struct Planned {
    pub(crate) plan: Plan,
    pub(crate) shares: Vec<f64>,
    pub(crate) tables: Option<ProofTables>,
    own: Plate,
    others: Vec<Plate>,
}

/// Which plans there are: powder, bites, parts of base, median of the dust.
const PLANS: [(f64, &[f64], f64, f64); 6] = [
    (30.0, &[1.5, 1.5, 1.5, 1.5, 2.5, 3.5, 6.0], 0.0, 60.0),
    (24.0, &[2.0, 2.0, 3.0, 5.0, 8.0], 0.0, 60.0),
    (36.0, &[1.0, 1.5, 2.5, 4.0, 6.0, 8.0], 30.0, 60.0),
    (26.0, &[1.0, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0], 0.0, 50.0),
    (33.0, &[2.5, 2.5, 2.5, 3.5, 5.0, 6.0, 8.0], 20.0, 70.0),
    (28.0, &[1.25, 1.75, 2.0, 3.0, 4.0, 6.5], 10.0, 55.0),
];

impl Planned {
    /// The plan of this number, with tables or only to be printed.
    pub(crate) fn new(number: usize, explained: bool) -> Self {
        let (powder, bites, base, median) = PLANS[number];
        let mut plan = Plan::default();
        plan.dust.powder_g_per_m2 = powder;
        plan.dust.median_um = median;
        plan.ink.base_parts = base;
        plan.bites = bites.iter().map(|&bite_min| Bite { bite_min }).collect();
        let count = bites.len();
        plan.picture.thresholds_l =
            (0..count).map(|k| 90.0 - 64.0 * k as f64 / (count - 1) as f64).collect();
        let mut shares = vec![0.8 / count as f64; count + 1];
        shares[0] = 0.2;
        let lay = |plan: &Plan| proof_plate(plan, bites, &shares).expect("a sound plan");
        let own = lay(&plan);
        let (tables, others) = if explained {
            let others = OTHER_POWDER.map(|times| {
                let mut plan = plan.clone();
                plan.dust.powder_g_per_m2 *= times;
                lay(&plan)
            });
            (Some(ProofTables::new(&plan, &shares).expect("a sound plan")), others.to_vec())
        } else {
            (None, Vec::new())
        };
        Self { plan, shares, tables, own, others }
    }

    /// The plan as a shop with these constants prints it.
    pub(crate) fn hidden(&self, constants: [f64; FITTED]) -> Hidden {
        let bite_min = self.plan.bites.iter().map(|bite| bite.bite_min).collect();
        Hidden { constants, others: BTreeMap::new(), bite_min, ground: None }
    }

    /// L* of every value, paper first, of a proof made so.
    pub(crate) fn printed(&self, hidden: &Hidden, renderer: &mut Renderer) -> Vec<f64> {
        let ground = hidden.ground.map_or(&self.own, |other| &self.others[other]);
        let mut plan = ground.plan().clone();
        for ((key, ..), value) in CONSTANTS.iter().zip(hidden.constants) {
            plan.calibration.insert((*key).to_owned(), value);
        }
        for (key, value) in &hidden.others {
            plan.calibration.insert((*key).to_owned(), *value);
        }
        plan.bites = hidden.bite_min.iter().map(|&bite_min| Bite { bite_min }).collect();
        let plate = ground.after(&ground.job().with_plan(plan)).expect("a sound plan");
        let values = renderer.look(&plate, &View::first()).values();
        values.iter().map(|value| value.lightness).collect()
    }
}

/// Constants of a shop: anywhere in the middle three fifths of their ranges, evenly in ln.
pub(crate) fn shop(chance: &mut Chance) -> [f64; FITTED] {
    CONSTANTS.map(|(_, least, _, most)| {
        let (low, high) = (libm::log(least), libm::log(most));
        libm::exp(low + (high - low) * (0.2 + 0.6 * chance.share()))
    })
}

/// The same on another day.
pub(crate) fn another_day(shop: [f64; FITTED], scatter: f64, chance: &mut Chance) -> [f64; FITTED] {
    std::array::from_fn(|i| {
        let (_, least, _, most) = CONSTANTS[i];
        (shop[i] * libm::exp(scatter * chance.normal())).clamp(least, most)
    })
}

fn pick(chance: &mut Chance, of: usize) -> usize {
    ((chance.share() * of as f64) as usize).min(of - 1)
}

fn sign(chance: &mut Chance) -> f64 {
    if chance.share() < 0.5 { -1.0 } else { 1.0 }
}

/// What may go wrong, and in how many of a hundred proofs.
pub(crate) const FAULTS: [(&str, f64); 12] = [
    ("none", 36.0),
    ("bath", 15.0),
    ("one bite", 10.0),
    ("every bite", 3.0),
    ("ground", 9.0),
    ("ink", 9.0),
    ("wipe", 4.0),
    ("plate tone", 4.0),
    ("pressure", 3.0),
    ("bath and ink", 2.0),
    ("one value", 4.0),
    ("no rhyme", 1.0),
];

/// One of them by its share.
pub(crate) fn any_fault(chance: &mut Chance) -> &'static str {
    let all: f64 = FAULTS.iter().map(|(_, share)| share).sum();
    let mut left = all * chance.share();
    for (name, share) in FAULTS {
        left -= share;
        if left <= 0.0 {
            return name;
        }
    }
    FAULTS[0].0
}

/// A proof with a fault: what it was really made with, what slips of single readings come to it, L*, and the cause.
pub(crate) fn with_fault(
    fault: &str,
    planned: &Planned,
    constants: [f64; FITTED],
    chance: &mut Chance,
) -> (Hidden, Vec<f64>, Cause) {
    let mut hidden = planned.hidden(constants);
    let bites = hidden.bite_min.len();
    let mut slips = vec![0.0; bites + 1];
    let off = |i: usize, ln: f64, hidden: &mut Hidden| {
        let (_, least, _, most) = CONSTANTS[i];
        // Turned round where the range ends.
        let way =
            if (least..most).contains(&(hidden.constants[i] * libm::exp(ln))) { ln } else { -ln };
        hidden.constants[i] = (hidden.constants[i] * libm::exp(way)).clamp(least, most);
    };
    let mut by = |from: f64, to: f64| {
        let far = from + (to - from) * chance.share();
        sign(chance) * far
    };
    let cause = match fault {
        "bath" => {
            off(0, by(0.12, 0.6), &mut hidden);
            Cause::Bath
        }
        "ink" => {
            off(1, by(0.15, 0.7), &mut hidden);
            Cause::Ink { black: false }
        }
        "wipe" => {
            off(3, by(0.3, 1.1), &mut hidden);
            Cause::Wiping { film: false }
        }
        "bath and ink" => {
            off(0, by(0.15, 0.6), &mut hidden);
            off(1, by(0.15, 0.7), &mut hidden);
            Cause::BathAndInk
        }
        "one bite" => {
            let by_min = by(1.0, 5.0);
            let bite = pick(chance, bites);
            let own = hidden.bite_min[bite];
            hidden.bite_min[bite] = if own + by_min > 0.5 { own + by_min } else { own - by_min };
            Cause::Minutes { bite: Some(bite) }
        }
        "every bite" => {
            let by_min = by(0.2, 0.8);
            for own in &mut hidden.bite_min {
                *own = (*own + by_min).max(0.25);
            }
            Cause::Minutes { bite: None }
        }
        "ground" => {
            hidden.ground = Some(pick(chance, OTHER_POWDER.len()));
            Cause::Ground
        }
        "plate tone" => {
            let more_um = by(0.06, 0.25).abs();
            hidden.others.insert("ink.hand_land_film_um", (0.05 + more_um).min(0.3));
            hidden.others.insert("ink.hand_floor_film_um", 0.25 + more_um);
            Cause::Wiping { film: true }
        }
        "pressure" => {
            let times = libm::exp(by(0.15, 0.45));
            hidden.others.insert("ink.split_normal", (0.5 * times).clamp(0.3, 0.7));
            Cause::Pressure
        }
        "one value" => {
            let by_l = by(6.0, 15.0);
            let value = pick(chance, bites + 1);
            slips[value] = by_l;
            Cause::Otherwise { value: Some(value) }
        }
        "no rhyme" => {
            for slip in &mut slips {
                *slip = 4.0 * chance.normal();
            }
            Cause::Otherwise { value: None }
        }
        _ => Cause::Planned,
    };
    (hidden, slips, cause)
}

/// L* that a camera makes of a print's.
pub(crate) fn through_camera(l: f64, paper: f64, gamma: f64, haze: f64) -> f64 {
    let share = light::reflectance_of_lightness(l) / paper;
    light::lightness(paper * libm::pow((1.0 - haze) * share + haze, gamma))
}

/// What a camera that nobody knows reads of a print: a tone curve, haze, and scatter from value to value.
pub(crate) fn photographed(
    planned: &Planned,
    printed_l: &[f64],
    slips: &[f64],
    chance: &mut Chance,
) -> ProofSeen {
    seen_by(Camera::unknown(false), any_camera(chance), planned, printed_l, slips, chance)
}

/// The same with a grey scale beside the sheet, which tells most of the camera.
pub(crate) fn photographed_with_scale(
    planned: &Planned,
    printed_l: &[f64],
    chance: &mut Chance,
) -> ProofSeen {
    let (paper, any) = (planned.plan.paper.reflectance, any_camera(chance));
    let mut grey = |l: f64| {
        let looks_l = through_camera(l, paper, any.0, any.1) + PATCH_L * chance.normal();
        let share = |l: f64| light::reflectance_of_lightness(l) / paper;
        Grey { is: share(l), seen: share(looks_l) }
    };
    let greys = SCALE_L.map(&mut grey);
    let slips = vec![0.0; printed_l.len()];
    let camera = Camera::by_greys(&greys, false, paper);
    seen_by(camera, any, planned, printed_l, &slips, chance)
}

/// Patches of a grey scale, L*, and how far what is known and seen of each is off (standard deviation).
const SCALE_L: [f64; 5] = [20.0, 35.0, 50.0, 65.0, 80.0];
const PATCH_L: f64 = 0.8;

/// Tone curve and haze of a camera.
fn any_camera(chance: &mut Chance) -> (f64, f64) {
    let gamma = libm::exp(libm::log(0.85) + chance.share() * libm::log(1.2 / 0.85));
    (gamma, 0.02 * chance.share())
}

fn seen_by(
    camera: Camera,
    (gamma, haze): (f64, f64),
    planned: &Planned,
    printed_l: &[f64],
    slips: &[f64],
    chance: &mut Chance,
) -> ProofSeen {
    let noise_l = 0.8 + 0.7 * chance.share();
    let paper = planned.plan.paper.reflectance;
    let values = printed_l.iter().zip(slips).map(|(&l, slip)| {
        let looks_l = through_camera(l, paper, gamma, haze) + slip + noise_l * chance.normal();
        let lightness = camera.reread(looks_l, &Camera::unknown(false), paper);
        // One in twelve has too little area on the print.
        (chance.share() > 1.0 / 12.0).then_some(ValueSeen { lightness, good_to_l: 0.4 })
    });
    let values = values.collect();
    ProofSeen { values, camera: Some(camera), places: Vec::new() }
}

/// What a densitometer reads of it.
pub(crate) fn by_instrument(printed_l: &[f64], chance: &mut Chance) -> ProofSeen {
    let noise_l = 0.8 + 0.7 * chance.share();
    let read =
        |l: &f64| Some(ValueSeen { lightness: l + noise_l * chance.normal(), good_to_l: 0.4 });
    ProofSeen { values: printed_l.iter().map(read).collect(), camera: None, places: Vec::new() }
}
