//! The example picture: a harbour and lighthouse at dusk, drawn by the program.
//!
//! Drawn in units of 1/900 of its width, from far to near, as flat tones that fall clearly into
//! paper and the seven values of the plan's default thresholds. Nothing in it is a real place.

mod boats;
mod brush;
mod frame;
mod land;
mod noise;
mod quay;
mod sky;
mod water;

use crate::tone::ToneMap;
use boats::Boat;
use brush::{Canvas, Point, VALUE_L, hanging};
use frame::{Frame, View};

/// Width at which the harbour is meant to be drawn for a plate of the default size, pixels.
pub const HARBOUR_WIDTH: usize = 1200;
/// Height that goes with [`HARBOUR_WIDTH`].
pub const HARBOUR_HEIGHT: usize = 1600;

const WIDTH: f32 = 900.0;
const HEIGHT: f32 = 1200.0;
/// Height of the horizon.
const HORIZON: f32 = 612.0;
/// The sun, just above the horizon.
const SUN: Point = (446.0, 578.0);
/// Waterline of town and mole.
const SHORE: f32 = 655.0;
/// The light of the lighthouse.
const LANTERN: Point = (690.0, 322.0);

/// Draws the harbour: portrait 3 : 4, or the largest middle part of it for another shape.
///
/// The same size always gives the same bytes. Sides are brought into 16–8000 pixels.
#[must_use]
pub fn harbour(width: usize, height: usize) -> ToneMap {
    let (width, height) = (width.clamp(16, 8000), height.clamp(16, 8000));
    let px_per_unit = (width as f32 / WIDTH).max(height as f32 / HEIGHT);
    let view = View {
        px_per_unit,
        left: (WIDTH - width as f32 / px_per_unit) / 2.0,
        top: (HEIGHT - height as f32 / px_per_unit) / 2.0,
    };
    let mut picture = Canvas::new(Frame::of_pixels(view, width, height));

    let canvas = |from, until| Canvas::new(Frame::new(view, from, until));

    let mut backdrop = canvas((-40.0, 0.0), (940.0, HORIZON + 3.0));
    sky::paint(&mut backdrop);
    boats::far_sail(&mut backdrop, (538.0, HORIZON), 8.0, 3);
    boats::far_sail(&mut backdrop, (372.0, HORIZON), 4.5, 3);
    land::headlands(&mut backdrop);

    let mut shore = canvas((-40.0, LANTERN.1 - 60.0), (940.0, SHORE + 3.0));
    land::town(&mut shore);
    land::mole(&mut shore);

    let mut inner = canvas((420.0, 540.0), (760.0, 750.0));
    let lugger =
        Boat { at: (584.0, 742.0), scale: 16.5, bow: -1.0, values: [6, 2, 4, 6], seed: 150 };
    lugger.draw(&mut inner);

    let mut near = canvas((-40.0, 400.0), (540.0, 850.0));
    let smack = Boat { at: (172.0, 842.0), scale: 38.0, bow: 1.0, values: [7, 3, 2, 7], seed: 160 };
    smack.draw(&mut near);

    let mut row = canvas((560.0, 840.0), (860.0, 930.0));
    boats::dinghy(&mut row, (664.0, 906.0), 32.0, false);

    picture.lay(&backdrop);
    water::paint(
        &mut picture,
        &[
            water::Mirrored(&backdrop, HORIZON),
            water::Mirrored(&shore, SHORE),
            water::Mirrored(&inner, 742.0),
            water::Mirrored(&near, 842.0),
            water::Mirrored(&row, 904.0),
        ],
    );
    boats::dinghy(&mut row, (664.0, 906.0), 32.0, true);
    for layer in [&shore, &inner, &near, &row] {
        picture.lay(layer);
    }
    // Mooring lines to the quay.
    picture.stroke(&hanging((365.0, 772.0), (126.0, 1066.0), 46.0), 1.6, 3.2, VALUE_L[7]);
    picture.stroke(&hanging((744.0, 871.0), (822.0, 1092.0), 26.0), 1.4, 2.4, VALUE_L[7]);
    quay::paint(&mut picture);
    for (at, span, tilt, value) in [
        ((300.0, 226.0), 46.0, 0.22, 0),
        ((372.0, 262.0), 34.0, -0.1, 0),
        ((256.0, 292.0), 26.0, 0.1, 0),
        ((520.0, 470.0), 22.0, 0.12, 5),
        ((552.0, 492.0), 16.0, -0.15, 5),
    ] {
        quay::gull(&mut picture, at, span, tilt, value);
    }
    ToneMap::new(width, height, picture.to_lightness())
}
