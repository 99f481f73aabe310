//! Dust: what falls onto the plate in the box.
//!
//! Powder is stirred into the air of the box; the grains sink, each at its own speed, the coarse
//! ones first. The plate goes in after a wait and lies there for some minutes. What lands on it is
//! the share of each size that sinks out of the air between those two moments. The box may be raised
//! again before the one bake: each dusting lands alike.

use crate::stage_constants;
use plan::Settling;

stage_constants! {
    /// Constants of the dust box.
    DustConstants "dust" {
        resin_density_kg_per_m3: 1070.0, "kg/m³", 1050.0..=1100.0, Published,
            "density of solid rosin", "CAMEO (MFA Boston), “Rosin”, after Gettens & Stout, Painting Materials";
        solid_share: 1.0, "", 0.3..=1.0, Estimated,
            "share of a loose grain that is rosin, the rest air between its specks", "ground rosin is solid shards (common practice, no source); less where powder clumps: calibrate with your own step plate";
        air_density_kg_per_m3: 1.2041, "kg/m³", 0.9..=1.4, Published,
            "density of the air in the box", "dry air at 20 °C and 101.325 kPa, ideal gas (from memory)";
        air_viscosity_pa_s: 1.8133e-5, "Pa·s", 1.6e-5..=2.0e-5, Published,
            "viscosity of the air in the box", "dry air at 20 °C, Sutherland's law (from memory)";
        air_free_path_um: 0.0664, "µm", 0.05..=0.09, Published,
            "mean free path of air", "20 °C and 101.325 kPa; Davies 1945 gives 0.066 µm";
        slip_near: 1.257, "", 1.0..=1.5, Published,
            "first slip constant", "C. N. Davies, Proc. Phys. Soc. 57, 259 (1945); tabulated in J. Nanotechnology 2012, 324380";
        slip_far: 0.400, "", 0.3..=0.6, Published,
            "second slip constant", "C. N. Davies, Proc. Phys. Soc. 57, 259 (1945)";
        slip_fade: 1.10, "", 0.8..=1.3, Published,
            "third slip constant", "C. N. Davies, Proc. Phys. Soc. 57, 259 (1945)";
        drag_rise: 0.15, "", 0.1..=0.2, Published,
            "rise of the drag above Stokes' law, factor", "Schiller & Naumann 1933: 24/Re·(1 + 0.15 Re^0.687), Re below 800 (from memory)";
        drag_power: 0.687, "", 0.6..=0.75, Published,
            "rise of the drag above Stokes' law, power of the Reynolds number", "Schiller & Naumann 1933 (from memory)";
        uneven_share: 0.0, "", 0.0..=0.5, Estimated,
            "how much more dust falls in the thickest places of the plate than on the mean, and less in the thinnest", "off at nought; common practice, no source: dust a sheet of glass and compare its places";
        wall_loss: 0.0, "", 0.0..=0.8, Estimated,
            "share of the dust that the plate's edges miss for the walls of the box", "off at nought; common practice, no source: dust a sheet of glass and compare its places";
        wall_reach_mm: 40.0, "mm", 5.0..=300.0, Estimated,
            "how far inwards from the plate's edges the walls thin the dust", "common practice, no source";
    }
}

/// About the least rosin dust in air that can explode, g/m³: from memory of U.S. Bureau of Mines RI 5971
/// (Jacobson et al. 1962, 0.015 oz/ft³). A caution beside the cloud's own figures, never a clearance: a
/// cloud is never even. Static is enough to light one, about 10 mJ (from memory).
pub const EXPLOSIBLE_G_PER_M3: f64 = 15.0;

/// The low angle at which a printmaker judges the dust on the plate, degrees above the copper: common
/// practice, no source.
pub const LOW_ANGLE_DEG: f64 = 8.0;

/// Standard gravity, m/s², by definition.
const GRAVITY_M_PER_S2: f64 = 9.80665;

/// The size classes reach this many standard deviations of ln D to each side of all that matters.
const REACH_SIGMA: f64 = 4.5;

/// Size classes before empty tails are dropped.
const CLASSES: usize = 192;

