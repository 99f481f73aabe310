//! What each step reads with other constants, and with what may be otherwise than the plan has it.

use crate::calibration::camera::Camera;
use crate::calibration::forward::{FITTED, Forward};
use crate::calibration::solve::{Prints, Sought};
use crate::calibration::sway::Sways;
use crate::calibration::unfitted;
use plan::Plan;
use plate::{Plate, Refused, light};

/// A bite that ran otherwise is off by this, min (standard deviation; common practice, no source).
const BITE_MIN: f64 = 3.0;
/// Where every bite ran otherwise by as much, getting plates in and out, it is this, min (standard deviation; common practice, no
/// source).
const EVERY_BITE_MIN: f64 = 0.4;
/// What is left of a bite at least, share of its minutes.
const LEAST_BITE: f64 = 0.05;
/// Powder of another ground than the plan's is off by this, as ln (standard deviation; common practice, no source).
const POWDER_LN: f64 = 0.4;
/// The tables of other grounds are made for so many times the powder, and for as many times less.
const POWDER_TIMES: f64 = 1.6;
/// So much farther than those tables powder is sought.
const POWDER_FARTHEST: f64 = 1.4;
/// A shop's constants as an earlier step plate told them are off by this on another day, as ln (standard deviation; common
/// practice, no source).
pub(crate) const KNOWN_LN: f64 = 0.1;
/// What the tables of other grounds make of the depth of the wipe is off by this, as ln (standard deviation): the limits of that depth
/// held in 46 of 60 synthetic shops without it.
const WIPE_LN: f64 = 0.2;
/// A slip in reading is off by this, L* (standard deviation; common practice, no source).
const SLIP_L: f64 = 10.0;

/// Place of the depth of the wipe among the constants.
const OVERLAP: usize = 3;
/// That of the light that the ink's surface throws back, and of the ink's strength.
const SURFACE: usize = 2;
const ABSORPTION: usize = 1;

/// Something that may be otherwise, beside the constants.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Extra {
    /// A bite's minutes, counted from 0.
    Bite(usize),
    /// The powder of the ground.
    Ground,
    /// The depth of the wipe on that other ground.
    Wipe,
    /// One reading, by its step.
    Slip(usize),
    /// Every bite's minutes, by as much.
    EveryBite,
    /// The film of ink that wiping leaves, in `sway::FILM_UM`.
    Film,
    /// The pressure, in steps of the press.
    Press,
}

impl Extra {
    /// The bites up to a step's whose minutes it changes.
    fn bites(self, step: usize) -> core::ops::Range<usize> {
        match self {
            Self::Bite(bite) if step >= bite => bite..bite + 1,
            Self::EveryBite => 0..step + 1,
            _ => 0..0,
        }
    }
}

/// The same steps on a ground of less powder, and on one of more.
#[derive(Clone, Debug, PartialEq)]
pub struct Grounds {
    less: Forward,
    more: Forward,
    /// Share of the copper under resin: less, as planned, more.
    cover: [f64; 3],
}

impl Grounds {
    /// For a plan and its `own` plate that was read; `make` lays that of a plan with another powder.
    ///
    /// # Errors
    /// Sentences: as [`plate::Plate::of`].
    pub fn new(
        plan: &Plan,
        own: &Plate,
        make: impl Fn(&Plan) -> Result<Plate, Refused>,
    ) -> Result<Self, Refused> {
        Self::calculated(plan, own, &make, Forward::to_compare)
    }

    /// The same by coarser tables, for a proof's causes.
    ///
    /// # Errors
    /// As [`Grounds::new`].
    pub(crate) fn to_differ(
        plan: &Plan,
        own: &Plate,
        make: impl Fn(&Plan) -> Result<Plate, Refused>,
    ) -> Result<Self, Refused> {
        Self::calculated(plan, own, &make, Forward::to_differ)
    }

    fn calculated(
        plan: &Plan,
        own: &Plate,
        make: &dyn Fn(&Plan) -> Result<Plate, Refused>,
        table: fn(&Plate) -> Result<Forward, String>,
    ) -> Result<Self, Refused> {
        let with = |times: f64| {
            let mut plan = unfitted(plan);
            plan.dust.powder_g_per_m2 *= times;
            make(&plan)
        };
        let cover = |plate: &Plate| 1.0 - plate.ground().profile().open_share();
        let table = |plate: &Plate| {
            let other = |words| vec![plan::Diagnostic::error("dust", "fit.constant", words)];
            table(plate).map_err(other)
        };
        let (less, more) = (with(1.0 / POWDER_TIMES)?, with(POWDER_TIMES)?);
        let covers = [cover(&less), cover(own), cover(&more)];
        Ok(Self { less: table(&less)?, more: table(&more)?, cover: covers })
    }

