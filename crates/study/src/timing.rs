//! Timing: from doses to minutes in the bath, which tires as it bites, and how finely a hand times them.

use plan::Bite;
use plate::Plate;
use plate::bite::minutes_to_dose;

/// How finely bites are timed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Rounding {
    /// As a person times them: quarters below 4 minutes, halves below 12, then whole minutes.
    ByHand,
    /// Quarter minutes throughout.
    Quarters,
    /// Half minutes.
    Halves,
    /// Whole minutes.
    Wholes,
}

impl Rounding {
    /// From its word: `by_hand`, `quarters`, `halves` or `wholes`.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "by_hand" => Some(Self::ByHand),
            "quarters" => Some(Self::Quarters),
            "halves" => Some(Self::Halves),
            "wholes" => Some(Self::Wholes),
            _ => None,
        }
    }

    /// The finest step at so many minutes.
    fn step_min(self, minutes: f64) -> f64 {
        match self {
            Self::Quarters => 0.25,
            Self::Halves => 0.5,
            Self::Wholes => 1.0,
            Self::ByHand if minutes < 4.0 => 0.25,
            Self::ByHand if minutes < 12.0 => 0.5,
            Self::ByHand => 1.0,
        }
    }

    /// The nearest bite that is timed so, never shorter than one step.
    #[must_use]
    pub fn round(self, minutes: f64) -> f64 {
        let step = self.step_min(minutes);
        (libm::round(minutes / step) * step).clamp(step, plan::BITE_MIN.1)
    }
}

/// Halvings of the longest bite: to a thousandth of a minute.
const HALVINGS: u32 = 17;

/// Dose of each value after bites of so many minutes (any number of bites), value 1 first, µm; and the
/// copper in the bath afterwards, g/L.
#[must_use]
pub fn doses_after(plate: &Plate, bite_min: &[f64]) -> (Vec<f64>, f64) {
    let bites: Vec<Bite> = bite_min.iter().map(|&bite_min| Bite { bite_min }).collect();
    let session = plate.bathed(&bites);
    (session.dose_um[1..].to_vec(), session.copper_end_g_per_l)
}

/// Minutes of each bite so that value k has had `doses_um[k - 1]` µm when it is stopped out: as many as
/// there are doses. The first bites have run for `bitten_min`. Without a rounding they are exact to a
/// thousandth of a minute. Each bite is found after those before it as they are timed, so
/// that roundings do not add up. The shortest and longest a plan may have are kept to.
#[must_use]
pub fn minutes_to(
    plate: &Plate,
    doses_um: &[f64],
    bitten_min: &[f64],
    rounding: Option<Rounding>,
) -> Vec<f64> {
    let wanted: Vec<_> = doses_um.iter().map(|&dose_um| Some(dose_um)).collect();
    minutes_between(plate, &wanted, bitten_min, rounding)
}

/// The same where some bites are no bites: without a dose they get no minutes.
#[must_use]
pub fn minutes_between(
    plate: &Plate,
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
            if doses_after(plate, &minutes).0[at] < dose_um {
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
pub fn minutes_alone(plate: &Plate, dose_um: f64) -> f64 {
    let (bath, constants) = (&plate.plan().bath, &plate.constants().bite);
    let open_share = plate.ground().profile().open_share();
    let minutes = minutes_to_dose(bath, bath.copper_g_per_l, dose_um, open_share, constants);
    if minutes.is_finite() { minutes } else { f64::NAN }
}