/// The finest classes are dropped while all of them together hide less than this share of the
/// loose cover. They weigh less still, and there are so many that nothing else would get done.
const FINE_TAIL_SHARE: f64 = 1e-4;

/// The coarsest classes are dropped while all of them together hold less than this share of the
/// weight.
const COARSE_TAIL_SHARE: f64 = 1e-6;

/// The grains of one size class that landed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SizeClass {
    /// Smallest envelope diameter of the class, µm.
    pub from_um: f64,
    /// Largest envelope diameter of the class, µm.
    pub to_um: f64,
    /// Grains landed per mm².
    pub grains_per_mm2: f64,
    /// Weight landed, g per m².
    pub mass_g_per_m2: f64,
}

impl SizeClass {
    /// Middle of the class on a scale of ratios: its typical envelope diameter, µm.
    #[must_use]
    pub fn middle_um(&self) -> f64 {
        libm::sqrt(self.from_um * self.to_um)
    }
}

/// What lies on the plate when it comes out of the box, after all dustings.
#[derive(Clone, Debug, PartialEq)]
pub struct LandedDust {
    /// Size classes, ascending, without gaps; none when nothing lands.
    pub classes: Vec<SizeClass>,
    /// All grains, per mm².
    pub grains_per_mm2: f64,
    /// All dust, g per m².
    pub mass_g_per_m2: f64,
    /// Share of the copper hidden by loose grains seen from above, 0–1.
    pub loose_cover: f64,
    /// Share of it hidden seen at [`LOW_ANGLE_DEG`], which is how a printmaker judges it, 0–1.
    pub low_angle_cover: f64,
    /// Share of a loose grain that is resin, 0–1 (from the constants).
    pub solid_share: f64,
    /// Dust in the air when stirred up, g/m³, at each dusting.
    pub cloud_start_g_per_m3: f64,
    /// Dust still in the air when the plate goes in, g/m³.
    pub cloud_plate_in_g_per_m3: f64,
    /// Dust still in the air when the plate comes out, g/m³.
    pub cloud_plate_out_g_per_m3: f64,
}

impl LandedDust {
    /// Shadow number n: the grains' areas seen from above, overlaps counted twice, over the plate's.
    #[must_use]
    pub fn shadow_number(&self) -> f64 {
        -libm::log1p(-self.loose_cover)
    }
}

/// Share of a plate that grains with shadow number `shadow` hide, 0–1, from a place `angle_deg` above it
/// (above 0, to 90): 1 − exp(−n / sin a).
///
/// Grains on random places hide 1 − e^(−λA) of it, A being the mean area that one hides (the Boolean model:
/// Chiu, Stoyan, Kendall & Mecke, *Stochastic Geometry and its Applications*, 3rd ed. 2013, §3.2). From
/// above a ball hides πr²; seen at an angle a, the shadow that it throws on the plate is the ellipse
/// πr²/sin a.
#[must_use]
pub fn hidden_at(angle_deg: f64, shadow: f64) -> f64 {
    -libm::expm1(-shadow / libm::sin(angle_deg.to_radians()))
}

/// Speed at which a grain sinks through still air, m/s.
///
/// `diameter_um` is the grain's envelope, `density_kg_per_m3` its mean density, air between its
/// specks included; both above 0. A sphere with Schiller & Naumann's drag (1933, Reynolds numbers
/// below 800) and Cunningham's slip with the constants of Davies (1945).
#[must_use]
pub fn settling_velocity_m_per_s(
    diameter_um: f64,
    density_kg_per_m3: f64,
    constants: &DustConstants,
) -> f64 {
    let c = constants;
    let diameter_m = diameter_um * 1e-6;
    let lift = density_kg_per_m3 - c.air_density_kg_per_m3;
    if lift <= 0.0 {
        return 0.0;
    }
    let creeping = lift * GRAVITY_M_PER_S2 * diameter_m * diameter_m
        / (18.0 * c.air_viscosity_pa_s)
        * slip_factor(diameter_um, c);
    // Solve ln v + ln(1 + rise·Re^power) = ln v(Stokes). The left side is convex and rising, so
    // Newton's steps close in without overshooting twice; ten reach the last digit.
    let ln_creeping = libm::log(creeping);
    let ln_reynolds_at_1 = libm::log(c.air_density_kg_per_m3 * diameter_m / c.air_viscosity_pa_s);
    let mut ln_v = ln_creeping;
    for _ in 0..10 {
        let rise = c.drag_rise * libm::exp(c.drag_power * (ln_reynolds_at_1 + ln_v));
        let miss = ln_v + libm::log1p(rise) - ln_creeping;
        ln_v -= miss / (1.0 + c.drag_power * rise / (1.0 + rise));
    }
    libm::exp(ln_v)
}

