//! Water: everything above it mirrored and broken by ripples, and the path of light.

use super::brush::{Canvas, VALUE_L, edge};
use super::noise::{NoiseLine, noise};
use super::{HORIZON, SUN};

/// What stands in or behind the water: a canvas, and the height of its waterline.
pub(super) struct Mirrored<'a>(pub(super) &'a Canvas, pub(super) f32);

/// Paints all water below the horizon. `mirrored` from far to near; the first must be opaque.
pub(super) fn paint(canvas: &mut Canvas, mirrored: &[Mirrored<'_>]) {
    let mut ripples = Ripples::new(canvas.frame.across());
    for row in 0..canvas.frame.height {
        let (_, y) = canvas.frame.unit(0, row);
        if y >= HORIZON {
            ripples.enter_row(y);
            paint_row(canvas, row, mirrored, &mut ripples);
        }
    }
}

/// The weights of the three sizes of ripples.
const LIFTS: [f32; 3] = [0.4, 0.6, 0.34];
/// Share of a ripple's stir that goes aside.
const ASIDE: f32 = 0.55;

/// The water's face along a row.
struct Ripples {
    x: Vec<f32>,
    /// Places in the noise of the three sizes, and the noise there.
    along: Vec<f32>,
    noises: [Vec<f32>; 3],
    /// How far the water slopes towards us.
    lift: Vec<f32>,
    shade: Vec<f32>,
    bright: Vec<f32>,
    shade_above: Vec<f32>,
    bright_above: Vec<f32>,
    tone: Vec<f32>,
}

impl Ripples {
    fn new(x: Vec<f32>) -> Self {
        let room = || vec![0.0; x.len()];
        let noises = [(); 3].map(|()| room());
        let [along, lift, shade, bright, shade_above, bright_above, tone] =
            [(); 7].map(|()| room());
        Self { x, along, noises, lift, shade, bright, shade_above, bright_above, tone }
    }

    /// Works out slopes, shade and the path of light at one height; those of the row before stay as the ones above.
    fn enter_row(&mut self, y: f32) {
        // Distance below the horizon: ripples are flat and fine far out, broad near us.
        let near = y - HORIZON;
        let reach = near + 12.0;
        let depth = libm::logf(reach) * 34.0;
        let sizes = [(0.3, 101, 2.8, 9.0), (0.8, 102, 6.0, -4.0), (1.7, 103, 13.0, 0.0)];
        for ((down, seed, finer, off), noises) in sizes.into_iter().zip(&mut self.noises) {
            let places = self.along.iter_mut().zip(&self.x);
            places.for_each(|(along, x)| *along = (x - SUN.0) / reach * finer + off);
            NoiseLine::new(depth * down, seed).row(&self.along, noises);
        }
        let [swells, waves, laps] = &self.noises;
        let noises = swells.iter().zip(waves).zip(laps);
        for (lift, ((swell, wave), lap)) in self.lift.iter_mut().zip(noises) {
            *lift = LIFTS[0] * swell + LIFTS[1] * wave + LIFTS[2] * lap;
        }
        core::mem::swap(&mut self.shade, &mut self.shade_above);
        core::mem::swap(&mut self.bright, &mut self.bright_above);
        // Water gives back less light than falls on it: about one value less, more near us
        // where we look down into it, and on the near slopes of the ripples.
        let sunk = near / 470.0;
        let sway = 16.0 * noise(near / 80.0, 0.0, 105) * (near / 200.0).min(1.0);
        for (shade, lift) in self.shade.iter_mut().zip(&self.lift) {
            *shade = 0.75 + 1.5 * sunk * sunk + 0.75 * lift;
        }
        for ((bright, lift), x) in self.bright.iter_mut().zip(&self.lift).zip(&self.x) {
            *bright = glitter(x - SUN.0 - sway, near, *lift);
        }
    }
}

/// Paints one row of water. A call of its own for each row, since browsers compile to fast code only what is called
/// often.
#[inline(never)]
fn paint_row(canvas: &mut Canvas, row: usize, mirrored: &[Mirrored<'_>], ripples: &mut Ripples) {
    let (_, y) = canvas.frame.unit(0, row);
    ripples.tone.fill(0.0);
    for Mirrored(layer, line) in mirrored {
        if y > *line {
            mirror(layer, *line, y, ripples);
        }
    }
    let Ripples { tone, shade, bright, shade_above, bright_above, .. } = ripples;
    let tones = tone.iter().enumerate().map(|(i, &tone)| {
        // How fast both change from pixel to pixel tells how to smooth their borders.
        let change = |here: &[f32], above: &[f32]| {
            let before = if i == 0 { above[0] } else { here[i - 1] };
            (0.6 * (here[i] - before).abs() + 0.6 * (here[i] - above[i]).abs()).max(1e-4)
        };
        let (soft, shade) = (change(shade, shade_above), shade[i]);
        let darker = edge(shade - 0.62, soft) + edge(shade - 1.32, soft) + edge(shade - 2.1, soft);
        let tone = (tone - 10.7 * darker).max(VALUE_L[7]);
        let (soft, bright) = (change(bright, bright_above), bright[i]);
        let tone = tone + edge(bright + 0.2, soft) * (VALUE_L[1] - tone).max(0.0);
        tone + edge(bright, soft) * (VALUE_L[0] - tone)
    });
    canvas.set_row(row, tones);
}

/// Lays the broken mirror image of a layer over a row's tones, where the ripples may show any of it.
fn mirror(layer: &Canvas, line: f32, y: f32, ripples: &mut Ripples) {
    let (near, down) = (y - HORIZON, y - line);
    let (strength, begun) = (0.055 * near + 0.6, (down / 14.0).min(1.0));
    // The steepest ripples: no noise is beyond 1.
    let most = LIFTS.iter().sum::<f32>() * strength;
    let lowest = (ripples.x[0], line - (down - most).max(0.0) - 1.0);
    let (left_px, lowest_px) = layer.frame.px(lowest);
    if lowest_px < -1.0 {
        return;
    }
    // A pixel of the row is as wide as one of the layer.
    let aside_px = layer.frame.length_px(ASIDE * most) + 2.0;
    let from = (-left_px - aside_px).max(0.0) as usize;
    let until = (layer.frame.width as f32 - left_px + aside_px).max(0.0) as usize;
    let columns = from.min(ripples.x.len())..until.min(ripples.x.len());
    let row = ripples.x[columns.clone()].iter().zip(&ripples.lift[columns.clone()]);
    for (tone, (x, lift)) in ripples.tone[columns].iter_mut().zip(row) {
        let stir = lift * strength * begun;
        let at = (x + ASIDE * stir, line - (down + stir).max(0.0) - 1.0);
        if let Some((over, cover)) = layer.sample(at) {
            *tone = *tone * (1.0 - cover) + over;
        }
    }
}

/// The path of light under the sun: above 0 it is paper. Dark ripples part it more and more to
/// both sides and towards us.
fn glitter(aside: f32, near: f32, lift: f32) -> f32 {
    let off = aside / (46.0 + 0.2 * near);
    let strength = 1.0 / (1.0 + off * off * (0.6 + off * off));
    let fade = 1.0 - 0.75 * near / 470.0;
    strength * (0.62 + 0.72 * fade - 1.9 * lift) - 0.6
}
