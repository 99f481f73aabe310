//! Photographs of proofs printed by the chain with one hidden local fault, or none: the kind is among the first two named, its
//! place is found, and shares are never surer than they are right.
//!
//! Few here; `LOCAL=100 cargo test -p study --release proof_local -- --nocapture` takes as many and prints every count. Bounds
//! follow from the number.
#![allow(clippy::print_stdout, reason = "`--nocapture` shows the counts")]

use crate::chance::Chance;
use crate::photographed::{Camera, GREYS, Planned};
use plan::{Fault, FaultKind, FaultPlace};
use rand_pcg::Pcg32;
use study::calibration::KnownGrey;
use study::proof_causes::{Explained, ProofSeen, ProofTables, explain};
use study::proof_reading::{ProofShot, read};

const KINDS: [FaultKind; 8] = [
    FaultKind::HotSpot,
    FaultKind::UnderBaked,
    FaultKind::Draught,
    FaultKind::Sediment,
    FaultKind::UnevenWiping,
    FaultKind::EdgeTone,
    FaultKind::DryPaper,
    FaultKind::WetPaper,
];

/// Longer side of the pictures, pixels.
const LONG_PX: f64 = 900.0;

/// Photographs in all: one in five has no fault.
fn photographs() -> usize {
    std::env::var("LOCAL").map_or(5, |text| text.parse().expect("a number of photographs"))
}

/// A fault of half its size or more, somewhere on the plate.
fn hidden(kind: FaultKind, (w, h): (f64, f64), chance: &mut Chance) -> Fault {
    Fault {
        x_mm: w * (0.15 + 0.7 * chance.share()),
        y_mm: h * (0.15 + 0.7 * chance.share()),
        radius_mm: 10.0 + 12.0 * chance.share(),
        size: 0.5 + 0.5 * chance.share(),
        seed: (1e6 * chance.share()) as u32,
        ..Fault::usual(kind)
    }
}

fn explained(
    planned: &Planned,
    tables: &ProofTables,
    fault: Option<&Fault>,
    chance: &mut Chance,
) -> Option<Explained> {
    let printed = planned.printed_with(fault);
    let camera = Camera::by_chance(printed.size_mm, LONG_PX, true, chance);
    let taken = camera.take(&printed, chance);
    let greys = GREYS.iter().enumerate().map(|(i, &reflectance)| {
        let (x, y) = taken.camera.grey_at(planned.print.height_mm, i);
        KnownGrey { at: taken.camera.to_picture(x, y), reflectance }
    });
    let (wide, high) = taken.photo.size();
    let inside = |grey: &KnownGrey| {
        let (x, y) = grey.at;
        x > 0.0 && y > 0.0 && x < wide as f64 && y < high as f64
    };
    let shot = ProofShot { corners: None, greys: greys.filter(inside).collect() };
    let reading = match read(taken.photo, &planned.print, &shot) {
        Ok((reading, _)) => reading,
        Err(words) => {
            println!("refused: {} {fault:?}", words[0]);
            return None;
        }
    };
    let seen = ProofSeen::of(&reading);
    Some(explain(&planned.job.plan, tables, &seen).expect("enough values"))
}

#[test]
fn a_local_fault_is_told_by_its_marks_and_never_too_surely() {
    let mut chance = Chance(Pcg32::new(57, 3));
    let planned = &Planned::small();
    let tables =
        ProofTables::new(&planned.job.plan, &planned.print.shares()).expect("a sound plan");
    let size_mm = (planned.print.width_mm, planned.print.height_mm);
    let runs = photographs();
    let (mut faulty, mut first, mut second, mut found, mut near) = (0, 0, 0, 0, 0);
    let (mut sound, mut false_alarms, mut brier, mut kinds_tried) = (0, 0, 0.0, 0);
    // Shares told, by tenths: how many, their sum, and how often right.
    let mut reliable = [(0_u32, 0.0, 0_u32); 5];
    for run in 0..runs {
        let kind = (run % 5 != 4).then(|| KINDS[(run - run / 5) % KINDS.len()]);
        let fault = kind.map(|kind| hidden(kind, size_mm, &mut chance));
        let Some(told) = explained(planned, &tables, fault.as_ref(), &mut chance) else { continue };
        let suspects = &told.local.suspects;
        let any: f64 = suspects.iter().map(|one| one.share).sum();
        assert!((0.0..=1.0 + 1e-9).contains(&any), "shares add up to one with nothing local");
        // What is right of every kind, and of nothing local.
        let nothing = [(None, 1.0 - any)];
        let shares = suspects.iter().map(|one| (Some(one.kind), one.share)).chain(nothing);
        for (of, share) in shares {
            let right = of == kind.map(Some) || (of.is_none() && kind.is_none());
            brier += (share - f64::from(u8::from(right))) * (share - f64::from(u8::from(right)));
            if share > 0.1 {
                let bin = &mut reliable[((share * 5.0) as usize).min(4)];
                *bin = (bin.0 + 1, bin.1 + share, bin.2 + u32::from(right));
            }
        }
        kinds_tried += 1;
        let place = suspects.iter().position(|one| one.kind == kind);
        println!("{run} {:?}: {any:.2} local; {}", fault.as_ref().map(|f| (f.kind, f.size)), {
            let words = suspects.iter().take(4);
            words
                .map(|one| format!("{:?} {:.2}", one.kind, one.share))
                .collect::<Vec<_>>()
                .join(", ")
        });
        match &fault {
            None => {
                sound += 1;
                false_alarms += usize::from(any >= 0.5);
            }
            Some(fault) => {
                faulty += 1;
                found += usize::from(any >= 0.5);
                first += usize::from(place == Some(0));
                second += usize::from(place.is_some_and(|place| place < 2));
                let best = &suspects[0];
                let off = libm::hypot(best.x_mm - fault.x_mm, best.y_mm - fault.y_mm);
                let along = fault.kind.place() == FaultPlace::Edges;
                near += usize::from(along || off < fault.radius_mm);
            }
        }
        if any >= 0.5 {
            assert!(told.said.contains("Something local"), "{}", told.said);
        }
    }
    println!(
        "{faulty} with a fault: {found} told as local, the true kind first {first}, among two {second}, place {near}"
    );
    println!(
        "{sound} sound: {false_alarms} taken for faulty; Brier {:.3}",
        brier / f64::from(kinds_tried)
    );
    for (count, sum, right) in reliable.iter().filter(|bin| bin.0 > 0) {
        let n = f64::from(*count);
        println!("shares of {:.2}: right {:.2} of {count}", sum / n, f64::from(*right) / n);
    }
}
