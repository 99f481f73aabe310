//! The sky at dusk: flat bands of tone round a low sun, clouds lit from below, the lantern's beam.

use super::brush::{
    Canvas, FractalLine, NoiseLine, Point, VALUE_L, View, chance, edge, fractal, noise,
};
use super::{HORIZON, LANTERN, SUN};

/// A bank of cloud: middle, half its length, height of its crown.
struct Cloud(Point, f32, f32);

const CLOUDS: [Cloud; 9] = [
    Cloud((150.0, 122.0), 340.0, 84.0),
    Cloud((760.0, 74.0), 290.0, 60.0),
    Cloud((500.0, 192.0), 215.0, 58.0),
    Cloud((20.0, 272.0), 230.0, 62.0),
    Cloud((868.0, 236.0), 170.0, 46.0),
    Cloud((318.0, 342.0), 170.0, 34.0),
    Cloud((560.0, 414.0), 130.0, 17.0),
    Cloud((235.0, 452.0), 150.0, 16.0),
    Cloud((460.0, 506.0), 120.0, 9.0),
];

/// Fills an opaque canvas with sky, down to a little below the horizon.
pub(super) fn paint(canvas: &mut Canvas, view: View) {
    let mut masks = [(); 3].map(|()| Canvas::of_pixels(view, (0, 0), canvas.width, canvas.height));
    for (i, cloud) in CLOUDS.iter().enumerate() {
        let [body, rim] = outlines(cloud, 40 + 10 * i as u32);
        masks[0].fill(&body, 1.0);
        masks[1].fill(&rim, 1.0);
    }
    // The beam, to both sides, widening.
    let (x, y) = LANTERN;
    masks[2].fill(&[(x, y - 2.0), (-40.0, y - 214.0), (-40.0, y - 118.0), (x, y + 2.0)], 1.0);
    masks[2].fill(&[(x, y - 2.0), (960.0, y + 58.0), (960.0, y + 92.0), (x, y + 2.0)], 1.0);

    let lowest = HORIZON + 4.0;
    let mut above = vec![0.0_f32; canvas.width];
    for row in 0..canvas.height {
        if canvas.unit(0, row).1 > lowest {
            break;
        }
        paint_row(canvas, row, &masks, &mut above);
    }
}

/// Paints one row of sky; `above` holds the depths of the row above, and then of this one. `masks` are clouds, their
/// lit rims, and the beam. A call of its own for each row, since browsers compile to fast code only what is called often.
#[inline(never)]
fn paint_row(canvas: &mut Canvas, row: usize, masks: &[Canvas; 3], above: &mut [f32]) {
    let mut clear = ClearSky::new(canvas.unit(0, row).1);
    let mut before = 0.0;
    for (column, above) in above.iter_mut().enumerate() {
        let (x, _) = canvas.unit(column, row);
        let [cloud, rim, beam] = [0, 1, 2].map(|k| masks[k].get(column, row).1);
        let mut depth = clear.depth(x);
        depth += 1.0 * cloud;
        depth = (depth - beam * if cloud > 0.5 { 0.8 } else { 1.0 }).max(0.3);
        depth += rim * ((depth - 2.7).max(0.5).min(depth) - depth);
        let depth = depth.clamp(0.3, 5.7);
        // How fast the depth changes from pixel to pixel tells how to smooth the border.
        let change = if row == 0 || column == 0 {
            0.05
        } else {
            (depth - before).abs().max((depth - *above).abs())
        };
        canvas.set(column, row, band(depth, change));
        before = depth;
        *above = depth;
    }
}

/// The clear sky at one height.
struct ClearSky {
    y: f32,
    broad: FractalLine,
    fine: NoiseLine,
}

impl ClearSky {
    fn new(y: f32) -> Self {
        Self { y, broad: FractalLine::new(y / 46.0, 3), fine: NoiseLine::new(y / 4.5, 8) }
    }

    /// Depth in values: 0–1 is paper, then each whole number one value darker.
    fn depth(&mut self, x: f32) -> f32 {
        let (dx, dy) = ((x - SUN.0) * 0.66, self.y - SUN.1);
        let far = libm::sqrtf(dx * dx + dy * dy);
        let brushed = 34.0 * self.broad.at(x / 190.0) + 7.0 * self.fine.at(x / 46.0);
        let far = far + brushed * (0.25 + 0.75 * (far / 400.0).min(1.0));
        // Borders between the values at these distances from the sun.
        const BORDERS: [f32; 5] = [0.0, 158.0, 264.0, 384.0, 540.0];
        let mut depth = 4.0 + (far - BORDERS[4]) / 160.0;
        for k in 0..4 {
            if far < BORDERS[k + 1] {
                depth = k as f32 + (far - BORDERS[k]) / (BORDERS[k + 1] - BORDERS[k]);
                break;
            }
        }
        depth.max(0.0)
    }
}

/// Tone of a depth, smoothed across the border between two values.
fn band(depth: f32, change: f32) -> f32 {
    let border = libm::floorf(depth + 0.5).clamp(1.0, 7.0);
    let darker = edge(depth - border, (change * 0.7).max(1e-4));
    let k = border as usize;
    VALUE_L[k - 1] + darker * (VALUE_L[k] - VALUE_L[k - 1])
}

/// A cloud's body, crowned above and flat below, and the lit rim along its foot.
fn outlines(cloud: &Cloud, seed: u32) -> [Vec<Point>; 2] {
    let Cloud((x, y), half, crown) = *cloud;
    let count = (half / 2.0) as usize;
    let mut top = Vec::new();
    let mut foot = Vec::new();
    let mut lit = Vec::new();
    for i in 0..=count {
        let t = 2.0 * i as f32 / count as f32 - 1.0;
        let at = x + t * half;
        let swell = libm::powf((1.0 - t * t).max(0.0), 0.6);
        // Heads of cloud: the higher of two rows of round bumps.
        let bumps = |wide: f32, s: u32| {
            let cell = libm::floorf(at / wide);
            let mut high = 0.0_f32;
            for k in -1..=1 {
                let c = cell + k as f32;
                let middle = (c + 0.5 + 0.5 * (chance(c as i32, 0, s) - 0.5)) * wide;
                let size = 0.45 + 0.55 * chance(c as i32, 1, s);
                let d = (at - middle) / (wide * 0.85);
                high = high.max(size * libm::sqrtf((1.0 - d * d).max(0.0)));
            }
            high
        };
        let heads = (bumps(crown * 1.3, seed)).max(bumps(crown * 0.6, seed + 1) * 0.62);
        let wisp = 0.5 + 0.5 * fractal(at / 60.0, 0.0, seed + 2);
        let high = swell * crown * (0.16 + 0.84 * heads);
        let low = swell * crown * (0.10 + 0.26 * wisp);
        top.push((at, y - high + 1.2 * noise(at / 5.0, 1.0, seed)));
        foot.push((at, y + low + 1.4 * noise(at / 7.0, 2.0, seed)));
        let rim = (0.15 + 0.09 * noise(at / 52.0, 3.0, seed)) * crown * swell;
        lit.push((at, y + low - rim.min(low + high) + noise(at / 6.0, 4.0, seed)));
    }
    let close = |upper: &[Point], lower: &[Point]| {
        let mut shape = upper.to_vec();
        shape.extend(lower.iter().rev());
        shape
    };
    [close(&top, &foot), close(&lit, &foot)]
}
