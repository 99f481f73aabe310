//! The same bits everywhere: this is the native side, in whichever profile the tests are built.
//! See `tests/digests/README.md` for what a change means.

use plate::chain::{Job, Renderer};
use std::path::Path;

#[test]
fn every_stage_has_its_committed_bits() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/digests/digests.txt");
    let now = picture::example::digests();
    let committed = std::fs::read_to_string(&path).unwrap_or_default();
    if now != committed && std::env::var_os("UPDATE").is_some() {
        std::fs::write(&path, &now).expect("the digests rewritten");
        panic!("digests.txt has been rewritten: say in the commit why, and run the test again");
    }
    let first = now.lines().zip(committed.lines()).find(|(a, b)| a != b);
    assert!(now == committed, "the first stage that differs (now, committed): {first:?}");
}

/// A digest over blank paper would be the same for every plan.
#[test]
fn the_digests_look_at_bitten_copper() {
    let digests = picture::example::digests();
    for stage in ["ground", "bite", "hold", "print", "proof", "tile", "values"] {
        let mut seen: Vec<&str> =
            digests.lines().filter(|line| line.split(' ').nth(1) == Some(stage)).collect();
        let plans = seen.len();
        seen.iter_mut().for_each(|line| *line = line.rsplit(' ').next().unwrap_or_default());
        seen.sort_unstable();
        seen.dedup();
        assert_eq!(seen.len(), plans, "two plans have the same {stage}:\n{digests}");
    }
}

/// Work that missed the places looked at would leave their copper as it was bitten.
#[test]
fn the_worked_plate_is_worked_where_it_is_looked_at() {
    let plans = picture::example::small_plans();
    let (_, worked) = plans.iter().find(|(name, _)| *name == "worked").expect("a worked plate");
    let tones = std::sync::Arc::new(picture::harbour(300, 400));
    let stages = |plan: &plan::Plan| {
        let areas = std::sync::Arc::new(picture::PictureAreas::new(tones.clone(), plan));
        let mut renderer = Renderer::default();
        let plate = renderer.plate(&Job::new(plan.clone(), areas)).expect("a sound plan");
        plate::digest::stages(&plate, &mut renderer)
    };
    let whole = stages(worked);
    for i in 0..worked.states.len() {
        for j in 0..worked.states[i].work.len() {
            let mut without = worked.clone();
            without.states[i].work.remove(j);
            let left_out = stages(&without);
            for stage in ["bite", "hold", "proof"] {
                let of = |list: &[(&'static str, u64)]| {
                    list.iter().find(|one| one.0 == stage).map(|one| one.1)
                };
                assert_ne!(
                    of(&whole),
                    of(&left_out),
                    "{stage} without piece {j} of state {}",
                    i + 2
                );
            }
        }
    }
}
