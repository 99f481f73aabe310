//! Bake: how the dust melts, spreads and merges on the hot plate.
//!
//! The plate warms up ([`heat`]); warm rosin flows, and how far it has flowed is one number for the
//! whole bake, the capillary dose ∫γ/η dt ([`flow`]); each grain's cap flattens with the dose over
//! the cube root of its volume until it rests ([`cap`]); caps that overlap deeply merge, in steps as the rest
//! angle falls in a long bake ([`MeltStep`], worked out grain by grain in [`crate::ground`]).
//! [`cover`] holds the closed forms of what cover comes of it, [`Baked::verdict`] the words.

pub mod cap;
pub mod cover;
pub mod flow;
pub mod heat;
mod verdict;

use crate::{dust::LandedDust, stage_constants};

stage_constants! {
    /// Constants of melting and merging.
    BakeConstants "bake" {
        softening_c: 76.0, "°C", 70.0..=85.0, Published,
            "softening point of the rosin (ring and ball)", "GB/T 8145-2003 gum rosin grades (from memory)";
        viscosity_level: -9.4735, "", -12.0..=-7.0, Published,
            "level of ln η (Pa·s) far above softening", "Vogel–Fulcher–Tammann fit through three points of a hydrogenated rosin's data sheet, shifted to the softening point";
        viscosity_slope_k: 1101.11, "K", 900.0..=1300.0, Published,
            "steepness of the rosin's viscosity", "same fit";
        viscosity_offset_k: 66.306, "K", 55.0..=80.0, Published,
            "how far below softening the rosin would be wholly stiff", "same fit";
        surface_tension_n_per_m: 0.035, "N/m", 0.030..=0.045, Estimated,
            "surface tension of molten rosin", "Macleod–Sugden estimate, taken low: calibrate with your own step plate";
        rest_angle_deg: 55.0, "°", 40.0..=70.0, Estimated,
            "angle at which molten rosin rests on copper", "Owens–Wendt from the copper of Royaux et al., SN Applied Sciences 2:48 (2020): calibrate with your own step plate";
        first_angle_deg: 170.0, "°", 150.0..=178.0, Estimated,
            "angle of a grain just melted, before it spreads", "nearly a ball; any value near 170 gives the same ground";
        contact_line_log: 10.0, "", 5.0..=20.0, Published,
            "logarithm of large to small lengths at a spreading edge", "Cox–Voinov law; Bonn et al., Rev. Mod. Phys. 81, 739 (2009) (from memory)";
        hysteresis_deg: 25.0, "°", 12.0..=60.0, Estimated,
            "difference of angle that the edge of a dome withstands before it moves", "organic liquids on polished metal recede at angles far below those at which they advance (from memory); islands keep their irregular outlines (Miller; Mitjà, Heliogravure): calibrate with a micrograph of your own ground";
        pull_share: 0.3, "", 0.1..=0.6, Estimated,
            "share of the rest angle by which two merging domes pull their edges", "no source: calibrate with your own step plate";
        contact_paper_w_per_m2k: 95.0, "W/m²K", 30.0..=200.0, Estimated,
            "heat passed from hot plate to copper through a sheet of paper", "from J. Heat Transfer 114, 326 (1992): two contacts and 0.07 mm of sheet";
        contact_bare_w_per_m2k: 250.0, "W/m²K", 100.0..=600.0, Estimated,
            "heat passed from hot plate to copper laid on it bare", "a thin film of air between two flat metals, no source: calibrate with your own step plate";
        loss_w_per_m2k: 10.0, "W/m²K", 5.0..=20.0, Estimated,
            "heat lost from the face of the plate to the room", "free convection and radiation, common practice";
        copper_density_kg_per_m3: 8933.0, "kg/m³", 8850.0..=8960.0, Published,
            "density of copper", "Incropera & DeWitt, Table A.1 (from memory)";
        copper_heat_j_per_kgk: 385.0, "J/kg·K", 380.0..=390.0, Published,
            "specific heat of copper", "Incropera & DeWitt, Table A.1 (from memory)";
        drift_end_angle_deg: 10.0, "°", 5.0..=30.0, Estimated,
            "rest angle after baking for ever", "no source: calibrate with your own step plate";
        drift_per_min: 0.025, "1/min", 0.0..=0.2, Estimated,
            "how fast the rest angle falls at 120 °C", "no source: calibrate with your own step plate";
        drift_energy_j_per_mol: 95000.0, "J/mol", 50000.0..=150000.0, Estimated,
            "how strongly heat hastens that fall", "no source: calibrate with your own step plate";
        edge_cooler_c: 0.0, "°C", 0.0..=40.0, Estimated,
            "how much cooler the plate's edges lie on the hot plate than its middle, which has the set temperature", "off at nought; common practice, no source: measure your own hot plate";
    }
}

