//! Water: everything above it mirrored and broken by ripples, and the path of light.

use super::brush::{Canvas, NoiseLine, VALUE_L, edge, noise};
use super::{HORIZON, SUN};

/// What stands in or behind the water: a canvas, and the height of its waterline.
pub(super) struct Mirrored<'a>(pub(super) &'a Canvas, pub(super) f32);

/// Paints all water below the horizon. `mirrored` from far to near; the first must be opaque.
pub(super) fn paint(canvas: &mut Canvas, mirrored: &[Mirrored<'_>]) {
    let mut above = vec![(0.0_f32, 0.0_f32); canvas.width];
    for row in 0..canvas.height {
        if canvas.unit(0, row).1 >= HORIZON {
            paint_row(canvas, row, mirrored, &mut above);
        }
    }
}

/// Paints one row of water; `above` holds shade and brightness of the row above, and then of this one. A call of
/// its own for each row, since browsers compile to fast code only what is called often.
#[inline(never)]
fn paint_row(canvas: &mut Canvas, row: usize, mirrored: &[Mirrored<'_>], above: &mut [(f32, f32)]) {
    let (_, y) = canvas.unit(0, row);
    // Distance below the horizon: ripples are flat and fine far out, broad near us.
    let near = y - HORIZON;
    let reach = near + 12.0;
    let depth = libm::logf(reach) * 34.0;
    let sunk = near / 470.0;
    let sway = 16.0 * noise(near / 80.0, 0.0, 105) * (near / 200.0).min(1.0);
    let mut swells = NoiseLine::new(depth * 0.3, 101);
    let mut waves = NoiseLine::new(depth * 0.8, 102);
    let mut laps = NoiseLine::new(depth * 1.7, 103);
    let mut before = above[0];
    for (column, above) in above.iter_mut().enumerate() {
        let (x, _) = canvas.unit(column, row);
        let across = (x - SUN.0) / reach;
        let swell = swells.at(across * 2.8 + 9.0);
        let wave = waves.at(across * 6.0 - 4.0);
        let lap = laps.at(across * 13.0);
        let lift = 0.4 * swell + 0.6 * wave + 0.34 * lap;
        let mut tone = 0.0;
        for Mirrored(layer, line) in mirrored {
            if y > *line {
                let down = y - line;
                let stir = lift * (0.055 * near + 0.6) * (down / 14.0).min(1.0);
                let at = (x + 0.55 * stir, line - (down + stir).max(0.0) - 1.0);
                let (over, cover) = layer.sample(at);
                tone = tone * (1.0 - cover) + over;
            }
        }
        // Water gives back less light than falls on it: about one value less, more near us
        // where we look down into it, and on the near slopes of the ripples.
        let shade = 0.75 + 1.5 * sunk * sunk + 0.75 * lift;
        let bright = glitter(x - SUN.0 - sway, near, lift);
        // How fast both change from pixel to pixel tells how to smooth their borders.
        let change = |here: f32, before: f32, above: f32| {
            (0.6 * (here - before).abs() + 0.6 * (here - above).abs()).max(1e-4)
        };
        let soft = change(shade, before.0, above.0);
        let darker = edge(shade - 0.62, soft) + edge(shade - 1.32, soft) + edge(shade - 2.1, soft);
        let tone = (tone - 10.7 * darker).max(VALUE_L[7]);
        let soft = change(bright, before.1, above.1);
        let tone = tone + edge(bright + 0.2, soft) * (VALUE_L[1] - tone).max(0.0);
        canvas.set(column, row, tone + edge(bright, soft) * (VALUE_L[0] - tone));
        before = (shade, bright);
        *above = before;
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