/// Cunningham's slip factor of a grain in air (Davies 1945): how many times faster it sinks
/// because air is made of molecules. `diameter_um` above 0.
#[must_use]
pub fn slip_factor(diameter_um: f64, constants: &DustConstants) -> f64 {
    let knudsen = 2.0 * constants.air_free_path_um / diameter_um;
    1.0 + knudsen
        * (constants.slip_near + constants.slip_far * libm::exp(-constants.slip_fade / knudsen))
}

/// Share of the grains of one speed that is still in the air `after_s` seconds after stirring,
/// 0–1. Stirred: e^(−vt/H); still: falls in a straight line to 0 (Hinds, *Aerosol Technology*,
/// 2nd ed. 1999, §3.8).
#[must_use]
pub fn airborne_fraction(
    velocity_m_per_s: f64,
    after_s: f64,
    box_height_m: f64,
    settling: Settling,
) -> f64 {
    let fallen = velocity_m_per_s * after_s / box_height_m;
    match settling {
        Settling::Stirred => libm::exp(-fallen),
        Settling::Still => (1.0 - fallen).max(0.0),
    }
}

/// Share of the grains of one speed that lands between `from_s` and `to_s` after stirring, 0–1.
#[must_use]
pub fn landed_fraction(
    velocity_m_per_s: f64,
    from_s: f64,
    to_s: f64,
    box_height_m: f64,
    settling: Settling,
) -> f64 {
    airborne_fraction(velocity_m_per_s, from_s, box_height_m, settling)
        - airborne_fraction(velocity_m_per_s, to_s, box_height_m, settling)
}

/// Seconds after `from_s` at which a grain lands that comes `turn` (0–1) of the way through those of its
/// speed that land between `from_s` and `to_s`: [`landed_fraction`] the other way round.
#[must_use]
pub fn lands_after_s(
    velocity_m_per_s: f64,
    (from_s, to_s): (f64, f64),
    box_height_m: f64,
    settling: Settling,
    turn: f64,
) -> f64 {
    let per_s = velocity_m_per_s / box_height_m;
    match settling {
        // Small exponents cancel, so both functions take what differs from 1.
        Settling::Stirred => -libm::log1p(turn * libm::expm1(-per_s * (to_s - from_s))) / per_s,
        Settling::Still => turn * ((1.0 / per_s).min(to_s) - from_s).max(0.0),
    }
}

/// Sums of what lands, for one stretch of sizes.
#[derive(Clone, Copy, Default)]
struct Sums {
    /// g per m².
    mass: f64,
    /// Grains per m².
    grains: f64,
    /// Σ(π/4)D² over the grains, m² per m².
    shadow: f64,
    /// Still in the air when the plate goes in, g per m² of floor.
    air_in: f64,
    /// Still in the air when the plate comes out, g per m² of floor.
    air_out: f64,
}

impl Sums {
    fn add(&mut self, other: &Self, weight: f64) {
        self.mass += other.mass * weight;
        self.grains += other.grains * weight;
        self.shadow += other.shadow * weight;
        self.air_in += other.air_in * weight;
        self.air_out += other.air_out * weight;
    }
}

