//! Verdict: the bake in words.

use super::{BakeConstants, Baked, Doneness, HOLD_ANGLE_DEG, cap, cover};
use crate::dust::{LandedDust, SizeClass};
use plan::{Sentence, Unit, quantity, sentence};

/// Under-baked when more than this share of the dust's weight does not hold.
const LOOSE_SHARE: f64 = 0.05;

/// Above this share one may say that every grain holds.
const ALL_HOLD: f64 = 0.995;

/// Over-baked when more than this share of the copper is expected to close: there bare copper stops
/// being one connected net (disc percolation 0.67634831, Mertens & Moore, Phys. Rev. E 86, 061109,
/// 2012).
const CLOSED_COVER: f64 = 0.676;

/// From here up hardly any copper is left to bite.
const VARNISH_COVER: f64 = 0.87;

impl Baked {
    /// Share of the landed dust's weight that has melted down and holds, 0–1 (1 without dust).
    #[must_use]
    pub fn holding_share(&self, dust: &LandedDust) -> f64 {
        let footprint = &self.last_step().footprint;
        let (mut holds, mut all) = (0.0, 0.0);
        for class in &dust.classes {
            all += class.mass_g_per_m2;
            if footprint.of_volume(melt_volume_um3(class, dust)).1 < HOLD_ANGLE_DEG {
                holds += class.mass_g_per_m2;
            }
        }
        if all > 0.0 { holds / all } else { 1.0 }
    }

    /// How far the ground is baked, and a plain sentence or two about it.
    #[must_use]
    pub fn verdict(&self, dust: &LandedDust, constants: &BakeConstants) -> (Doneness, Sentence) {
        let plate_c = quantity(self.plate_end_c, Unit::Celsius, 0);
        if dust.classes.is_empty() {
            return (
                Doneness::Under,
                "No dust lies on the plate: there is nothing to melt.".into(),
            );
        }
        let holds = self.holding_share(dust);
        if holds < LOOSE_SHARE {
            let sentence = sentence!(
                "The plate reaches only {}: the dust has not melted down and rubs off. Bake hotter, or longer.",
                plate_c
            );
            return (Doneness::Under, sentence);
        }
        if holds < 0.5 {
            let held = quantity(holds, Unit::Percent, 0);
            let sentence = sentence!(
                "The plate reaches only {}: the finest grains hold, about {} of the dust; the rest has not melted down and lifts in the bath. Bake hotter, or longer.",
                plate_c,
                held
            );
            return (Doneness::Under, sentence);
        }
        if holds < 1.0 - LOOSE_SHARE {
            let loose = quantity(1.0 - holds, Unit::Percent, 0);
            let sentence = sentence!(
                "The plate reaches only {}: the coarsest grains, about {} of the dust, have not melted down and lift in the bath. Bake hotter, or longer.",
                plate_c,
                loose
            );
            return (Doneness::Under, sentence);
        }

        let expected = self.expected_cover(dust, constants);
        // Where there is dust enough to close the plate by itself, that is no fault of the bake.
        let at_first = Self::cover_at(constants.rest_angle_deg, dust, constants);
        if expected > CLOSED_COVER && at_first < CLOSED_COVER && self.runs_together(dust) {
            let percent = quantity(expected, Unit::Percent, 0);
            let sentence = if expected > VARNISH_COVER {
                sentence!(
                    "The plate reaches {} and stays hot too long: the ground closes like a varnish, and hardly any copper is left to bite. Bake shorter or cooler.",
                    plate_c
                )
            } else {
                sentence!(
                    "The plate reaches {} and stays hot too long: the resin flows out over about {} of the copper. Bake shorter or cooler.",
                    plate_c,
                    percent
                )
            };
            return (Doneness::Over, sentence);
        }
        let grains = if holds < ALL_HOLD { "nearly every grain" } else { "every grain" };
        let sentence = if self.runs_together(dust) {
            sentence!("The plate reaches {}: {} has melted and holds.", plate_c, grains)
        } else {
            sentence!(
                "The plate reaches {}: {} has melted and holds, but they have not had the heat to draw together into domes.",
                plate_c,
                grains
            )
        };
        (Doneness::Good, sentence)
    }

    /// Domes of ordinary size have had the time to merge where they touch.
    fn runs_together(&self, dust: &LandedDust) -> bool {
        // Drops whose areas add up to n times the copper, each a·g(θ) high on the mean, hold a film of
        // n·a·g(θ): that is the radius of an ordinary dome. As far as they merge n settles.
        let film_um: f64 = dust
            .classes
            .iter()
            .map(|class| class.grains_per_mm2 * 1e-6 * melt_volume_um3(class, dust))
            .sum();
        let last = self.last_step();
        let angle_deg = last.rest_angle_deg;
        let touch = 1.0 - last.pinning;
        let fallen =
            cover::melted_area(dust.loose_cover, cap::area_ratio(dust.solid_share, angle_deg));
        let areas = fallen.min(cover::MERGED_AT_MOST / (touch * touch));
        let radius_um = film_um / (areas * cap::cap_volume_factor(angle_deg.to_radians()));
        2.0 * radius_um < last.merge_limit_um
    }
}

/// Resin in a grain of the middle size of a class, µm³.
fn melt_volume_um3(class: &SizeClass, dust: &LandedDust) -> f64 {
    let d = class.middle_um();
    dust.solid_share * core::f64::consts::PI / 6.0 * (d * d * d)
}
