//! The edition: how long a plate lasts, and what is counted for it.

use crate::common;

use common::{Seen, plate_of};
use plan::{Edition, Plan};
use study::edition::{EditionAnswer, edition};

/// The edition of the state looked at.
fn edition_of(seen: &mut Seen) -> EditionAnswer {
    edition(&seen.plate, &seen.view, &mut seen.renderer)
}

#[test]
fn wear_never_darkens_and_runs_are_as_long_as_published() {
    let plan = Plan::default();
    let mut plate = plate_of(&plan);
    let edition = edition_of(&mut plate);
    for value in &edition.values {
        for list in [&value.lightness, &value.lightness_steel] {
            assert!(
                list.windows(2).all(|pair| pair[1] >= pair[0] - 0.05),
                "value {} darkens with wear: {list:?}",
                value.index
            );
        }
    }
    // About 100 good prints of a delicate aquatint (glossary of a university library), wear seen
    // after half of an edition of 75 (a printmaker's notes, 2011), steel-faced about 1000 equal, up
    // to 3000–4000 (M. Lalanne, A Treatise on Etching, 1880, §§98–99).
    let weakest = edition.values[1..].iter().map(|v| v.seen_at).filter(|&n| n > 0).min();
    assert!(weakest.is_some_and(|n| (20..=150).contains(&n)), "bare copper: {weakest:?}");
    let steel = edition.values[1..].iter().map(|v| v.seen_at_steel).filter(|&n| n > 0).min();
    assert!(steel.is_some_and(|n| (300..=2500).contains(&n)), "steel-faced: {steel:?}");
    // Ink notes, check 36: steel-faced N 1000 equals bare N 100.
    let at = |n: u32| edition.impressions.iter().position(|&i| i == n).expect("on the strip");
    for value in &edition.values {
        let (bare, faced) = (value.lightness[at(100)], value.lightness_steel[at(1000)]);
        assert!((bare - faced).abs() < 0.1, "value {}: {bare} and {faced}", value.index);
    }
}

#[test]
fn the_edition_is_counted() {
    let counted = Edition { impressions: 50, minutes_each: 30.0, ..Edition::default() };
    let plan = Plan { edition: Some(counted), ..Plan::default() };
    let edition = edition_of(&mut plate_of(&plan));
    // 150 × 200 mm with 35 mm all round is 220 × 270 mm: 2 × 3 of them fit on 560 × 760 mm one way
    // (2·270, 3·220) and 2 × 2 the other (2·220, 2·270), so 6.
    assert_eq!(edition.per_sheet, 6, "from one full sheet");
    assert_eq!(edition.sheets, 10, "55 prints with one in ten over");
    assert!((edition.hours - 27.5).abs() < 1e-9, "55 times half an hour: {} h", edition.hours);
    // All paper: 300 cm² × (0.05 µm held + 15 µm wiped off) × 1.2 g/cm³ is 0.5418 g each.
    assert!((edition.ink_g / 55.0 - 0.5418).abs() < 0.002, "{} g each", edition.ink_g / 55.0);
}
