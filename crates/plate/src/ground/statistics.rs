//! Statistics of a ground, for the page and for checks.

use super::{Dome, Ground, TileCache};

/// What a ground looks like on the whole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundStatistics {
    /// Share of the copper under resin, 0–1.
    pub cover: f64,
    /// Domes per mm².
    pub domes_per_mm2: f64,
    /// Median diameter of the footprints, µm; 0 without domes.
    pub median_footprint_um: f64,
    /// Share of the resin that does not hold and rubs off, 0–1.
    pub rubs_off: f64,
    /// Some domes overlap.
    pub overlapping: bool,
    /// The finest grains were drawn pooled.
    pub pooled: bool,
}

/// Lines along which the cover of a tile is measured.
pub(crate) const LINES: usize = 256;

impl Ground {
    /// Statistics of the first `tiles` × `tiles` tiles, through `cache` (1 or more; two tiles square of an
    /// ordinary ground hold some 9000 domes and give the cover to about ±0.003). A border as wide as
    /// the largest dome is left out, so that no other tiles have to be laid for what reaches in.
    #[must_use]
    pub fn statistics(&self, cache: &mut TileCache, tiles: i32) -> GroundStatistics {
        let border_um = self.largest_um() + 1.0;
        let side_um = self.tile_um() * f64::from(tiles.max(1)) - 2.0 * border_um;
        let mut domes = Vec::new();
        let overlapping =
            cache.gather(self, border_um, border_um, side_um, side_um, 0.0, &mut domes);
        let (cover, domes_per_mm2, median_footprint_um) =
            of_square(&domes, side_um, LINES * tiles.max(1) as usize);
        GroundStatistics {
            cover,
            domes_per_mm2,
            median_footprint_um,
            rubs_off: self.rubs_off(),
            overlapping,
            pooled: self.pooled(),
        }
    }
}

/// Cover, domes per mm² and median footprint, µm, of a square piece of ground; the cover on so many lines.
pub(crate) fn of_square(domes: &[Dome], side_um: f64, lines: usize) -> (f64, f64, f64) {
    let side = side_um as f32;
    let inside = 0.0..side;
    let mut footprints: Vec<f32> = domes
        .iter()
        .filter(|dome| inside.contains(&dome.x_um) && inside.contains(&dome.y_um))
        .map(|dome| 2.0 * dome.radius_um)
        .collect();
    footprints.sort_unstable_by(f32::total_cmp);
    let median = footprints.get(footprints.len() / 2).copied().unwrap_or(0.0);
    (
        cover(domes, side, lines),
        footprints.len() as f64 / (side_um * side_um * 1e-6),
        f64::from(median),
    )
}

/// Share of a square window of side `side_um` under the domes, 0–1, measured along `lines` evenly
/// spaced rows, exactly along each. Overlaps count once.
#[must_use]
pub fn cover(domes: &[Dome], side_um: f32, lines: usize) -> f64 {
    let spacing = side_um / lines as f32;
    let mut rows: Vec<Vec<(f32, f32)>> = vec![Vec::new(); lines];
    for dome in domes {
        let first = ((dome.y_um - dome.radius_um) / spacing - 0.5).ceil().max(0.0) as usize;
        for (row, spans) in rows.iter_mut().enumerate().skip(first) {
            let Some(span) = chord(dome, (row as f32 + 0.5) * spacing) else { break };
            spans.push(span);
        }
    }
    let covered: f64 = rows.iter_mut().map(|spans| covered_um(spans, side_um)).sum();
    covered / (f64::from(side_um) * lines as f64)
}

/// The part of the row at `y_um` under a dome.
#[must_use]
pub fn chord(dome: &Dome, y_um: f32) -> Option<(f32, f32)> {
    let dy = y_um - dome.y_um;
    let half2 = dome.radius_um * dome.radius_um - dy * dy;
    (half2 > 0.0).then(|| {
        let half = half2.sqrt();
        (dome.x_um - half, dome.x_um + half)
    })
}

/// Length of 0 … `length_um` under these spans, µm. Sorts them.
#[must_use]
pub fn covered_um(spans: &mut [(f32, f32)], length_um: f32) -> f64 {
    spans.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let (mut covered, mut end) = (0.0, 0.0_f32);
    for &mut (left, right) in spans {
        let (left, right) = (left.max(end), right.min(length_um));
        if right > left {
            covered += f64::from(right - left);
            end = right;
        }
    }
    covered
}
