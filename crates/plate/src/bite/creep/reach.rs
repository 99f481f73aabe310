//! How far under the resin a bite and its borders ask for distances.

use super::Creep;
use super::ranges::BLOCK;
use crate::order::larger;
use crate::resist::Reaches;

/// Beyond its undercut a value's curve averages half a pixel, and a little against rounding, px.
const CURVE_PX: f32 = 0.75;
/// Near borders, slopes are read up to a pixel beyond the undercut, from the pixels beside that, px.
const SLOPE_PX: f32 = 2.25;

impl Creep<'_> {
    /// Says how far distances must be right in each block for every depth to be what it is. Copper that nothing bites asks
    /// for none: what creeps there comes from beyond.
    pub(crate) fn reaches(&self, out: &mut Reaches) {
        let work = &self.work;
        let px_um = work.px_um;
        let mut deepest_um = 0.0;
        let undercut_um = work.undercut_um.map(|undercut| {
            deepest_um = larger(undercut, deepest_um);
            deepest_um
        });
        let found = &self.scratch.blocks;
        let blocks = out.blocks((work.width, work.height), BLOCK);
        for (row, reaches) in blocks.enumerate() {
            let here = reaches.iter_mut().zip(found.greatest_in(row)).enumerate();
            for (column, (reach_um, &greatest)) in here {
                let undercut_um = undercut_um[usize::from(greatest)];
                let (least, most) = found.at(column, row);
                let beyond_px = if least == most { CURVE_PX } else { SLOPE_PX };
                *reach_um = if undercut_um > 0.0 { undercut_um + beyond_px * px_um } else { 0.0 };
            }
        }
        out.spread(px_um);
    }
}

#[cfg(test)]
mod tests {
    use crate::bite::{Creep, CreepScratch, DepthCurve, depths};
    use crate::ground::Dome;
    use crate::resist::{Reaches, ResistScratch, distance_by_bands};

    const SIZE: (usize, usize, f32) = (203, 151, 5.0);
    const DOSE_UM: [f64; 5] = [0.0, 1.5, 6.0, 11.9, 17.8];

    /// Domes here and there, many of which overlap.
    fn scattered() -> Vec<Dome> {
        let unit = |word: u32| (word.wrapping_mul(2_654_435_761) >> 8) as f32 / 16_777_216.0;
        (0..700)
            .map(|i: u32| Dome {
                x_um: 1100.0 * unit(i * i + 7) - 40.0,
                y_um: 850.0 * unit(3 * i + i / 9) - 40.0,
                radius_um: 8.0 + 40.0 * unit(i + 70_000),
            })
            .collect()
    }

    /// Distances and depths of a window of these values, by all distances or by those alone that are asked for.
    fn bitten(value: &[u8], by_reaches: bool) -> (Vec<f32>, Vec<f32>) {
        let (width, height, px_um) = SIZE;
        let mut scratch = CreepScratch::default();
        let mut creep = Creep::new(value, &DOSE_UM, SIZE, 1.0, &mut scratch);
        let mut reaches = Reaches::default();
        if let Some(creep) = creep.as_ref().filter(|_| by_reaches) {
            creep.reaches(&mut reaches);
        }
        let curves = DOSE_UM.map(|dose_um| DepthCurve::new(dose_um, 1.0, px_um));
        let mut under_um = Vec::new();
        let mut depth_um = vec![0.0; width * height];
        distance_by_bands(
            &scattered(),
            true,
            SIZE,
            (17.8 + px_um, by_reaches.then_some(&reaches)),
            &mut ResistScratch::default(),
            &mut under_um,
            &mut |under_um, from| {
                let band = from..under_um.len();
                depths(&under_um[from..], &value[band.clone()], &curves, &mut depth_um[band]);
                if let Some(creep) = &mut creep {
                    creep.mend_so_far(under_um, &mut depth_um);
                }
            },
        );
        (under_um, depth_um)
    }

    #[test]
    fn depths_are_the_same_by_those_distances_alone_that_are_asked_for() {
        let (width, height, _) = SIZE;
        // Areas of some 40 pixels with all values beside each other, and much paper.
        let mut value: Vec<u8> = (0..width * height)
            .map(|at| {
                let (x, y) = (at % width, at / width);
                [0, 0, 1, 4, 2, 0, 3, 1, 0, 4, 0][(x / 40 + 3 * (y / 37) + (x + y) / 90) % 11]
            })
            .collect();
        // And a single bitten pixel in the midst of paper.
        value[20 * width + 15] = 4;
        let (all, wanted) = bitten(&value, false);
        let (asked, got) = bitten(&value, true);
        assert!(wanted.iter().any(|&um| um > 17.0), "nothing is bitten deep");
        let less = all.iter().zip(&asked).filter(|(all, asked)| all != asked).count();
        assert!(less > all.len() / 20, "only {less} distances were not asked for");
        let bits = |field: &[f32]| field.iter().map(|um| um.to_bits()).collect::<Vec<_>>();
        assert_eq!(bits(&wanted), bits(&got));
    }
}
