//! A photograph drawn here, skewed, lit from one side, hazy, grainy and with specks, is read aright;
//! what can't be read is refused with the reason.

use crate::drawn;

use drawn::{PAPER, SIZE, Spoilt, askew, corners, draw, scale_at, to_picture};
use nalgebra::Matrix3;
use plate::light;
use study::calibration::{
    Homography, KnownGrey, Layout, Photo, Shot, Yardstick, layout, patches_in_picture, read_photo,
};

fn patches() -> Vec<f64> {
    [0.62, 0.5, 0.36, 0.22, 0.13, 0.07, 0.035, 0.06].to_vec()
}

#[test]
fn a_skewed_uneven_hazy_picture_gives_every_patch() {
    let on = layout(8);
    let m = askew();
    let spoilt = Spoilt {
        haze: 0.03,
        falls_off: 0.35,
        specks: true,
        exposure: 0.8,
        fine_grain: false,
        ..Spoilt::not()
    };
    let photo = draw(&m, &on, &patches(), &spoilt);
    let darkest = on.patches[6];
    let at = to_picture(&m, darkest.left_mm + 6.0, darkest.top_mm + 15.0);
    let black = vec![KnownGrey { at, reflectance: patches()[6] }];
    let shot = Shot { corners: corners(&m, &on), paper_reflectance: PAPER, greys: black };
    let read = read_photo(&photo, &on, &shot).expect("a readable picture");
    for (patch, reflectance) in read.patches.iter().zip(patches()) {
        let l = light::lightness(reflectance);
        assert!(
            (patch.lightness - l).abs() < 1.0,
            "L* {l} was read as {}: {patch:?}",
            patch.lightness
        );
        assert!(patch.specks >= 1, "its speck is left out: {patch:?}");
        assert!(patch.spread_l > 0.2, "the grain shows: {patch:?}");
    }
    assert!((0.2..0.4).contains(&read.uneven), "the light falls off by {}", read.uneven);
    assert!(read.warnings.is_empty(), "nothing else to say: {:?}", read.warnings);
    // Without the known black, haze of 3 % lightens the darks, and that is said.
    let hazy =
        read_photo(&photo, &on, &Shot { greys: Vec::new(), ..shot.clone() }).expect("readable");
    assert!(hazy.patches[6].lightness > light::lightness(patches()[6]) + 3.0, "{hazy:?}");
    assert!(hazy.warnings[0].contains("haze"), "{:?}", hazy.warnings);
    // A black beside the sheet serves as well: the table under a pale step, 0.1.
    let beside = to_picture(&m, on.patches[1].left_mm + 6.0, on.height_mm + 20.0);
    let table = vec![KnownGrey { at: beside, reflectance: 0.1 }];
    let by_table = read_photo(&photo, &on, &Shot { greys: table, ..shot.clone() });
    for (patch, own) in by_table.expect("readable").patches.iter().zip(&read.patches) {
        assert!((patch.lightness - own.lightness).abs() < 1.0, "{patch:?} by the table, {own:?}");
    }
    // Corners a pixel off change next to nothing.
    let mut off = shot;
    off.corners[2].0 += 1.0;
    let again = read_photo(&photo, &on, &off).expect("readable");
    assert!((again.patches[3].lightness - read.patches[3].lightness).abs() < 0.3, "{again:?}");
}

#[test]
fn a_clean_picture_has_no_specks_and_a_black_of_3_mm_will_do() {
    let on = layout(8);
    let m = askew();
    let clean = Spoilt { haze: 0.03, falls_off: 0.1, ..Spoilt::not() };
    let photo = draw(&m, &on, &patches(), &clean);
    let black = |at| vec![KnownGrey { at, reflectance: patches()[6] }];
    let darkest = on.patches[6];
    let (right, bottom) = (darkest.left_mm + darkest.width_mm, darkest.top_mm + darkest.height_mm);
    let middle = to_picture(&m, right - 6.0, bottom - 12.0);
    let shot = Shot { corners: corners(&m, &on), paper_reflectance: PAPER, greys: black(middle) };
    let read = read_photo(&photo, &on, &shot).expect("a readable picture");
    for (patch, reflectance) in read.patches.iter().zip(patches()) {
        // 9 by 21 mm, 1.5 mm inside the edges, in cells of 1.5 mm.
        assert_eq!(patch.cells + patch.specks, 6 * 14, "{patch:?}");
        // Some cells are odd by chance, but no whole row of them, as beside the patch.
        assert!(patch.specks < 6, "nothing is dirty: {patch:?}");
        let l = light::lightness(reflectance);
        assert!((patch.lightness - l).abs() < 0.5, "L* {l} was read as {patch:?}");
    }
    // The same black, but known from no more than 1.5 mm to each side: hard by either corner of it.
    let mut fewer = on.clone();
    fewer.patches.remove(6);
    for (x, y) in [(right - 1.7, bottom - 1.7), (right - 10.3, bottom - 22.3)] {
        let shot = Shot { greys: black(to_picture(&m, x, y)), ..shot.clone() };
        let again = read_photo(&photo, &fewer, &shot).expect("readable");
        let (l, own) = (again.patches[5].lightness, read.patches[5].lightness);
        assert!((l - own).abs() < 0.6, "by the black at {x}, {y} L* {l}, not {own}");
    }
}