    /// Cover of a ground of so many times the plan's powder.
    pub(crate) fn cover(&self, times: f64) -> f64 {
        let [less, own, more] = self.cover;
        between(times, less, own, more).clamp(0.0, 1.0)
    }

    /// Cover of the plan's own ground.
    pub(crate) fn planned_cover(&self) -> f64 {
        self.cover[1]
    }
}

/// Least and most powder that is sought, in times the plan's.
fn powder_range() -> (f64, f64) {
    let most = libm::pow(POWDER_TIMES, POWDER_FARTHEST);
    (1.0 / most, most)
}

/// The parabola in ln of the powder through what less, as much and more powder give.
fn between(times: f64, less: f64, own: f64, more: f64) -> f64 {
    let at = libm::log(times) / libm::log(POWDER_TIMES);
    own + 0.5 * (more - less) * at + (0.5 * (more + less) - own) * at * at
}

/// A step plate with what may be otherwise.
#[derive(Clone)]
pub(crate) struct Model<'a> {
    pub(crate) forward: &'a Forward,
    pub(crate) grounds: Option<&'a Grounds>,
    /// What is sought beside the four constants, in this order, before the camera.
    pub(crate) extras: Vec<Extra>,
    pub(crate) camera: Option<Camera>,
    /// Constants that an earlier step plate told, if they are to be relied on, and how far they may be off, as ln.
    pub(crate) known: [Option<(f64, f64)>; FITTED],
    /// How another film or pressure would darken the print, where they are asked about.
    pub(crate) sways: Option<&'a Sways>,
}

impl<'a> Model<'a> {
    /// All as planned.
    pub(crate) fn planned(forward: &'a Forward) -> Self {
        Self {
            forward,
            grounds: None,
            extras: Vec::new(),
            camera: None,
            known: [None; FITTED],
            sways: None,
        }
    }

    /// The same with something more that may be otherwise.
    pub(crate) fn with(&self, extra: Extra) -> Self {
        let mut more = self.clone();
        more.extras.push(extra);
        more
    }

    /// All that is sought: the four constants, the extras, and what is open of the camera.
    pub(crate) fn sought(&self) -> Vec<Sought> {
        let mut all = self.forward.sought().to_vec();
        for (one, known) in all.iter_mut().zip(self.known) {
            if let Some((value, off_ln)) = known {
                *one = Sought::times(one.key, value, off_ln, (one.min, one.max));
            }
        }
        all.extend(self.extras.iter().map(|extra| match *extra {
            Extra::Bite(bite) => {
                Sought::even("bite", 0.0, BITE_MIN, (self.shortest(bite), 10.0 * BITE_MIN))
            }
            Extra::Ground => Sought::times("powder", 1.0, POWDER_LN, powder_range()),
            Extra::Wipe => Sought::times("wipe", 1.0, WIPE_LN, (libm::exp(-1.0), libm::exp(1.0))),
            Extra::Slip(_) => Sought::even("slip", 0.0, SLIP_L, (-100.0, 100.0)),
            Extra::EveryBite => {
                Sought::even("bites", 0.0, EVERY_BITE_MIN, (-BITE_MIN, 10.0 * BITE_MIN))
            }
            Extra::Film => Sought::even("film", 0.0, 1.0, (-4.0, 4.0)),
            Extra::Press => Sought::even("press", 0.0, 1.0, (-4.0, 4.0)),
        }));
        all.extend(self.camera.iter().flat_map(Camera::sought));
        all
    }

    fn own_min(&self, bite: usize) -> f64 {
        let minutes = &self.forward.minutes;
        minutes[bite] - if bite == 0 { 0.0 } else { minutes[bite - 1] }
    }

    /// By how much a bite may have run shorter, min, below 0.
    fn shortest(&self, bite: usize) -> f64 {
        (LEAST_BITE - 1.0) * self.own_min(bite)
    }

    fn extras<'b>(&'b self, constants: &'b [f64]) -> impl Iterator<Item = (Extra, f64)> + 'b {
        self.extras.iter().copied().zip(constants.iter().skip(FITTED).copied())
    }

