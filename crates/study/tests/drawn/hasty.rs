//! A print photographed as in a shop: in a hurry, under a lamp, by hand.

use crate::chance::Chance;
use crate::drawn::{PAPER, Spoilt, askew, at_scale, corners, draw_at, to_picture};
use plate::light;
use study::calibration::{KnownGrey, Shot, layout, read_photo};

/// L* read off a photograph of a step plate whose steps print with `lightness`: every patch printed a little off, the
/// light falling off, haze, specks, corners a pixel off.
pub(crate) fn read_off_photograph(lightness: &[f64], seed: u64, chance: &mut Chance) -> Vec<f64> {
    let on = layout(lightness.len());
    let (m, size) = at_scale(&askew(), 0.42);
    let printed: Vec<f64> = lightness
        .iter()
        .map(|l| light::reflectance_of_lightness(l + 0.8 * chance.normal()))
        .collect();
    let spoilt = Spoilt {
        haze: 0.03 * chance.share(),
        falls_off: 0.4 * chance.share(),
        specks: true,
        exposure: 0.6 + 0.3 * chance.share(),
        ..Spoilt::not()
    };
    let photo = draw_at(&m, size, seed, &on, &printed, &spoilt);
    let corners =
        corners(&m, &on).map(|(x, y)| (x + 0.5 * chance.normal(), y + 0.5 * chance.normal()));
    let darkest =
        (0..printed.len()).fold(0, |best, i| if printed[i] < printed[best] { i } else { best });
    let patch = on.patches[darkest];
    let at = to_picture(&m, patch.left_mm + 7.0, patch.top_mm + 15.0);
    let black = vec![KnownGrey { at, reflectance: printed[darkest] }];
    let shot = Shot { corners, paper_reflectance: PAPER, greys: black };
    let read = read_photo(&photo, &on, &shot).expect("a readable picture");
    read.patches.iter().map(|patch| patch.lightness).collect()
}
