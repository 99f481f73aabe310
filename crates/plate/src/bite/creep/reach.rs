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
        let mut most = Vec::new();
        let bands = work.value.chunks(BLOCK * work.width.max(1));
        let blocks = out.blocks((work.width, work.height), BLOCK);
        for (row, (reaches, band)) in blocks.zip(bands).enumerate() {
            most.clear();
            most.extend_from_slice(&band[..work.width]);
            for line in band.chunks_exact(work.width).skip(1) {
                for (most, &value) in most.iter_mut().zip(line) {
                    *most = value.max(*most);
                }
            }
            for ((column, reach_um), block) in
                reaches.iter_mut().enumerate().zip(most.chunks(BLOCK))
            {
                let most = block.iter().fold(0, |a, &b| b.max(a));
                let undercut_um = undercut_um[usize::from(most)];
                let (least, most) = self.scratch.blocks.at(column, row);
                let beyond_px = if least == most { CURVE_PX } else { SLOPE_PX };
                *reach_um = if undercut_um > 0.0 { undercut_um + beyond_px * px_um } else { 0.0 };
            }
        }
        out.spread(px_um);
    }
}