#[test]
fn what_can_not_be_read_is_said() {
    let on = layout(8);
    let m = askew();
    let fine = Spoilt { falls_off: 0.1, fine_grain: false, ..Spoilt::not() };
    let photo = draw(&m, &on, &patches(), &fine);
    let shot = Shot { corners: corners(&m, &on), paper_reflectance: PAPER, greys: Vec::new() };
    let said = |photo: &Photo, shot: &Shot| -> String {
        read_photo(photo, &on, shot).map_or_else(
            |words| words.iter().map(ToString::to_string).collect(),
            |_| "nothing".to_owned(),
        )
    };
    let with = |corners: [(f64, f64); 4]| Shot { corners, ..shot.clone() };
    let [a, b, c, d] = shot.corners;
    assert_eq!(said(&photo, &shot), "nothing", "it is readable");
    assert!(said(&photo, &with([a, c, b, d])).contains("cross"), "two corners changed places");
    assert!(said(&photo, &with([b, a, d, c])).contains("wrong way round"), "mirrored");
    assert!(
        said(&photo, &with([a, b, (a.0 + 1.0, a.1 + 1.0), d])).contains("cross"),
        "one lies inside"
    );
    assert!(said(&photo, &with([a, b, (9e3, 40.0), d])).contains("outside"), "outside the picture");
    let near = |(x, y): (f64, f64)| (a.0 + (x - a.0) * 0.1, a.1 + (y - a.1) * 0.1);
    assert!(
        said(&photo, &with([a, near(b), near(c), near(d)])).contains("pixels wide"),
        "too small"
    );
    let wide = SIZE.0 as f64;
    let high = SIZE.1 as f64;
    let whole = with([(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)]);
    assert!(said(&photo, &whole).contains("too little bare paper"), "{}", said(&photo, &whole));
    let dark = draw(
        &m,
        &on,
        &patches(),
        &Spoilt { exposure: 0.03, falls_off: 0.1, fine_grain: false, ..Spoilt::not() },
    );
    assert!(said(&dark, &shot).contains("under-exposed"), "{}", said(&dark, &shot));
    let pale = on.patches[0];
    let at = to_picture(&m, pale.left_mm + 6.0, pale.top_mm + 12.0);
    let black =
        |at, reflectance| Shot { greys: vec![KnownGrey { at, reflectance }], ..shot.clone() };
    assert!(said(&photo, &black(at, 0.03)).contains("not dark in the picture"), "a pale patch");
    assert!(said(&photo, &black(at, 0.6)).contains("much darker than the paper"), "a pale black");
    let burnt =
        draw(&m, &on, &patches(), &Spoilt { exposure: 1.5, fine_grain: false, ..Spoilt::not() });
    let words = read_photo(&burnt, &on, &shot).expect("read all the same").warnings;
    assert!(words.iter().any(|words| words.contains("burnt out")), "{words:?}");
    assert!(burnt_is_open(&burnt, &on, &shot), "how far above white is not known");
    assert!(Photo::from_rgba(&[0; 7], 2, 1).is_err(), "a broken picture");
}

fn burnt_is_open(photo: &Photo, on: &Layout, shot: &Shot) -> bool {
    read_photo(photo, on, shot).expect("readable").camera.burnt
}

#[test]
fn known_greys_take_the_camera_s_curve_off() {
    let on = layout(8);
    let m = askew();
    let scale = [0.6, 0.35, 0.18, 0.08, 0.035];
    for (gamma, haze) in [(1.2, 0.01), (0.85, 0.02)] {
        let spoilt = Spoilt { gamma, haze, greys: scale.to_vec(), ..Spoilt::not() };
        let photo = draw(&m, &on, &patches(), &spoilt);
        let grey = |(i, &reflectance): (usize, &f64)| {
            let (x, y) = scale_at(&on, i);
            KnownGrey { at: to_picture(&m, x, y), reflectance }
        };
        let greys: Vec<KnownGrey> = scale.iter().enumerate().map(grey).collect();
        let (corners, paper_reflectance) = (corners(&m, &on), PAPER);
        let with = |greys: &[KnownGrey]| {
            let shot = Shot { corners, paper_reflectance, greys: greys.to_vec() };
            read_photo(&photo, &on, &shot)
        };
        let (read, blind) = (with(&greys).expect("readable"), with(&[]).expect("readable"));
        let mut worst = 0.0_f64;
        for ((own, other), reflectance) in read.patches.iter().zip(&blind.patches).zip(patches()) {
            let l = light::lightness(reflectance);
            assert!((own.lightness - l).abs() < 1.2, "γ {gamma}: {own:?}, not L* {l}");
            worst = worst.max((other.lightness - l).abs());
        }
        assert!(worst > 4.0, "without them the camera moves a step by {worst} L*");
        assert_eq!((read.camera.by, blind.camera.by), (Yardstick::Scale, Yardstick::Paper));
        assert!((read.camera.ln_gamma - libm::log(gamma)).abs() < 0.05, "{:?}", read.camera);
        // A mark on the wrong patch is told, and so is a grey lighter than the paper.
        let mut crossed = greys.clone();
        (crossed[1].at, crossed[3].at) = (crossed[3].at, crossed[1].at);
        let said = with(&crossed).expect_err("crossed")[0].to_string();
        assert!(said.contains("the other way round"), "{said}");
        let mut pale = greys.clone();
        pale[0].reflectance = 0.95;
        assert!(with(&pale).expect_err("pale")[0].to_string().contains("lighter than the paper"));
    }
}

