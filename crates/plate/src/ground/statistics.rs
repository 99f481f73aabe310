//! Statistics of a ground, for the page and for checks.

use super::{Dome, Ground, TileCache};

/// What a ground looks like on the whole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundStatistics {
    /// Share of the copper under resin, 0–1.
    pub cover: f64,
    /// Domes per mm².
    pub domes_per_mm2: f64,
    /// Islands per mm²: domes whose footprints touch are one island.
    pub islands_per_mm2: f64,
    /// Median diameter of the footprints, µm; 0 without domes.
    pub median_footprint_um: f64,
    /// Share of the resin that does not hold and rubs off, 0–1.
    pub rubs_off: f64,
    /// Some domes overlap.
    pub overlapping: bool,
    /// The finest grains were drawn pooled.
    pub pooled: bool,
}

/// Tiles square over which the statistics are taken that the table of a plan shows.
pub const TABLE_TILES: i32 = 2;

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
            islands_per_mm2: islands(&domes, side_um as f32) / (side_um * side_um * 1e-6),
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

/// Islands in a square window of side `side_um`: domes whose footprints touch are one. Every dome whose centre
/// lies in the window counts as its share of its island, so that islands on the border count by what of
/// them lies inside, as far as the domes given tell.
#[must_use]
pub fn islands(domes: &[Dome], side_um: f32) -> f64 {
    // Square cells as wide as the widest dome: those that touch lie in one or in two side by side. Each cell's domes
    // are a chain; a sort of their own would weigh 4 kB in the page.
    let (mut widest_um, mut from_um, mut to_um) = (1.0_f32, 0.0_f32, side_um);
    for dome in domes {
        widest_um = widest_um.max(2.0 * dome.radius_um);
        from_um = from_um.min(dome.x_um).min(dome.y_um);
        to_um = to_um.max(dome.x_um).max(dome.y_um);
    }
    let cells = ((to_um - from_um) / widest_um) as usize + 1;
    let place = |um: f32| ((um - from_um) / widest_um) as usize;
    const NONE: u32 = u32::MAX;
    let mut first = vec![NONE; cells * cells];
    let mut next = vec![NONE; domes.len()];
    let mut parent: Vec<u32> = (0..domes.len() as u32).collect();
    for (index, dome) in domes.iter().enumerate() {
        let (column, row) = (place(dome.x_um), place(dome.y_um));
        for y in row.saturating_sub(1)..(row + 2).min(cells) {
            for x in column.saturating_sub(1)..(column + 2).min(cells) {
                let mut near = first[y * cells + x];
                while near != NONE {
                    let other = &domes[near as usize];
                    let (dx, dy) = (dome.x_um - other.x_um, dome.y_um - other.y_um);
                    let sum = dome.radius_um + other.radius_um;
                    if dx * dx + dy * dy < sum * sum {
                        let (a, b) = (root(&mut parent, index as u32), root(&mut parent, near));
                        parent[a.max(b) as usize] = a.min(b);
                    }
                    near = next[near as usize];
                }
            }
        }
        let cell = &mut first[row * cells + column];
        next[index] = core::mem::replace(cell, index as u32);
    }
    let mut sizes = vec![0_u32; domes.len()];
    for index in 0..domes.len() as u32 {
        sizes[root(&mut parent, index) as usize] += 1;
    }
    let inside = 0.0..side_um;
    let mut count = 0.0;
    for (index, dome) in domes.iter().enumerate() {
        if inside.contains(&dome.x_um) && inside.contains(&dome.y_um) {
            count += 1.0 / f64::from(sizes[root(&mut parent, index as u32) as usize]);
        }
    }
    count
}

/// The first dome of an island; the way there is shortened.
#[inline(never)] // keeps the page small
fn root(parent: &mut [u32], mut index: u32) -> u32 {
    while parent[index as usize] != index {
        parent[index as usize] = parent[parent[index as usize] as usize];
        index = parent[index as usize];
    }
    index
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
