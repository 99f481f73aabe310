//! A session at the bath: bite after bite, stopping out upwards from the lightest value.

use super::{BiteConstants, rate};
use plan::{Bath, Bite};

/// Longest stretch over which the copper dissolved is taken to grow evenly with the bite, min.
const LONGEST_STRETCH_MIN: f64 = 2.0;
/// cm³ of copper in a layer of 1 µm over 1 cm².
const CM3_PER_CM2_UM: f64 = 1e-4;

/// What a session at the bath comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Session {
    /// Rate of the bite on open copper at the start of each bite, µm/min.
    pub rate_um_per_min: Vec<f64>,
    /// How deep each bite goes on open copper, µm.
    pub bite_um: Vec<f64>,
    /// Temperature of the bath at the start of each bite, °C.
    pub temperature_c: Vec<f64>,
    /// Copper in the bath before each bite, g/L.
    pub copper_g_per_l: Vec<f64>,
    /// Copper in the bath after the last bite, g/L.
    pub copper_end_g_per_l: f64,
    /// Copper that this plate gave, g.
    pub dissolved_g: f64,
    /// Cumulative bite of each value on open copper, µm: index 0 is paper (0), then one per bite.
    pub dose_um: Vec<f64>,
    /// How the bite of what is never stopped out goes on: minutes in the bath and µm, from 0.
    pub course: Vec<(f64, f64)>,
}

/// What lies in the bath, and what it stands in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InBath {
    /// The plate's face, cm².
    pub plate_cm2: f64,
    /// Copper that lies open all the while and that nobody prints, cm²: a back that was not covered.
    pub bare_cm2: f64,
    /// The room, °C.
    pub room_c: f64,
}

impl InBath {
    /// A plate with its back covered, in a room at the bath's own 20 °C.
    #[must_use]
    pub fn covered(plate_cm2: f64) -> Self {
        Self { plate_cm2, bare_cm2: 0.0, room_c: 20.0 }
    }
}

/// Temperature of a bath so many minutes after the first bite began, °C: it comes to the room's by Newton's law of cooling.
#[must_use]
pub fn temperature_c(bath: &Bath, after_min: f64, room_c: f64, constants: &BiteConstants) -> f64 {
    let left = libm::exp(-constants.cooling_per_h * after_min / 60.0);
    if left < 1.0 { room_c + (bath.temperature_c - room_c) * left } else { bath.temperature_c }
}

/// Bites a plate.
///
/// Value k lies open in bites 1 to k and is then stopped out, so all values still open have had
/// the same dose. `area_share` gives each value's share of the plate (index 0 paper, never bitten;
/// missing entries count as 0), `mean_depth_um` the mean depth over such an area, ground and
/// undercut included, at a dose in µm; `open_share` is the share of the copper that the ground leaves
/// open. The bath tires as the copper goes into it; copper that
/// creeps from under the varnish's edge is too little to count. A bath that is not kept warm cools towards the room's
/// temperature, during bites and between them.
#[must_use]
pub fn session(
    bath: &Bath,
    bites: &[Bite],
    &InBath { plate_cm2, bare_cm2, room_c }: &InBath,
    area_share: &[f64],
    open_share: f64,
    mean_depth_um: &dyn Fn(f64) -> f64,
    constants: &BiteConstants,
) -> Session {
    let loss = rate::loss_per_copper(bath.strength_be, constants);
    let mut copper = bath.copper_g_per_l;
    let (mut dose, mut depth, mut dissolved_g) = (0.0, mean_depth_um(0.0), 0.0);
    let mut out = Session {
        rate_um_per_min: Vec::with_capacity(bites.len()),
        bite_um: Vec::with_capacity(bites.len()),
        temperature_c: Vec::with_capacity(bites.len()),
        copper_g_per_l: Vec::with_capacity(bites.len()),
        copper_end_g_per_l: 0.0,
        dissolved_g: 0.0,
        dose_um: vec![0.0],
        course: vec![(0.0, 0.0)],
    };
    let mut before_min = 0.0;
    for (i, bite) in bites.iter().enumerate() {
        let began_min = before_min + i as f64 * constants.between_bites_min;
        let degrees =
            |after_min: f64| temperature_c(bath, began_min + after_min, room_c, constants);
        let warm = rate::temperature_factor(bath.temperature_c, constants);
        // How many times as fast as at the temperature that it was set to.
        let times = |after_min: f64| match constants.cooling_per_h > 0.0 {
            true => rate::temperature_factor(degrees(after_min), constants) / warm,
            false => 1.0,
        };
        let rate = rate::rate_um_per_min(bath, copper, open_share, constants);
        out.rate_um_per_min.push(rate * times(0.0));
        out.temperature_c.push(degrees(0.0));
        out.copper_g_per_l.push(copper);
        let before_um = dose;
        let open_values: f64 = area_share.iter().skip(i + 1).sum();
        let grams_per_um = plate_cm2 * open_values * CM3_PER_CM2_UM * constants.copper_g_per_cm3;
        let bare_per_um = bare_cm2 * CM3_PER_CM2_UM * constants.copper_g_per_cm3;
        let stretches = libm::ceil(bite.bite_min / LONGEST_STRETCH_MIN).max(1.0);
        let mut fresh_before_um = 0.0;
        for stretch in 1..=stretches as u32 {
            let until_min = bite.bite_min * f64::from(stretch) / stretches;
            let fresh_um = rate::untiring_bite_um(bath, until_min, open_share, constants);
            let left = (1.0 - loss * copper).max(0.0);
            let stretch_min = bite.bite_min / stretches;
            let fresh_here_um = (fresh_um - fresh_before_um) * times(until_min - 0.5 * stretch_min);
            let first_guess = left * fresh_here_um;
            // Within a stretch copper grows in proportion to the bite, by the slope found over the
            // first guess; dR = (left − loss·slope·R)·dB then has a closed form that cannot run
            // past the bath's last ferric iron.
            let gained = if first_guess > 0.0 {
                let slope = grams_per_um / bath.volume_l
                    * ((mean_depth_um(dose + first_guess) - depth) / first_guess)
                    + bare_per_um / bath.volume_l;
                first_guess * evened(loss * slope * fresh_here_um)
            } else {
                0.0
            };
            fresh_before_um = fresh_um;
            dose += gained;
            let depth_now = mean_depth_um(dose);
            let grams = grams_per_um * (depth_now - depth) + bare_per_um * gained;
            depth = depth_now;
            dissolved_g += grams;
            copper += grams / bath.volume_l;
            out.course.push((before_min + until_min, dose));
        }
        before_min += bite.bite_min;
        out.bite_um.push(dose - before_um);
        out.dose_um.push(dose);
    }
    out.copper_end_g_per_l = copper;
    out.dissolved_g = dissolved_g;
    out
}

/// (1 − e^−x)/x, and its limit 1 at 0.
fn evened(x: f64) -> f64 {
    if x > 1e-12 { -libm::expm1(-x) / x } else { 1.0 }
}