#[test]
fn a_picture_upside_down_is_told_so() {
    let on = layout(8);
    let m = askew();
    let photo = draw(&m, &on, &patches(), &Spoilt::not());
    let [a, b, c, d] = corners(&m, &on);
    let read = |corners| {
        let shot = Shot { corners, paper_reflectance: PAPER, greys: Vec::new() };
        read_photo(&photo, &on, &shot).expect("readable")
    };
    let (upright, turned) = (read([a, b, c, d]), read([c, d, a, b]));
    assert!(!upright.turned && turned.turned, "{:?}, {:?}", upright.warnings, turned.warnings);
    assert!(turned.warnings.iter().any(|words| words.contains("upside down")));
    // Where the patches lie is told for either, the same places the other way round.
    let [lie, back] = [[a, b, c, d], [c, d, a, b]].map(|corners| patches_in_picture(&on, &corners));
    for (one, other) in lie.iter().zip(back.iter().rev()) {
        for (k, &(x, y)) in one.iter().enumerate() {
            let (ox, oy) = other[(k + 2) % 4];
            assert!((x - ox).abs() < 1e-6 && (y - oy).abs() < 1e-6, "{one:?}, {other:?}");
        }
    }
    let (x, y) = to_picture(&m, on.patches[0].left_mm + 1.5, on.patches[0].top_mm + 1.5);
    assert!((lie[0][0].0 - x).abs() < 1e-6 && (lie[0][0].1 - y).abs() < 1e-6, "{lie:?}");
}

#[test]
fn paper_below_the_plate_counts_and_what_lies_beside_a_patch_is_not_the_patch() {
    let on = layout(8);
    let m = askew();
    let fine = Spoilt { falls_off: 0.1, fine_grain: false, ..Spoilt::not() };
    let shot = Shot { corners: corners(&m, &on), paper_reflectance: PAPER, greys: Vec::new() };
    // Right of the last patch, beyond the plate: bare paper, which is no black.
    let last = on.patches[7];
    let photo = draw(&m, &on, &patches(), &fine);
    let at = to_picture(&m, on.width_mm + 6.0, last.top_mm + 12.0);
    let beside = Shot { greys: vec![KnownGrey { at, reflectance: 0.03 }], ..shot.clone() };
    let words = read_photo(&photo, &on, &beside).expect_err("paper is not black");
    assert!(words[0].to_string().contains("not dark in the picture"), "{words:?}");
    // The paper below it counts as that above, of which only 7.5 mm are in this picture.
    let straight = Matrix3::new(8.6, 0.0, 120.0, 0.0, 8.2, 7.5 * 8.2, 0.0, 0.0, 1.0);
    let cut = Shot { corners: corners(&straight, &on), ..shot };
    let read = read_photo(&draw(&straight, &on, &patches(), &fine), &on, &cut);
    assert!(read.is_ok(), "paper enough below and beside it: {read:?}");
}

#[test]
fn the_projection_takes_corners_to_corners_and_back() {
    let on = layout(6);
    let m = askew();
    let map = Homography::new(on.width_mm, on.height_mm, &corners(&m, &on)).expect("a plate");
    for (x, y) in [(0.0, 0.0), (on.width_mm, 0.0), (31.0, 17.0), (-8.0, 44.0)] {
        let (px, py) = map.to_picture(x, y);
        let (wx, wy) = to_picture(&m, x, y);
        assert!(
            (px - wx).abs() < 1e-6 && (py - wy).abs() < 1e-6,
            "{x}, {y}: {px}, {py}, not {wx}, {wy}"
        );
        let (bx, by) = map.to_plate(px, py).expect("this side of the horizon");
        assert!((bx - x).abs() < 1e-9 && (by - y).abs() < 1e-9, "and back: {bx}, {by}");
    }
    // Places behind the camera are seen at pixels that show no plate.
    for (x, y) in [(0.0, 4000.0), (-6000.0, 0.0), (100.0, 2500.0)] {
        let (px, py) = to_picture(&m, x, y);
        assert_eq!(map.to_plate(px, py), None, "{x}, {y} lies beyond the horizon: {px}, {py}");
    }
    let line = [(0.0, 0.0), (100.0, 100.0), (200.0, 200.0), (300.0, 300.0)];
    assert!(Homography::new(10.0, 10.0, &line).is_none(), "corners on a line");
}
