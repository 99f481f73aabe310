//! Ink: what the pits hold after wiping, what the paper takes, and the light it throws back.
//!
//! Three steps, each a plain function over a window of the copper:
//!
//! 1. [`Inking::hold`]: the cloth sags into the pits and takes the ink above its level; the rest
//!    stays, and a thin film where the cloth touches.
//! 2. [`Inking::transfer`]: under the press the ink splits between copper and paper, and spreads a
//!    little in the damp sheet.
//! 3. [`Inking::reflect`]: light goes through the ink into the paper, wanders sideways in it, and
//!    comes out through the ink again.
//!
//! All lengths in µm, all fields row by row. Borders reflect: at the plate's edge the grain is
//! taken to go on as it is. Inside [`Inking::reach_um`] of a window's border the result depends on
//! the border; farther in, every window of a plate gives the same bits.

mod blur;
mod cloth;
mod dab;
mod exp;
mod optics;
mod print;
mod transfer;

use crate::grid::{Grid, make_room};
use crate::stage_constants;
use blur::{blurred_row, half_gaussian, reflected};
use cloth::Cloth;
use dab::Dab;
use optics::Optics;
use plan::{Blankets, Press, Stiffness, Wipe};
use transfer::{Film, Split};

pub use cloth::Shared;
pub use print::{Copper, InkScratch, Keep};