/// A dome holds on the copper while the angle at its edge is below this, degrees, by definition:
/// from a right angle up it overhangs and a rag takes it off. (Common practice, no source.)
pub const HOLD_ANGLE_DEG: f64 = 90.0;

/// Finest step of the rest angle, degrees: domes spread and merge anew at each.
const STEP_DEG: f64 = 6.0;

/// A fall of the rest angle smaller than this, degrees, is one step.
const ONE_STEP_DEG: f64 = 0.5;

/// How far the ground is baked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doneness {
    /// Grains have not spread enough to hold: they rub off or lift in the bath.
    Under,
    /// Domes that hold, many of them joined to islands.
    Good,
    /// The resin flows out and closes the ground.
    Over,
}

impl Doneness {
    /// `under`, `good` or `over`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Under => "under",
            Self::Good => "good",
            Self::Over => "over",
        }
    }
}

/// One step of the melt, from the first flow to the end of the bake: while the rest angle falls,
/// domes spread further and those that touch merge.
#[derive(Clone, Debug, PartialEq)]
pub struct MeltStep {
    /// Angle at which the resin comes to rest on copper, degrees.
    pub rest_angle_deg: f64,
    /// Pinning of the edges, 0 (free) to 1 (fixed): domes merge when nearer than
    /// (1 − pinning)·(a₁ + a₂).
    pub pinning: f64,
    /// Pairs merge only while a₁ + a₂ is below this, µm.
    pub merge_limit_um: f64,
    /// Footprint radius against melt volume.
    pub footprint: Footprint,
}

/// Footprint radius and cap angle of a dome against its melt volume, at one step of the melt.
///
/// A table over ln V with linear interpolation: exact to 1e-4 of the radius.
#[derive(Clone, Debug, PartialEq)]
pub struct Footprint {
    /// ln of the smallest volume in the table, V in µm³.
    pub ln_volume_from: f64,
    /// Step of ln V between entries.
    pub ln_volume_step: f64,
    /// Radius of the footprint on copper, µm, per entry.
    pub radius_um: Vec<f32>,
    /// Angle between dome and copper at its edge, degrees, per entry. From 90° up the dome does
    /// not hold.
    pub angle_deg: Vec<f32>,
}

/// The course and the outcome of a bake.
#[derive(Clone, Debug, PartialEq)]
pub struct Baked {
    /// Minutes since the plate was laid on the hot plate, for the plot.
    pub course_min: Vec<f64>,
    /// Plate temperature at those minutes, °C.
    pub course_c: Vec<f64>,
    /// Plate temperature at the end, °C.
    pub plate_end_c: f64,
    /// Capillary dose ∫γ/η dt, m.
    pub dose_m: f64,
    /// Steps of the melt, in order; at least one.
    pub steps: Vec<MeltStep>,
}

/// Bakes a dusted plate.
///
/// `bake` and `thickness_mm` must be within the plan's limits. Never fails: a plate that stays cold
/// has one step with caps that have hardly begun to spread.
#[must_use]
pub fn bake(bake: &plan::Bake, thickness_mm: f64, constants: &BakeConstants) -> Baked {
    let warming = heat::Warming::new(bake, thickness_mm, constants);
    let course = flow::Course::new(&warming, bake.bake_min, constants);
    let (course_min, course_c) = warming.plot(bake.bake_min);
    let rest_end = course.rest_angle_deg(course.end(), constants);

    // The steps stand at fixed angles, so that a longer bake goes on from where a shorter ended.
    let first = constants.rest_angle_deg;
    let mut angles = Vec::new();
    if first - rest_end >= ONE_STEP_DEG {
        let mut angle = first;
        while angle > rest_end {
            angles.push(angle);
            angle -= STEP_DEG;
        }
    }
    angles.push(rest_end);

    let steps = angles
        .iter()
        .enumerate()
        .map(|(step, &angle)| {
            // A step lasts until the rest angle reaches the next one's; its caps have the dose
            // gathered by then.
            let until = angles
                .get(step + 1)
                .map_or(course.end(), |&next| course.first_at_rest_angle(next, constants));
            melt_step(angle, course.dose_m(until), constants)
        })
        .collect();

    Baked {
        course_min,
        course_c,
        plate_end_c: warming.plate_c(bake.bake_min),
        dose_m: course.dose_m(course.end()),
        steps,
    }
}

/// One step at a rest angle, with the dose gathered by its end.
fn melt_step(rest_angle_deg: f64, dose_m: f64, constants: &BakeConstants) -> MeltStep {
    MeltStep {
        rest_angle_deg,
        pinning: pinning(rest_angle_deg, constants),
        merge_limit_um: merge_limit_um(rest_angle_deg, dose_m, constants),
        footprint: cap::footprint(rest_angle_deg, dose_m, constants),
    }
}

