//! A print is found in pictures of it drawn here: askew, turned, lit from one side, hazy, with specks; and nothing is
//! found where it is not.

use crate::drawn;

use drawn::{PAPER, Spoilt, askew, at_scale, corners, draw, draw_at};
use nalgebra::Matrix3;
use study::calibration::{Layout, Photo, layout};
use study::registration::{Expected, find};

const PRINTED: [f64; 8] = [0.62, 0.5, 0.36, 0.22, 0.13, 0.07, 0.035, 0.06];

/// How far the farthest corner is off, mm, by the pixels of a mm there.
fn off_mm(m: &Matrix3<f64>, on: &Layout, photo: &Photo) -> Result<f64, String> {
    let found = find(photo, &Expected::step_plate(on)).map_err(|wrong| wrong.to_string())?;
    let px_per_mm = {
        let [(ax, ay), (bx, by), ..] = corners(m, on);
        libm::hypot(bx - ax, by - ay) / on.width_mm
    };
    let far = |((x, y), (u, v)): ((f64, f64), (f64, f64))| libm::hypot(x - u, y - v) / px_per_mm;
    Ok(found.corners.into_iter().zip(corners(m, on)).map(far).fold(0.0, f64::max))
}

#[test]
fn a_step_plate_askew_in_poor_light_is_found_to_three_tenths_of_a_mm() {
    let on = layout(8);
    for (name, spoilt) in [
        ("clean", Spoilt::not()),
        ("uneven", Spoilt { falls_off: 0.35, exposure: 0.8, ..Spoilt::not() }),
        ("hazy, specks", Spoilt { haze: 0.04, specks: true, fine_grain: false, ..Spoilt::not() }),
        ("tone curve", Spoilt { gamma: 1.3, exposure: 0.6, ..Spoilt::not() }),
    ] {
        let m = askew();
        let off = off_mm(&m, &on, &draw(&m, &on, &PRINTED, &spoilt));
        assert!(off.as_ref().is_ok_and(|off| *off < 0.3), "{name}: {off:?} mm off");
    }
}

#[test]
fn a_step_plate_is_found_whichever_way_round_it_lies() {
    let on = layout(7);
    for degrees in [0.0_f64, 90.0, 180.0, 270.0, 37.0] {
        let (sin, cos) = (libm::sin(degrees.to_radians()), libm::cos(degrees.to_radians()));
        // Turned about the plate's middle, into the middle of a square picture.
        let to_middle = Matrix3::new(
            1.0,
            0.0,
            -0.5 * on.width_mm,
            0.0,
            1.0,
            -0.5 * on.height_mm,
            0.0,
            0.0,
            1.0,
        );
        let m = Matrix3::new(
            5.0 * cos,
            -5.0 * sin,
            500.0,
            5.0 * sin,
            5.0 * cos,
            500.0,
            1e-4,
            2e-4,
            1.0,
        ) * to_middle;
        let m = m / m[(2, 2)];
        let photo = draw_at(&m, (1000, 1000), 3, &on, &PRINTED, &Spoilt::not());
        let off = off_mm(&m, &on, &photo);
        assert!(off.as_ref().is_ok_and(|off| *off < 0.3), "{degrees}°: {off:?} mm off");
    }
}

#[test]
fn small_pictures_and_large_ones_agree() {
    let on = layout(8);
    for scale in [0.4, 1.0, 2.0] {
        let (m, size) = at_scale(&askew(), scale);
        let off = off_mm(&m, &on, &draw_at(&m, size, 5, &on, &PRINTED, &Spoilt::not()));
        assert!(off.as_ref().is_ok_and(|off| *off < 0.3), "{scale}: {off:?} mm off");
    }
}

#[test]
fn blank_sheets_and_other_prints_are_refused() {
    let on = layout(8);
    let m = askew();
    let blank = draw(&m, &on, &[PAPER; 8], &Spoilt::not());
    let words =
        find(&blank, &Expected::step_plate(&on)).expect_err("nothing is printed").to_string();
    assert!(words.contains("No print"), "{words}");
    // Steps in no order, and all alike: no step plate.
    for other in [[0.05, 0.6, 0.04, 0.5, 0.3, 0.05, 0.7, 0.1], [0.03; 8]] {
        let found = find(&draw(&m, &on, &other, &Spoilt::not()), &Expected::step_plate(&on));
        let words = found.expect_err("another print").to_string();
        assert!(words.contains("agrees too little"), "{other:?}: {words}");
    }
}
