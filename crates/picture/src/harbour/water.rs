//! Water: everything above it mirrored and broken by ripples, and the path of light.

use super::brush::{Canvas, Point, VALUE_L, edge, noise};
use super::{HORIZON, SUN};

/// What stands in or behind the water: a canvas, and the height of its waterline.
pub(super) struct Mirrored<'a>(pub(super) &'a Canvas, pub(super) f32);

/// Paints all water below the horizon. `mirrored` from far to near; the first must be opaque.
pub(super) fn paint(canvas: &mut Canvas, mirrored: &[Mirrored<'_>]) {
    for row in 0..canvas.height {
        let (_, y) = canvas.unit(0, row);
        if y < HORIZON {
            continue;
        }
        // Distance below the horizon: ripples are flat and fine far out, broad near us.
        let near = y - HORIZON;
        let ripple = (near + 10.0) / 24.0;
        let depth = libm::logf(near + 10.0) * 24.0;
        let softness = (canvas.px() / ripple).min(1.0);
        for column in 0..canvas.width {
            let (x, _) = canvas.unit(column, row);
            let across = (x - SUN.0) / (near + 10.0);
            let swell = noise(across * 2.6 + 9.0, depth * 0.45, 101);
            let wave = noise(across * 6.5, depth, 102);
            let lift = 0.7 * wave + 0.5 * swell;
            let at = |line: f32| -> Point {
                let down = y - line;
                let stir = lift * (0.055 * near + 0.6) * (down / 14.0).min(1.0);
                (x + 0.55 * stir, line - (down + stir).max(0.0) - 1.0)
            };
            let mut tone = 0.0;
            for Mirrored(layer, line) in mirrored {
                if y > *line {
                    let (over, cover) = layer.sample(at(*line));
                    tone = tone * (1.0 - cover) + over;
                }
            }
            // Water gives back less light than falls on it: about one value less, more near us
            // where we look down into it, and on the near slopes of the ripples.
            let sunk = near / 470.0;
            let shade = 0.75 + 1.5 * sunk * sunk + 0.75 * lift;
            let step = 0.6 * softness;
            let darker =
                edge(shade - 0.62, step) + edge(shade - 1.32, step) + edge(shade - 2.1, step);
            let tone = (tone - 10.7 * darker).max(VALUE_L[7]);
            canvas.set(column, row, glint(x, near, wave, lift, softness, tone));
        }
    }
}

/// The path of light under the sun: paper between dark ripples, thinning towards us.
fn glint(x: f32, near: f32, wave: f32, lift: f32, softness: f32, tone: f32) -> f32 {
    let sway = 14.0 * noise(near / 90.0, 0.0, 105) * (near / 200.0).min(1.0);
    let half = 34.0 + 0.13 * near;
    let off = (x - SUN.0 - sway) / half;
    let strength = 1.0 / (1.0 + off * off * off * off + 0.6 * off * off);
    let fade = 1.0 - 0.55 * near / 470.0;
    let bright = strength * fade * 1.5 - 0.62 - 0.9 * lift - 0.2 * wave;
    let glow = edge(bright + 0.36, softness) * strength;
    let tone = if glow > 0.0 {
        tone + edge(bright + 0.42, softness) * (VALUE_L[1] - tone).max(0.0)
    } else {
        tone
    };
    tone + edge(bright, softness) * (VALUE_L[0] - tone)
}