stage_constants! {
    /// Constants of ink, wiping, press and paper.
    InkConstants "ink" {
        cloth_width_um: 200.0, "µm", 100.0..=300.0, Estimated,
            "contact width of the wiping cloth (standard deviation)", "estimated so that wide hollows wipe clean, after M. Lalanne, A Treatise on Etching, 1880, §37; calibrate with your own step plate";
        tarlatan_overlap_um: 0.4, "µm", 0.1..=1.2, Estimated,
            "how deep the tarlatan alone presses into the copper", "estimated: calibrate with your own step plate";
        tarlatan_land_film_um: 0.30, "µm", 0.05..=0.8, Estimated,
            "ink left on polished copper by tarlatan alone", "estimated after the plate tone described by M. Lalanne, A Treatise on Etching, 1880, §§87–92; calibrate with your own step plate";
        tarlatan_floor_film_um: 0.50, "µm", 0.1..=1.2, Estimated,
            "ink left on bitten copper by tarlatan alone", "estimated: calibrate with your own step plate";
        hand_overlap_um: 0.8, "µm", 0.3..=3.0, Estimated,
            "how deep a hand wipe presses into the copper", "estimated: calibrate with the step at which your own plate turns lighter again";
        hand_land_film_um: 0.05, "µm", 0.0..=0.3, Estimated,
            "ink left on polished copper by a hand wipe", "estimated: calibrate with your own step plate";
        hand_floor_film_um: 0.25, "µm", 0.05..=0.8, Estimated,
            "ink left on bitten copper by a hand wipe", "estimated after the grey of wide hollows in M. Lalanne, A Treatise on Etching, 1880, §37; calibrate with your own step plate";
        hard_overlap_um: 1.6, "µm", 0.8..=5.0, Estimated,
            "how deep hard wiping presses into the copper", "estimated: calibrate with your own step plate";
        hard_land_film_um: 0.02, "µm", 0.0..=0.2, Estimated,
            "ink left on polished copper by hard wiping", "estimated: calibrate with your own step plate";
        hard_floor_film_um: 0.10, "µm", 0.0..=0.5, Estimated,
            "ink left on bitten copper by hard wiping", "estimated: calibrate with your own step plate";
        rough_length_um: 2.0, "µm", 0.5..=6.0, Estimated,
            "depth of bite over which copper grows rough enough to keep the thicker film", "estimated: calibrate with your own step plate";
        contact_per_um: 10.0, "1/µm", 2.0..=30.0, Estimated,
            "how fast contact with the paper becomes whole as the ink gets thicker (k of the transfer law)", "law: W. C. Walker & J. M. Fetsko, TAGA Proc. 1955; value estimated: calibrate with your own step plate";
        taken_up_um: 2.0, "µm", 0.5..=5.0, Estimated,
            "thickness of ink that the damp paper takes up whole (b of the transfer law)", "law: W. C. Walker & J. M. Fetsko, TAGA Proc. 1955; value estimated: calibrate with your own step plate";
        split_light: 0.35, "", 0.1..=0.6, Estimated,
            "share of the remaining ink that goes with the paper, press set light", "S. Abbott, “Walker-Fetsko” (web): from 10 % at poor contact to 50 % for a smooth split; value estimated: calibrate with your own step plate";
        split_normal: 0.50, "", 0.3..=0.7, Published,
            "share of the remaining ink that goes with the paper, press set as usual", "even split of a film: S. Abbott, “Walker-Fetsko” (web)";
        loose_overlap: 1.25, "×", 1.0..=2.0, Estimated,
            "how much deeper the cloth presses into loose ink than into usual ink", "estimated: calibrate with your own step plate";
        loose_film: 0.80, "×", 0.4..=1.0, Estimated,
            "film that wiping leaves of loose ink, against usual ink", "estimated: calibrate with your own step plate";
        stiff_overlap: 0.75, "×", 0.4..=1.0, Estimated,
            "how deep the cloth presses into stiff ink, against usual ink", "estimated: calibrate with your own step plate";
        stiff_film: 1.40, "×", 1.0..=2.5, Estimated,
            "film that wiping leaves of stiff ink, against usual ink", "estimated: calibrate with your own step plate";
        dabbed_share: 0.04, "", 0.01..=0.08, Estimated,
            "share of the ink that dabbing with soft muslin draws out of the pits and spreads round them", "estimated after M. Lalanne, A Treatise on Etching, 1880, §89";
        dabbed_width_um: 150.0, "µm", 50.0..=300.0, Estimated,
            "how far dabbing spreads the ink (standard deviation)", "estimated after M. Lalanne, A Treatise on Etching, 1880, §89";
        two_blankets: 0.90, "×", 0.6..=1.0, Estimated,
            "share of the ink that goes with the paper under two blankets, against three", "estimated: two or three felts push the paper into the pits, common practice; calibrate with your own step plate";
        one_blanket: 0.75, "×", 0.4..=0.95, Estimated,
            "share of the ink that goes with the paper under one blanket, against three", "estimated: calibrate with your own step plate";
        split_heavy: 0.60, "", 0.4..=0.8, Estimated,
            "share of the remaining ink that goes with the paper, press set heavy or a second pass", "S. Abbott, “Walker-Fetsko” (web): up to 70 % into a porous sheet; value estimated: calibrate with your own step plate";
        ink_spread_um: 6.0, "µm", 0.0..=15.0, Estimated,
            "spread of the ink in the damp paper (standard deviation)", "fits the 8–18 µm of sideways penetration in T. Yu. Kyrychok, Res. Bull. NTUU KPI; calibrate with your own step plate";
        absorption_per_um: 0.85, "1/µm", 0.4..=2.0, Estimated,
            "absorption of neat etching black, in and out", "estimated: calibrate with the palest steps of your own step plate";
        surface_reflectance: 0.0224, "", 0.01..=0.05, Estimated,
            "light thrown back by the upper surface of the ink", "density 1.65 at most, within the 1.4–1.7 of matt intaglio blacks; calibrate with the blackest step of your own step plate";
        light_spread_um: 50.0, "µm", 20.0..=100.0, Published,
            "spread of light within the paper (standard deviation)", "28–66 µm from the paper constants of 0.15–0.35 mm given by J. S. Arney";
        patch_exponent: 1.8, "", 1.0..=2.0, Published,
            "Yule–Nielsen exponent of a whole patch", "J. A. C. Yule & W. J. Nielsen, TAGA Proc. 1951: 1 without spread of light, 2 with full spread";
        density_g_per_cm3: 1.2, "g/cm³", 1.0..=1.4, Estimated,
            "density of etching ink", "oil with bone or carbon black by mixture, component densities from memory";
        waste_film_um: 15.0, "µm", 5.0..=40.0, Estimated,
            "ink dabbed on and wiped off again, as a film over the whole plate", "estimated: weigh your own ink";
    }
}

/// The ink spread's Gaussian is cut off at this many sigmas.
const INK_SPREAD_CUT: f64 = 3.0;

/// One way of inking, wiping and printing, ready to use on any window.
#[derive(Clone, Debug, PartialEq)]
pub struct Inking {
    cloth: Cloth,
    film: Film,
    split: Split,
    dab: Option<Dab>,
    spread_um: f64,
    optics: Optics,
    patch_exponent: f64,
    density_g_per_cm3: f64,
    waste_film_um: f64,
}

