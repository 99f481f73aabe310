//! From doses to minutes in the bath, which tires as it bites.

use super::super::Plate;
use super::Rounding;
use crate::bite::{self, Session, minutes_to_dose};
use plan::Bite;

/// Halvings of the longest bite: to a thousandth of a minute.
const HALVINGS: u32 = 17;

impl Plate {
    /// Dose of each value after bites of so many minutes, value 1 first, µm; and the copper in the bath
    /// afterwards, g/L.
    pub(in crate::proof) fn doses_after(&self, bite_min: &[f64]) -> (Vec<f64>, f64) {
        let session = self.session_of(bite_min);
        (session.dose_um[1..].to_vec(), session.copper_end_g_per_l)
    }

    /// The session in this plate's bath with bites of so many minutes.
    pub(in crate::proof) fn session_of(&self, bite_min: &[f64]) -> Session {
        let bites: Vec<Bite> = bite_min.iter().map(|&bite_min| Bite { bite_min }).collect();
        let plate_cm2 = self.plan.plate.width_mm * self.plan.plate.height_mm / 100.0;
        let constants = &self.constants.bite;
        let mean_depth_um =
            |dose_um: f64| self.profile.mean_depth_um(dose_um, constants.etch_factor);
        let shares = self.areas.shares();
        let (bath, open_share) = (&self.plan.bath, self.profile.open_share());
        bite::session(bath, &bites, plate_cm2, shares, open_share, &mean_depth_um, constants)
    }

    /// Minutes of each bite so that value k has had `doses_um[k - 1]` when it is stopped out. The first
    /// bites have run for `bitten_min`. Each bite is found after those before it as they are timed, so
    /// that roundings do not add up. The shortest and longest a plan may have are kept to.
    pub(in crate::proof) fn minutes_to(
        &self,
        doses_um: &[f64],
        bitten_min: &[f64],
        rounding: Option<Rounding>,
    ) -> Vec<f64> {
        let wanted: Vec<_> = doses_um.iter().map(|&dose_um| Some(dose_um)).collect();
        self.minutes_between(&wanted, bitten_min, rounding)
    }

    /// The same where some bites are no bites: without a dose they get no minutes.
    pub(in crate::proof) fn minutes_between(
        &self,
        doses_um: &[Option<f64>],
        bitten_min: &[f64],
        rounding: Option<Rounding>,
    ) -> Vec<f64> {
        let mut minutes = bitten_min.to_vec();
        for dose_um in doses_um.iter().skip(bitten_min.len()) {
            let Some(dose_um) = *dose_um else {
                minutes.push(0.0);
                continue;
            };
            let (mut short, mut long) = match rounding {
                None => (0.0, plan::BITE_MIN.1),
                Some(_) => plan::BITE_MIN,
            };
            let at = minutes.len();
            minutes.push(long);
            for _ in 0..HALVINGS {
                minutes[at] = 0.5 * (short + long);
                if self.doses_after(&minutes).0[at] < dose_um {
                    short = minutes[at];
                } else {
                    long = minutes[at];
                }
            }
            minutes[at] = match rounding {
                None => long,
                Some(rounding) => rounding.round(long),
            };
        }
        minutes
    }

    /// Minutes of one immersion in this bath, as the plan begins, until a dose, µm; not a number when
    /// the bath never gets there. The copper dissolved meanwhile is that of the darkest value alone.
    #[must_use]
    pub fn minutes_alone(&self, dose_um: f64) -> f64 {
        let minutes = minutes_to_dose(
            &self.plan.bath,
            self.plan.bath.copper_g_per_l,
            dose_um,
            self.profile.open_share(),
            &self.constants.bite,
        );
        if minutes.is_finite() { minutes } else { f64::NAN }
    }
}
