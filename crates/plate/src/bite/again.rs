//! A bite under a new ground, on copper that is no longer flat.
//!
//! Every bit of open copper p hollows out all copper within its undercut, from the depth at which
//! it lies: h(x) = max_p [h₀(p) + EF·√(ρ_p² − |x − p|²)], the same construction as on flat copper
//! ([`super::creep`]) with the old surface h₀ under it. So what is left of the lands is attacked from the
//! walls of old pits as well as from above, resin that lies in an old pit keeps its floor, and copper
//! bitten evenly goes down evenly, keeping its relief.
//!
//! Near the resin's edges the flat curve knows better than pixels do ([`super::DepthCurve`], sub-pixel):
//! it is laid on the depth of the nearest open copper. What comes from farther is the maximum above over the
//! pixels that lie open wholly, each offset with its share of the pixel and its mean depth there.

use super::DepthCurve;
use super::creep::nearest_open;

/// Buffers kept between calls. Their content does not matter.
#[derive(Clone, Debug, Default)]
pub struct AgainScratch {
    /// Depth before this bite, and after what the curve alone says.
    old_um: Vec<f32>,
    base_um: Vec<f32>,
    seeds: Vec<f32>,
}

/// Not open: deeper than nothing.
const CLOSED: f32 = -1e9;
/// Samples to a side of a pixel for its share and mean.
const SAMPLES: i32 = 4;

/// One offset of the maximum: from the seed to the pixel it hollows out.
struct Offset {
    dx: i64,
    dy: i64,
    /// Share of the pixel in reach, 0–1.
    share: f32,
    /// Mean over the whole pixel of what is gained there, µm.
    gain_um: f32,
}

/// Bites copper of depth `depth_um` (in place) under a new ground.
///
/// `under_um` is the distance under the new resin, `class` each pixel's index into `dose_um`: the bite
/// that copper lying open there has had, µm, 0 where it is stopped out.
///
/// # Panics
/// When the rasters differ in size or a class has no dose.
#[allow(
    clippy::too_many_arguments,
    reason = "rasters, their size, the bite and caller-owned buffers"
)]
pub fn bite_again(
    under_um: &[f32],
    class: &[u8],
    dose_um: &[f64],
    px_um: f32,
    etch_factor: f64,
    width: usize,
    height: usize,
    scratch: &mut AgainScratch,
    depth_um: &mut [f32],
) {
    assert_eq!(under_um.len(), width * height, "one distance per pixel");
    assert_eq!(class.len(), width * height, "one class per pixel");
    assert_eq!(depth_um.len(), width * height, "one depth per pixel");
    let mut present = [false; 256];
    for &c in class {
        present[usize::from(c)] = true;
    }
    let AgainScratch { old_um, base_um, seeds } = scratch;
    old_um.clear();
    old_um.extend_from_slice(depth_um);
    let curves: Vec<DepthCurve> =
        dose_um.iter().map(|&dose| DepthCurve::new(dose, etch_factor, px_um)).collect();
    let at_edge = AtEdge { under_um, old_um, px_um, width, height };
    for (i, depth) in depth_um.iter_mut().enumerate() {
        let curve = &curves[usize::from(class[i])];
        if curve.dose_um() > 0.0 {
            let gained = curve.depth_um(under_um[i]);
            if gained > 0.0 {
                *depth = depth.max(at_edge.open_depth_um(i) + gained);
            }
        }
    }
    base_um.clear();
    base_um.extend_from_slice(depth_um);
    let mut doses: Vec<f64> = Vec::new();
    for (&dose, _) in dose_um.iter().zip(present).filter(|&(&dose, here)| here && dose > 0.0) {
        if !doses.contains(&dose) {
            doses.push(dose);
        }
    }
    for dose in doses {
        seeds.clear();
        let open = |i: usize| under_um[i] <= -0.5 * px_um && dose_um[usize::from(class[i])] == dose;
        seeds.extend((0..under_um.len()).map(|i| if open(i) { old_um[i] } else { CLOSED }));
        for offset in offsets(dose, etch_factor, px_um) {
            raise(seeds, base_um, &offset, width, height, depth_um);
        }
    }
}

/// Deepens every pixel by what the seeds at one offset from it reach.
fn raise(
    seeds: &[f32],
    base_um: &[f32],
    offset: &Offset,
    width: usize,
    height: usize,
    depth_um: &mut [f32],
) {
    let (w, h) = (width as i64, height as i64);
    let columns = (-offset.dx).max(0)..(w - offset.dx).min(w);
    if columns.is_empty() {
        return;
    }
    let count = (columns.end - columns.start) as usize;
    for y in (-offset.dy).max(0)..(h - offset.dy).min(h) {
        let from = &seeds[(y * w + columns.start) as usize..][..count];
        let to = ((y + offset.dy) * w + columns.start + offset.dx) as usize;
        let here = depth_um[to..to + count].iter_mut().zip(&base_um[to..to + count]);
        for ((depth, &base), &seed) in here.zip(from) {
            let reached = base + offset.share * (seed - base) + offset.gain_um;
            *depth = if reached > *depth { reached } else { *depth };
        }
    }
}

/// All offsets within the undercut of a dose but none at all, which the curve has done. A seed's
/// pixel is open all over, so the distance is that to its square.
fn offsets(dose_um: f64, etch_factor: f64, px_um: f32) -> Vec<Offset> {
    let px = f64::from(px_um);
    let undercut = dose_um / etch_factor;
    let reach = libm::ceil(undercut / px) as i64;
    let mut list = Vec::new();
    for dy in -reach..=reach {
        for dx in -reach..=reach {
            if dx == 0 && dy == 0 {
                continue;
            }
            let (mut within, mut gain) = (0.0, 0.0);
            for j in 0..SAMPLES {
                for i in 0..SAMPLES {
                    let place = |d: i64, k: i32| {
                        let at = d as f64 + (f64::from(k) + 0.5) / f64::from(SAMPLES) - 0.5;
                        (at.abs() - 0.5).max(0.0) * px
                    };
                    let (x, y) = (place(dx, i), place(dy, j));
                    let left = undercut * undercut - x * x - y * y;
                    if left > 0.0 {
                        within += 1.0;
                        gain += etch_factor * left.sqrt();
                    }
                }
            }
            let all = f64::from(SAMPLES * SAMPLES);
            if within > 0.0 {
                list.push(Offset {
                    dx,
                    dy,
                    share: (within / all) as f32,
                    gain_um: (gain / all) as f32,
                });
            }
        }
    }
    list
}

/// The old depth where the bath works, near the resin's edges.
struct AtEdge<'a> {
    under_um: &'a [f32],
    old_um: &'a [f32],
    px_um: f32,
    width: usize,
    height: usize,
}

impl AtEdge<'_> {
    /// Old depth of the open copper nearest to a pixel: its own in the open; under the resin straight
    /// down the slope of the distance, which falls by a µm for each µm on the way.
    fn open_depth_um(&self, pixel: usize) -> f32 {
        let s = self.under_um[pixel];
        if s <= 0.0 {
            return self.old_um[pixel];
        }
        let size = (self.width, self.height);
        self.old_um[nearest_open(
            self.under_um,
            size,
            self.px_um,
            (pixel % self.width, pixel / self.width),
            s,
        )]
    }
}
