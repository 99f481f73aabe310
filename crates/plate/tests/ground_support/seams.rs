//! Cover along the borders of tiles.

use plate::ground::{Dome, Ground, TileCache, statistics};

/// Sums over the borders of many tiles.
#[derive(Debug, Default)]
pub(crate) struct Seams {
    border_um: f64,
    covered_um: f64,
    middle_um: f64,
    middle_covered_um: f64,
    clashes: usize,
}

impl Seams {
    /// Adds the borders inside the first `side` × `side` tiles of a ground whose domes merge when nearer than
    /// `touch` times the sum of their radii.
    pub(crate) fn add(&mut self, ground: &Ground, side: i32, touch: f32) {
        let mut cache = TileCache::new(usize::MAX);
        let (tile_um, run) = (ground.tile_um(), ground.tile_um() * f64::from(side));
        let mut domes = Vec::new();
        // Lines across the tiles tell the mean: five to a tile, none of them near a border.
        for line in 0..5 * side {
            let at = (f64::from(line / 5) + 0.2 + 0.15 * f64::from(line % 5)) * tile_um;
            for across in [true, false] {
                self.middle_covered_um += along(&mut cache, ground, at, across, run, &mut domes);
                self.middle_um += run;
            }
        }
        for border in 1..side {
            let at = f64::from(border) * tile_um;
            for across in [true, false] {
                self.covered_um += along(&mut cache, ground, at, across, run, &mut domes);
                self.border_um += run;
                self.clashes += clashes(&mut domes, touch);
            }
        }
    }

    /// Cover along the borders.
    pub(crate) fn border(&self) -> f64 {
        self.covered_um / self.border_um
    }

    /// Cover on the whole.
    pub(crate) fn mean(&self) -> f64 {
        self.middle_covered_um / self.middle_um
    }

    /// Pairs of domes on a border that should have merged, per mm of it.
    pub(crate) fn clashes_per_mm(&self) -> f64 {
        self.clashes as f64 / self.border_um * 1e3
    }
}

/// Gathers the domes on a line across the ground, laid along x, and returns how much of it they cover, µm.
fn along(
    cache: &mut TileCache,
    ground: &Ground,
    at: f64,
    across: bool,
    run: f64,
    domes: &mut Vec<Dome>,
) -> f64 {
    let (left, top) = if across { (0.0, at) } else { (at, 0.0) };
    let (width, height) = if across { (run, 0.0) } else { (0.0, run) };
    let _ = cache.gather(ground, left, top, width, height, 0.0, domes);
    if !across {
        for dome in domes.iter_mut() {
            core::mem::swap(&mut dome.x_um, &mut dome.y_um);
        }
    }
    let mut spans: Vec<_> = domes.iter().filter_map(|dome| statistics::chord(dome, 0.0)).collect();
    statistics::covered_um(&mut spans, run as f32)
}

/// Pairs of these domes nearer than `touch` times the sum of their radii.
fn clashes(domes: &mut [Dome], touch: f32) -> usize {
    domes.sort_by(|a, b| a.x_um.total_cmp(&b.x_um));
    let mut clashes = 0;
    for (index, a) in domes.iter().enumerate() {
        for b in domes[index + 1..].iter().take_while(|b| b.x_um - a.x_um < 250.0) {
            let (dx, dy) = (a.x_um - b.x_um, a.y_um - b.y_um);
            let sum = touch * (a.radius_um + b.radius_um) - 0.02;
            clashes += usize::from(dx * dx + dy * dy < sum * sum);
        }
    }
    clashes
}