    /// What is open of the camera, of all that is sought.
    pub(crate) fn of_camera<'b>(&self, constants: &'b [f64]) -> &'b [f64] {
        constants.get(FITTED + self.extras.len()..).unwrap_or(&[])
    }

    /// By how much a bite ran longer, min, and how many times the plan's powder lay there.
    pub(crate) fn found(&self, extra: Extra, constants: &[f64]) -> Option<f64> {
        self.extras(constants).find(|(one, _)| *one == extra).map(|(_, value)| value)
    }

    /// Minutes of a step in all, as they ran.
    pub(crate) fn minutes(&self, step: usize, constants: &[f64]) -> f64 {
        let mut minutes = self.forward.minutes[step];
        for (extra, by_min) in self.extras(constants) {
            for bite in extra.bites(step) {
                minutes += by_min.max(self.shortest(bite));
            }
        }
        minutes
    }

    /// Dose of a step, µm, from one ground's table.
    fn dose_um(&self, table: &Forward, step: usize, constants: &[f64]) -> f64 {
        let rate = constants[0];
        let mut dose_um = table.step_dose(step, rate);
        for (extra, by_min) in self.extras(constants) {
            for bite in extra.bites(step) {
                let before = if bite == 0 { 0.0 } else { table.step_dose(bite - 1, rate) };
                let per_min = (table.step_dose(bite, rate) - before) / self.own_min(bite);
                dose_um += per_min * by_min.max(self.shortest(bite));
            }
        }
        dose_um
    }

    /// L* that the print has after a dose, told from each ground's own doses.
    fn printed(&self, dose_um: impl Fn(&Forward) -> f64, constants: &[f64]) -> f64 {
        let mut four: [f64; FITTED] = core::array::from_fn(|i| constants[i]);
        four[OVERLAP] *= self.found(Extra::Wipe, constants).unwrap_or(1.0);
        let swayed = self.extras.iter().any(|extra| matches!(extra, Extra::Film | Extra::Press));
        let l = |table: &Forward| {
            let dose_um = dose_um(table);
            let reflectance = table.reflectance(dose_um, four);
            let Some(sways) = self.sways.filter(|_| swayed) else {
                return light::lightness(reflectance);
            };
            let surface = four[SURFACE];
            let ln = sways.ln(dose_um, self.sway(constants));
            light::lightness(surface + (reflectance - surface) * libm::exp(ln))
        };
        match (self.grounds, self.found(Extra::Ground, constants)) {
            (Some(grounds), Some(times)) => {
                let (least, most) = powder_range();
                let times = times.clamp(least, most);
                between(times, l(&grounds.less), l(self.forward), l(&grounds.more))
            }
            _ => l(self.forward),
        }
    }

    /// Film and pressure.
    fn sway(&self, constants: &[f64]) -> [f64; 2] {
        [Extra::Film, Extra::Press].map(|one| self.found(one, constants).unwrap_or(0.0))
    }

    /// L* of copper that was never bitten: what the wipe leaves there.
    pub(crate) fn bare_l(&self, sways: &Sways, constants: &[f64]) -> f64 {
        let surface = constants[SURFACE];
        let stronger = constants[ABSORPTION] / self.forward.in_force[ABSORPTION];
        let light = libm::exp(stronger * sways.bare_ln(self.sway(constants)));
        light::lightness(surface + (self.forward.paper - surface) * light)
    }

    /// L* that a step of the print has.
    pub(crate) fn print_l(&self, step: usize, constants: &[f64]) -> f64 {
        self.printed(|table| self.dose_um(table, step, constants), constants)
    }

    /// L* of the print so far between a step and the next: doses grow with the minutes as a power.
    pub(crate) fn between_l(&self, next: usize, share: f64, constants: &[f64]) -> f64 {
        let dose_um = |table: &Forward| {
            let ln = |step: usize| libm::log(self.dose_um(table, step, constants).max(1e-9));
            libm::exp(ln(next - 1) + share * (ln(next) - ln(next - 1)))
        };
        self.printed(dose_um, constants)
    }

    /// The print's L* of a reading, what was found of the camera taken off.
    pub(crate) fn read_as(&self, read_l: f64, constants: &[f64]) -> f64 {
        match &self.camera {
            Some(camera) => camera.printed(read_l, self.forward.paper, self.of_camera(constants)),
            None => read_l,
        }
    }
}

impl Prints for Model<'_> {
    fn lightness(&self, step: usize, constants: &[f64]) -> f64 {
        let mut l = self.print_l(step, constants);
        if let Some(camera) = &self.camera {
            l = camera.reads(l, self.forward.paper, self.of_camera(constants));
        }
        match self.found(Extra::Slip(step), constants) {
            Some(off) => l + off,
            None => l,
        }
    }
}

/// The print itself, whatever read it.
pub(crate) struct Printed<'a>(pub(crate) &'a Model<'a>);

impl Prints for Printed<'_> {
    fn lightness(&self, step: usize, constants: &[f64]) -> f64 {
        self.0.print_l(step, constants)
    }
}
