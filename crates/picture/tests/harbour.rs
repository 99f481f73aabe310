//! The example picture.

use picture::{ToneMap, ValueMap, harbour};

fn shares(tones: &ToneMap) -> Vec<f64> {
    let plan = plan::Plan::default();
    let (width, height) = (plan.plate.width_mm, plan.plate.height_mm);
    ValueMap::new(tones, plan.picture.crop, &plan.picture.thresholds_l, width, height).area_shares()
}

/// FNV-1a, 64 bit (Fowler, Noll and Vo).
fn digest(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

/// Limits chosen for the example: it must show every value well (common practice, no source).
#[test]
fn it_uses_the_paper_and_all_seven_values() {
    for width in [450, 900] {
        let found = shares(&harbour(width, width * 4 / 3));
        assert_eq!(found.len(), 8, "paper and seven values");
        assert!((0.10..=0.18).contains(&found[0]), "paper at width {width}: {found:?}");
        assert!((0.08..=0.17).contains(&found[7]), "darkest at width {width}: {found:?}");
        assert!(found.iter().all(|share| *share >= 0.05), "all at width {width}: {found:?}");
    }
}

#[test]
fn its_tones_lie_clear_of_the_thresholds() {
    let tones = harbour(900, 1200);
    let levels = plan::Picture::default().thresholds_l;
    let near = |tone: u8| levels.iter().any(|level| (f64::from(tone) / 2.55 - level).abs() < 2.0);
    let doubtful = tones.lightness.iter().filter(|tone| near(**tone)).count();
    let share = doubtful as f64 / tones.lightness.len() as f64;
    assert!(share < 0.06, "{:.1} % of the picture lies within L* 2 of a threshold", share * 100.0);
}

#[test]
fn it_is_the_same_picture_at_every_size() {
    let (small, large) = (shares(&harbour(450, 600)), shares(&harbour(900, 1200)));
    for (value, (a, b)) in small.iter().zip(&large).enumerate() {
        assert!((a - b).abs() < 0.02, "value {value}: {a} and {b}");
    }
}

#[test]
fn other_shapes_get_its_middle() {
    let wide = harbour(400, 200);
    assert_eq!((wide.width, wide.height, wide.lightness.len()), (400, 200, 80_000), "wide");
    let tall = harbour(150, 400);
    assert_eq!((tall.width, tall.height, tall.lightness.len()), (150, 400, 60_000), "tall");
    assert!(wide.lightness.iter().all(|tone| *tone > 0), "no place is left unpainted");
    assert!(tall.lightness.iter().all(|tone| *tone > 0), "no place is left unpainted");
    assert_eq!(harbour(0, 1).lightness.len(), 256, "sides of at least 16 pixels");
}

/// The bytes themselves, so that a change on any machine shows. After changing the drawing on
/// purpose, look at it (`cargo run -p picture --example harbour`) and write the new number here.
#[test]
fn it_is_drawn_the_same_on_every_machine() {
    let found = digest(&harbour(300, 400).lightness);
    assert_eq!(
        found, 0x3cf2_cbe6_e3a4_4359,
        "digest of the harbour at 300 × 400 is 0x{found:016x}"
    );
}