/// What lands on the plate.
///
/// `dust` must be within the plan's limits. The powder's weight is lognormal over the grain's
/// diameter; each class is summed with Simpson's rule.
#[must_use]
pub fn land(dust: &plan::Dust, constants: &DustConstants) -> LandedDust {
    let sigma = libm::log(dust.spread_gsd);
    let ln_median = libm::log(dust.median_um);
    // Weight lies round the median, numbers round a size 3σ² finer (Hatch & Choate 1929).
    let ln_from = ln_median - (REACH_SIGMA + 3.0 * sigma) * sigma;
    let ln_to = ln_median + REACH_SIGMA * sigma;
    let step = (ln_to - ln_from) / CLASSES as f64;

    let density_at = |ln_d: f64| per_ln_diameter(dust, constants, ln_median, sigma, ln_d);
    let mut sums = Vec::with_capacity(CLASSES);
    let mut edge = density_at(ln_from);
    for class in 0..CLASSES {
        let ln_low = ln_from + step * class as f64;
        let middle = density_at(ln_low + 0.5 * step);
        let next = density_at(ln_low + step);
        let mut sum = Sums::default();
        sum.add(&edge, step / 6.0);
        sum.add(&middle, step * 4.0 / 6.0);
        sum.add(&next, step / 6.0);
        sums.push(sum);
        edge = next;
    }

    let mut total = Sums::default();
    for sum in &sums {
        total.add(sum, 1.0);
    }
    let (first, last) = without_tails(&sums, &total);
    let mut landed = Sums::default();
    // Every dusting lands alike.
    let times = dust.dustings;
    let classes = (first..last)
        .map(|class| {
            landed.add(&sums[class], times);
            SizeClass {
                from_um: libm::exp(ln_from + step * class as f64),
                to_um: libm::exp(ln_from + step * (class + 1) as f64),
                grains_per_mm2: times * sums[class].grains * 1e-6,
                mass_g_per_m2: times * sums[class].mass,
            }
        })
        .collect();

    LandedDust {
        classes,
        grains_per_mm2: landed.grains * 1e-6,
        mass_g_per_m2: landed.mass,
        loose_cover: -libm::expm1(-landed.shadow),
        low_angle_cover: hidden_at(LOW_ANGLE_DEG, landed.shadow),
        solid_share: constants.solid_share,
        cloud_start_g_per_m3: dust.powder_g_per_m2 / dust.box_height_m,
        cloud_plate_in_g_per_m3: total.air_in / dust.box_height_m,
        cloud_plate_out_g_per_m3: total.air_out / dust.box_height_m,
    }
}

/// What lands and what floats, per unit of ln D.
fn per_ln_diameter(
    dust: &plan::Dust,
    constants: &DustConstants,
    ln_median: f64,
    sigma: f64,
    ln_diameter: f64,
) -> Sums {
    let diameter_um = libm::exp(ln_diameter);
    let diameter_m = diameter_um * 1e-6;
    let grain_density = constants.resin_density_kg_per_m3 * constants.solid_share;
    let velocity = settling_velocity_m_per_s(diameter_um, grain_density, constants);
    let in_s = dust.wait_s;
    let out_s = dust.wait_s + 60.0 * dust.dusting_min;
    let airborne = |after_s| airborne_fraction(velocity, after_s, dust.box_height_m, dust.settling);

    let z = (ln_diameter - ln_median) / sigma;
    let raised = dust.powder_g_per_m2 * libm::exp(-0.5 * z * z)
        / (sigma * libm::sqrt(2.0 * core::f64::consts::PI));
    let (air_in, air_out) = (raised * airborne(in_s), raised * airborne(out_s));
    let mass = air_in - air_out;
    let grain_g =
        1e3 * grain_density * core::f64::consts::PI / 6.0 * (diameter_m * diameter_m * diameter_m);
    let grains = mass / grain_g;
    let shadow = grains * core::f64::consts::FRAC_PI_4 * diameter_m * diameter_m;
    Sums { mass, grains, shadow, air_in, air_out }
}

/// The range of classes left when empty tails are dropped.
fn without_tails(sums: &[Sums], total: &Sums) -> (usize, usize) {
    if total.mass <= 0.0 {
        return (0, 0);
    }
    let mut first = 0;
    let mut shadow = 0.0;
    while first + 1 < sums.len() {
        shadow += sums[first].shadow;
        if shadow > FINE_TAIL_SHARE * total.shadow {
            break;
        }
        first += 1;
    }
    let mut last = sums.len();
    let mut mass = 0.0;
    while last > first + 1 {
        mass += sums[last - 1].mass;
        if mass > COARSE_TAIL_SHARE * total.mass {
            break;
        }
        last -= 1;
    }
    (first, last)
}