/// Share of black in a mix of `base_parts` transparent base and `reducer_parts` reducer to 100
/// parts of black, all by volume: 1 for neat ink.
#[must_use]
pub fn pigment_share(base_parts: f64, reducer_parts: f64) -> f64 {
    1.0 / (1.0 + (base_parts + reducer_parts) / 100.0)
}

impl Inking {
    /// The ink, wiping and press of a plan, on its paper.
    #[must_use]
    pub fn new(ink: &plan::Ink, paper: &plan::Paper, constants: &InkConstants) -> Self {
        let c = constants;
        let (overlap_um, land_um, floor_um) = match ink.wipe {
            Wipe::Tarlatan => {
                (c.tarlatan_overlap_um, c.tarlatan_land_film_um, c.tarlatan_floor_film_um)
            }
            Wipe::Hand => (c.hand_overlap_um, c.hand_land_film_um, c.hand_floor_film_um),
            Wipe::Hard => (c.hard_overlap_um, c.hard_land_film_um, c.hard_floor_film_um),
        };
        let share = match ink.press {
            Press::Light => c.split_light,
            Press::Normal => c.split_normal,
            Press::Heavy => c.split_heavy,
        };
        let share = match ink.blankets {
            Blankets::Three => share,
            Blankets::Two => share * c.two_blankets,
            Blankets::One => share * c.one_blanket,
        };
        let (overlap_um, land_um, floor_um) = match ink.stiffness {
            Stiffness::Usual => (overlap_um, land_um, floor_um),
            Stiffness::Loose => {
                (overlap_um * c.loose_overlap, land_um * c.loose_film, floor_um * c.loose_film)
            }
            Stiffness::Stiff => {
                (overlap_um * c.stiff_overlap, land_um * c.stiff_film, floor_um * c.stiff_film)
            }
        };
        let pigment = pigment_share(ink.base_parts, ink.reducer_parts);
        Self {
            cloth: Cloth { overlap_um: overlap_um as f32, width_um: c.cloth_width_um },
            film: Film {
                land_um: land_um as f32,
                floor_um: floor_um as f32,
                rough_um: c.rough_length_um as f32,
            },
            split: Split {
                contact_per_um: c.contact_per_um as f32,
                taken_up_um: c.taken_up_um as f32,
                share: share as f32,
            },
            dab: ink
                .dabbed_up
                .then_some(Dab { share: c.dabbed_share as f32, width_um: c.dabbed_width_um }),
            spread_um: c.ink_spread_um,
            optics: Optics {
                absorption_per_um: (0.5 * c.absorption_per_um * pigment) as f32,
                surface: c.surface_reflectance as f32,
                paper: paper.reflectance as f32,
                spread_um: c.light_spread_um,
            },
            patch_exponent: c.patch_exponent,
            density_g_per_cm3: c.density_g_per_cm3,
            waste_film_um: c.waste_film_um,
        }
    }

    /// The same under a press of which only this share (0–1) of what splits off with the paper is left.
    #[must_use]
    pub fn pressed_less(mut self, share: f64) -> Self {
        self.split.share *= share as f32;
        self
    }

    /// Ink dabbed on before wiping, as a film over the whole plate, µm.
    #[must_use]
    pub fn dabbed_um(&self) -> f64 {
        self.waste_film_um
    }

    /// Distance beyond which the plate has no influence at all on a place of the print, µm.
    #[must_use]
    pub fn reach_um(&self) -> f64 {
        let spread_um = (INK_SPREAD_CUT + 1.0) * self.spread_um + 10.0;
        let dabbed_um = self.dab.as_ref().map_or(0.0, |dab| (INK_SPREAD_CUT + 1.0) * dab.width_um);
        self.cloth.reach_um() + dabbed_um + spread_um + self.optics.reach_um()
    }

    /// How far a window must be padded on every side for its inside to look as it would in the
    /// whole plate, µm.
    #[must_use]
    pub fn margin_um(&self) -> f64 {
        let dabbed_um = self.dab.as_ref().map_or(0.0, |dab| INK_SPREAD_CUT * dab.width_um);
        3.0 * self.cloth.width_um + 2.0 * self.optics.spread_um + dabbed_um
    }

    /// How far from a place the cloth feels the copper, µm: the part of the margin that is the
    /// cloth's.
    #[must_use]
    pub fn cloth_margin_um(&self) -> f64 {
        3.0 * self.cloth.width_um
    }

