//! Cover along the borders of tiles.

use plate::ground::{Dome, Ground, TileCache, statistics};
use std::f64::consts::PI;

/// Sums over the borders of many tiles.
#[derive(Debug, Default)]
pub(crate) struct Seams {
    border_um: f64,
    covered_um: f64,
    area_um2: f64,
    covered_um2: f64,
    clashes: usize,
}

impl Seams {
    /// Adds the borders inside the first `side` × `side` tiles of a ground without overlaps.
    pub(crate) fn add(&mut self, ground: &Ground, side: i32) {
        let mut cache = TileCache::new(usize::MAX);
        let (tile_um, run) = (ground.tile_um(), ground.tile_um() * f64::from(side));
        let mut domes = Vec::new();
        let _ = cache.gather(ground, 0.0, 0.0, run, run, 0.0, &mut domes);
        let inside = |dome: &&Dome| {
            (0.0..run as f32).contains(&dome.x_um) && (0.0..run as f32).contains(&dome.y_um)
        };
        let area = |dome: &Dome| PI * f64::from(dome.radius_um) * f64::from(dome.radius_um);
        self.area_um2 += run * run;
        self.covered_um2 += domes.iter().filter(inside).map(area).sum::<f64>();
        for border in 1..side {
            let at = f64::from(border) * tile_um;
            for across in [true, false] {
                let (left, top) = if across { (0.0, at) } else { (at, 0.0) };
                let (width, height) = if across { (run, 0.0) } else { (0.0, run) };
                let _ = cache.gather(ground, left, top, width, height, 0.0, &mut domes);
                if !across {
                    for dome in &mut domes {
                        core::mem::swap(&mut dome.x_um, &mut dome.y_um);
                    }
                }
                let mut spans: Vec<_> =
                    domes.iter().filter_map(|dome| statistics::chord(dome, 0.0)).collect();
                self.covered_um += statistics::covered_um(&mut spans, run as f32);
                self.border_um += run;
                self.clashes += clashes(&mut domes);
            }
        }
    }

    /// Cover along the borders.
    pub(crate) fn border(&self) -> f64 {
        self.covered_um / self.border_um
    }

    /// Cover on the whole.
    pub(crate) fn mean(&self) -> f64 {
        self.covered_um2 / self.area_um2
    }

    /// Pairs of domes on a border that overlap, per mm of it.
    pub(crate) fn clashes_per_mm(&self) -> f64 {
        self.clashes as f64 / self.border_um * 1e3
    }
}

/// Pairs of these domes that overlap.
fn clashes(domes: &mut [Dome]) -> usize {
    domes.sort_by(|a, b| a.x_um.total_cmp(&b.x_um));
    let mut clashes = 0;
    for (index, a) in domes.iter().enumerate() {
        for b in domes[index + 1..].iter().take_while(|b| b.x_um - a.x_um < 250.0) {
            let (dx, dy) = (a.x_um - b.x_um, a.y_um - b.y_um);
            let sum = a.radius_um + b.radius_um - 0.02;
            clashes += usize::from(dx * dx + dy * dy < sum * sum);
        }
    }
    clashes
}
