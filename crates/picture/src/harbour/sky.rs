//! The sky at dusk: flat bands of tone round a low sun, clouds lit from below, the lantern's beam.

use super::brush::{Canvas, Mask, Point, VALUE_L, edge};
use super::noise::{NoiseLine, chance, fractal, fractal_row, noise};
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
pub(super) fn paint(canvas: &mut Canvas) {
    // Clouds and beam are placed from the picture's corner, though the canvas begins left of it.
    let mut masks = [(); 3].map(|()| Mask::new(canvas.frame.at_corner()));
    let [clouds, rims, beam] = &mut masks;
    for (i, cloud) in CLOUDS.iter().enumerate() {
        let [body, rim] = outlines(cloud, 40 + 10 * i as u32);
        clouds.add(&body);
        rims.add(&rim);
    }
    // The beam, to both sides, widening.
    let (x, y) = LANTERN;
    beam.add(&[(x, y - 2.0), (-40.0, y - 214.0), (-40.0, y - 118.0), (x, y + 2.0)]);
    beam.add(&[(x, y - 2.0), (960.0, y + 58.0), (960.0, y + 92.0), (x, y + 2.0)]);

    let mut clear = ClearSky::new(canvas.frame.across());
    let mut above = vec![0.0_f32; canvas.frame.width];
    for row in 0..canvas.frame.height {
        let (_, y) = canvas.frame.unit(0, row);
        if y > HORIZON + 4.0 {
            break;
        }
        clear.enter_row(y);
        paint_row(canvas, row, &masks, &mut clear.depth, &mut above);
    }
}

/// Paints one row of sky: `depth` is that of the clear sky, `above` holds the depths of the row above, and then of this
/// one. `masks` are clouds, their lit rims, and the beam. A call of its own for each row, since browsers compile to fast
/// code only what is called often.
#[inline(never)]
fn paint_row(
    canvas: &mut Canvas,
    row: usize,
    masks: &[Mask; 3],
    depth: &mut [f32],
    above: &mut [f32],
) {
    let [cloud, rim, beam] = [0, 1, 2].map(|k| masks[k].row(row));
    for (((depth, cloud), rim), beam) in depth.iter_mut().zip(cloud).zip(rim).zip(beam) {
        let mut clouded = *depth + 1.0 * cloud;
        clouded = (clouded - beam * if *cloud > 0.5 { 0.8 } else { 1.0 }).max(0.3);
        clouded += rim * ((clouded - 2.7).max(0.5).min(clouded) - clouded);
        *depth = clouded.clamp(0.3, 5.7);
    }
    let tones = depth.iter().zip(&*above).enumerate().map(|(column, (&depth_here, above))| {
        // How fast the depth changes from pixel to pixel tells how to smooth the border.
        let change = if row == 0 || column == 0 {
            0.05
        } else {
            (depth_here - depth[column - 1]).abs().max((depth_here - above).abs())
        };
        band(depth_here, change)
    });
    canvas.set_row(row, tones);
    above.copy_from_slice(depth);
}

/// Distances from the sun at which the values border on each other.
const BORDERS: [f32; 5] = [0.0, 158.0, 264.0, 384.0, 540.0];

/// The clear sky along a row.
struct ClearSky {
    x: Vec<f32>,
    broad_x: Vec<f32>,
    fine_x: Vec<f32>,
    fine: Vec<f32>,
    room: [Vec<f32>; 2],
    /// In values: 0–1 is paper, then each whole number one value darker.
    depth: Vec<f32>,
}

impl ClearSky {
    fn new(x: Vec<f32>) -> Self {
        let [broad_x, fine_x] = [190.0, 46.0].map(|wave| x.iter().map(|x| x / wave).collect());
        let [fine, depth] = [(); 2].map(|()| vec![0.0; x.len()]);
        Self { x, broad_x, fine_x, fine, room: Default::default(), depth }
    }

    /// Works out the depths at one height.
    fn enter_row(&mut self, y: f32) {
        let Self { x, broad_x, fine_x, fine, room, depth } = self;
        fractal_row(broad_x, y / 46.0, 3, depth, room);
        NoiseLine::new(y / 4.5, 8).row(fine_x, fine);
        for ((depth, fine), x) in depth.iter_mut().zip(&*fine).zip(&*x) {
            let broad = *depth;
            let (dx, dy) = ((x - SUN.0) * 0.66, y - SUN.1);
            let far = libm::sqrtf(dx * dx + dy * dy);
            let brushed = 34.0 * broad + 7.0 * fine;
            let far = far + brushed * (0.25 + 0.75 * (far / 400.0).min(1.0));
            let mut here = 4.0 + (far - BORDERS[4]) / 160.0;
            for k in (0..4).rev() {
                if far < BORDERS[k + 1] {
                    here = k as f32 + (far - BORDERS[k]) / (BORDERS[k + 1] - BORDERS[k]);
                }
            }
            *depth = here.max(0.0);
        }
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