    /// How far beyond its edge ink and light on the paper are felt, µm: the part of the margin that
    /// ink and light need; the rest is the cloth's.
    #[must_use]
    pub fn paper_margin_um(&self) -> f64 {
        let dabbed_um = self.dab.as_ref().map_or(0.0, |dab| INK_SPREAD_CUT * dab.width_um);
        INK_SPREAD_CUT * self.spread_um + 2.0 * self.optics.spread_um + dabbed_um
    }

    /// The cloth's level below the old surface, µm, over a window of the copper.
    pub fn cloth_level_um(
        &self,
        depth_um: &[f32],
        grid: &Grid,
        scratch: &mut InkScratch,
        level_um: &mut Vec<f32>,
    ) {
        level_um.resize(grid.len(), 0.0);
        if grid.is_empty() {
            return;
        }
        let blocks =
            self.cloth.settle(depth_um.into(), grid, Shared::default(), &mut scratch.cloth);
        for (y, row) in level_um.chunks_exact_mut(grid.width).enumerate() {
            blocks.spread_row(&scratch.cloth.level_um, (y, 0), &mut scratch.line, row);
        }
    }

    /// Ink held along a line of depths under a cloth whose level is known there, all µm and of the
    /// same length.
    pub fn hold_under(&self, depth_um: &[f32], cloth_um: &[f32], held_um: &mut [f32]) {
        self.film.hold(depth_um, cloth_um, held_um);
    }

    /// Presses paper onto the plate: from [`InkScratch::held_um`] to [`InkScratch::printed_um`].
    pub fn transfer(&self, grid: &Grid, scratch: &mut InkScratch) {
        let InkScratch { held_um, taken_um, printed_um, weights, line, .. } = scratch;
        make_room(taken_um, grid.len());
        make_room(printed_um, grid.len());
        taken_um.resize(grid.len(), 0.0);
        printed_um.resize(grid.len(), 0.0);
        self.split(held_um, taken_um);
        half_gaussian(self.spread_um / f64::from(grid.px_um), INK_SPREAD_CUT, weights);
        let place = |row: i64| reflected(row, grid.height);
        for (row, out) in printed_um.chunks_exact_mut(grid.width.max(1)).enumerate() {
            blurred_row(taken_um, grid.width, row, &place, weights, line, out);
        }
    }

    /// Ink taken by the paper, before it spreads, from films of ink `held_um` on the copper: of the
    /// same length, both µm.
    pub fn split(&self, held_um: &[f32], taken_um: &mut [f32]) {
        self.split.transfer(held_um, taken_um);
    }

    /// Looks at the print: from [`InkScratch::printed_um`] to `reflectance` 0–1.
    pub fn reflect(&self, grid: &Grid, scratch: &mut InkScratch, reflectance: &mut Vec<f32>) {
        make_room(reflectance, grid.len());
        reflectance.resize(grid.len(), 0.0);
        if grid.is_empty() {
            return;
        }
        self.optics.transmit(&scratch.printed_um, reflectance);
        self.optics.reflect(reflectance, grid, &mut scratch.optics);
    }

    /// Reflectance 0–1 of a patch seen as a whole, from the ink printed on each of its pixels, µm.
    ///
    /// > R̄ = R_s + (R_p − R_s)·⟨T^(2/n)⟩ⁿ
    ///
    /// For a patch of bare and covered paper this is the law of Yule and Nielsen (TAGA Proc. 1951).
    #[must_use]
    pub fn patch_reflectance(&self, printed_um: &[f32]) -> f64 {
        let optics = &self.optics;
        let (surface, paper) = (f64::from(optics.surface), f64::from(optics.paper));
        let per_um = -2.0 * f64::from(optics.absorption_per_um) / self.patch_exponent;
        let sum: f64 = printed_um.iter().map(|&y| libm::exp(per_um * f64::from(y))).sum();
        let mean = if printed_um.is_empty() { 1.0 } else { sum / printed_um.len() as f64 };
        surface + (paper - surface) * libm::pow(mean, self.patch_exponent)
    }

    /// Ink used for one print of a plate of `area_cm2` that holds `mean_held_um` on average, with
    /// what is wiped off again, g.
    #[must_use]
    pub fn ink_grams(&self, area_cm2: f64, mean_held_um: f64) -> f64 {
        // 1 µm over 1 cm² is 1e-4 cm³.
        self.density_g_per_cm3 * area_cm2 * 1e-4 * (mean_held_um + self.waste_film_um)
    }
}
