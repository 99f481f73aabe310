//! Photographs of proofs printed by the chain with one hidden local fault, or none: the kind is among the first two named, its
//! place is found, and shares are never surer than they are right.
//!
//! Few here; `LOCAL=100 cargo test -p study --release proof_local -- --nocapture` takes as many and prints every count. Bounds
//! follow from the number.
#![allow(clippy::print_stdout, reason = "`--nocapture` shows the counts")]

use crate::chance::Chance;
use crate::photographed::{Camera, GREYS, Planned};
use crate::shops::fewest;
use plan::{Fault, FaultKind, FaultPlace};
use rand_pcg::Pcg32;
use study::calibration::KnownGrey;
use study::proof_causes::{Explained, ProofSeen, ProofTables, explain};
use study::proof_reading::{ProofShot, read};

const KINDS: [FaultKind; 8] = [
    FaultKind::UnevenWiping,
    FaultKind::WetPaper,
    FaultKind::Sediment,
    FaultKind::EdgeTone,
    FaultKind::DryPaper,
    FaultKind::Draught,
    FaultKind::HotSpot,
    FaultKind::UnderBaked,
];

/// Longer side of the pictures, pixels.
const LONG_PX: f64 = 900.0;

/// Photographs in all: one in five has no fault.
fn photographs() -> usize {
    std::env::var("LOCAL").map_or(3, |text| text.parse().expect("a number of photographs"))
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
    let (mut faulty, mut first, mut second, mut found, mut near, mut sound, mut alarms) =
        (0, 0, 0, 0, 0, 0, 0);
    // Of what is told as local: whether it is there, and which kind.
    let (mut there, mut which) = (Told::default(), Told::default());
    for run in 0..runs {
        let kind = (run % 5 != 2).then(|| KINDS[(run - (run + 2) / 5) % KINDS.len()]);
        let fault = kind.map(|kind| hidden(kind, size_mm, &mut chance));
        let Some(told) = explained(planned, &tables, fault.as_ref(), &mut chance) else { continue };
        let suspects = &told.local.suspects;
        let any: f64 = suspects.iter().map(|one| one.share).sum();
        let local = any + told.local.unseen;
        assert!((0.0..=1.0 + 1e-9).contains(&local), "no more than all: {local}");
        there.add(local, kind.is_some());
        let words: Vec<String> =
            suspects.iter().take(4).map(|one| format!("{:?} {:.2}", one.kind, one.share)).collect();
        println!(
            "{run} {:?}: {any:.2}; {}",
            fault.as_ref().map(|f| (f.kind, f.size)),
            words.join(", ")
        );
        let shows = any >= 0.5;
        assert_eq!(told.said.contains("Something local"), shows, "{}", told.said);
        let Some(fault) = &fault else {
            (sound, alarms) = (sound + 1, alarms + u32::from(shows));
            continue;
        };
        faulty += 1;
        if shows {
            found += 1;
            suspects.iter().for_each(|one| which.add(one.share / any, one.kind == kind));
            let place = suspects.iter().position(|one| one.kind == kind);
            first += u32::from(place == Some(0));
            second += u32::from(place.is_some_and(|place| place < 2));
            let off = libm::hypot(suspects[0].x_mm - fault.x_mm, suspects[0].y_mm - fault.y_mm);
            let along = fault.kind.place() == FaultPlace::Edges;
            near += u32::from(along || off < fault.radius_mm);
        }
    }
    println!(
        "{faulty} with a fault: {found} told as local; of these the true kind first {first}, among the first two {second}, its place found {near}"
    );
    println!("{sound} sound: {alarms} taken for faulty");
    println!("is there anything local: {there}; which kind, where told: {which}");
    let enough = |count: u32, of: u32, share: f64| count >= fewest(of, share);
    assert!(enough(found, faulty, 0.4), "{found} of {faulty} are told");
    assert!(enough(second, found, 0.6), "{second} of {found} kinds are among the first two");
    assert!(enough(near, found, 0.7), "{near} of {found} places are found");
    assert!(enough(sound - alarms, sound, 0.85), "{alarms} of {sound} false alarms");
    assert!(there.brier() < 0.3 && which.brier() < 0.14, "{there}; {which}");
}

/// Shares that were told of something, and whether it was so.
#[derive(Default)]
struct Told {
    squares: f64,
    bins: [(u32, f64, u32); 5],
}

impl Told {
    fn add(&mut self, share: f64, right: bool) {
        let off = share - f64::from(u8::from(right));
        self.squares += off * off;
        let bin = &mut self.bins[((share * 5.0) as usize).min(4)];
        *bin = (bin.0 + 1, bin.1 + share, bin.2 + u32::from(right));
    }

    fn brier(&self) -> f64 {
        self.squares / f64::from(self.bins.iter().map(|bin| bin.0).sum::<u32>().max(1))
    }
}

impl std::fmt::Display for Told {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Brier {:.3}", self.brier())?;
        for (count, sum, right) in self.bins.iter().filter(|bin| bin.0 > 0) {
            let n = f64::from(*count);
            write!(f, ", {:.2} told {:.2} right of {count}", sum / n, f64::from(*right) / n)?;
        }
        Ok(())
    }
}