/// Pinning of the domes' edges, 0 (free) to 1 (fixed): 1 − 0.3·θe/Δ. Two domes pull their edges in
/// proportion to the rest angle; where that is less than the edge withstands they stay as they are.
#[must_use]
pub fn pinning(rest_angle_deg: f64, constants: &BakeConstants) -> f64 {
    (1.0 - constants.pull_share * rest_angle_deg / constants.hysteresis_deg).clamp(0.0, 1.0)
}

/// Domes whose radii together exceed this, µm, have not had the time to pull together: the edge
/// moves Ω·θe³/(9Λ) in the dose Ω (Cox–Voinov).
#[must_use]
pub fn merge_limit_um(rest_angle_deg: f64, dose_m: f64, constants: &BakeConstants) -> f64 {
    let angle = rest_angle_deg.to_radians();
    1e6 * dose_m * angle * angle * angle / (9.0 * constants.contact_line_log)
}

impl Footprint {
    /// Radius in µm and edge angle in degrees of a dome of `volume_um3`. Outside the table
    /// (1e-2 to 1e12 µm³) the shape of its nearest entry, scaled.
    #[must_use]
    pub fn of_volume(&self, volume_um3: f64) -> (f64, f64) {
        let last = self.radius_um.len() - 1;
        let place = (libm::log(volume_um3) - self.ln_volume_from) / self.ln_volume_step;
        let inside = place.clamp(0.0, last as f64);
        let entry = (inside as usize).min(last - 1);
        let share = inside - entry as f64;
        let between = |table: &[f32]| {
            f64::from(table[entry]) * (1.0 - share) + f64::from(table[entry + 1]) * share
        };
        let scale = libm::exp((place - inside) * self.ln_volume_step / 3.0);
        (between(&self.radius_um) * scale, between(&self.angle_deg))
    }

    /// Edge angle in degrees of a dome whose footprint has this radius.
    #[must_use]
    pub fn angle_of_radius_deg(&self, radius_um: f64) -> f64 {
        // The radius rises with the volume, so the table can be searched by halves.
        let entry = self.radius_um.partition_point(|&r| f64::from(r) < radius_um);
        if entry == 0 {
            return f64::from(self.angle_deg[0]);
        }
        let Some(&above) = self.radius_um.get(entry) else {
            return f64::from(self.angle_deg[entry - 1]);
        };
        let (above, below) = (f64::from(above), f64::from(self.radius_um[entry - 1]));
        let share = (radius_um - below) / (above - below);
        f64::from(self.angle_deg[entry - 1]) * (1.0 - share)
            + f64::from(self.angle_deg[entry]) * share
    }
}

impl Baked {
    /// The last step of the melt, as the plate comes off the hot plate.
    #[must_use]
    pub fn last_step(&self) -> &MeltStep {
        &self.steps[self.steps.len() - 1]
    }

    /// Height in µm of the dome whose footprint has this radius: a·tan(θ/2), a spherical cap.
    #[must_use]
    pub fn height_um(&self, radius_um: f32) -> f32 {
        let radius_um = f64::from(radius_um);
        let angle = self.last_step().footprint.angle_of_radius_deg(radius_um).to_radians();
        (radius_um * libm::tan(0.5 * angle)) as f32
    }

    /// Cover to expect of a baked dust, 0–1, if every grain holds and has had the time to merge: a
    /// closed form for words, within about 0.03 of real grounds (see [`cover`]).
    #[must_use]
    pub fn expected_cover(&self, dust: &LandedDust, constants: &BakeConstants) -> f64 {
        Self::cover_at(self.last_step().rest_angle_deg, dust, constants)
    }

    /// The same once the rest angle has fallen to `end_deg`.
    fn cover_at(end_deg: f64, dust: &LandedDust, constants: &BakeConstants) -> f64 {
        // Domes merge freely down to the angle at which their edges begin to stick, then only
        // spread over one another.
        let sticks_deg = constants.hysteresis_deg / constants.pull_share;
        let merged_deg = sticks_deg.clamp(end_deg, constants.rest_angle_deg.max(end_deg));
        let merged_ratio = cap::area_ratio(dust.solid_share, merged_deg);
        let end_ratio = cap::area_ratio(dust.solid_share, end_deg);
        let n = cover::melted_area(dust.loose_cover, merged_ratio);
        let growth = end_ratio / merged_ratio;
        let as_fallen = (pinning(merged_deg, constants) / cover::AS_FALLEN_FROM).min(1.0);
        as_fallen * cover::pinned_cover(n * growth)
            + (1.0 - as_fallen) * cover::spread_after_merging(cover::merged_cover(n), growth)
    }
}
