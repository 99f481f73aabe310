//! Ways to a wished tone, against what the copper then prints.

use crate::common;

use common::worked::{passage, plate, printed_l, with_work};
use common::{Everywhere, Seen, plate_with};
use plan::{Plan, Stiffness, Tool, Wipe};
use plate::Job;
use std::sync::Arc;
use study::rework::{self, Passage, Way, Wish};

/// What lies inside an outline.
fn passage_of(seen: &mut Seen, outline_mm: &[[f64; 2]]) -> Option<Passage> {
    rework::passage(&seen.plate, &seen.view, &mut seen.renderer, outline_mm)
}

/// The ways to a wished L*.
fn ways_of(seen: &mut Seen, value: usize, amounts: &[f32], wished: f64) -> Vec<Way> {
    let wish = Wish { value, amounts, lightness: wished };
    rework::ways(&seen.plate, &seen.view, &mut seen.renderer, &wish)
}

#[test]
fn how_far_to_go_is_answered() {
    let plan = Plan::default();
    let mut plate = plate(&plan, 4);
    let outline = [[20.0, 20.0], [60.0, 20.0], [60.0, 60.0], [20.0, 60.0]];
    let found = passage_of(&mut plate, &outline).expect("the outline lies on the plate");
    assert_eq!(found.value, 4, "all of it is value 4");
    let wished = found.values_l[3];
    let ways = ways_of(&mut plate, 4, &[], wished);
    let scrape = ways.iter().find(|way| way.way == "scrape").expect("scraping lightens");
    assert!(scrape.enough, "a value lighter can be scraped: {scrape:?}");
    assert!(
        scrape.low <= scrape.amount && scrape.amount <= scrape.high && scrape.high < scrape.most,
        "the band lies round the amount and below what clears the pits: {scrape:?}"
    );
    assert!(scrape.reaches_most > 85.0, "with the pits gone only furrows are left: {scrape:?}");
    // Done as told, it prints as wished.
    let done = with_work(vec![passage(Tool::Scraper, (scrape.amount * 10.0).round() / 10.0)]);
    let l = printed_l(&done, 4);
    assert!((l - wished).abs() < 2.0, "wished L* {wished:.1}, printed {l:.1}");
    let thin = ways.iter().find(|way| way.way == "thin_ink").expect("thinner ink lightens");
    assert!(thin.amount > 0.0 && thin.enough, "{thin:?}");
    // The other direction: a new ground.
    let darker = ways_of(&mut plate, found.value, &found.amounts, found.lightness - 8.0);
    let bite = darker.iter().find(|way| way.way == "bite").expect("a new ground darkens");
    assert!(bite.enough && bite.amount > 0.5 && bite.amount < bite.most, "{bite:?}");
    assert!(darker.iter().all(|way| way.way != "scrape"), "scraping does not darken");
}

#[test]
fn tools_have_the_named_rates() {
    // The estimates themselves, so that none moves unseen (work notes; no published figures found).
    let plan = Plan::default();
    let mut plate = plate(&plan, 4);
    let wished = plate.look().values()[3].lightness;
    let ways = ways_of(&mut plate, 4, &[], wished);
    let per_pass = |name: &str| {
        let way = ways.iter().find(|way| way.way == name).expect("offered");
        way.amount / way.passes
    };
    assert!((per_pass("scrape") - 0.5).abs() < 1e-9, "scraper");
    assert!((per_pass("burnish") - 0.25).abs() < 1e-9, "burnisher");
    assert!((per_pass("polish") - 0.1).abs() < 1e-9, "polish");
}

#[test]
fn another_ink_or_wipe_is_told_by_the_value_it_moves_most() {
    let plan = Plan::default();
    let values = plan.bites.len();
    let mut seen = plate_with(&plan, Everywhere::nearly_dark(values));
    let all_l = |seen: &mut Seen| -> Vec<f64> {
        seen.look().values().iter().map(|value| value.lightness).collect()
    };
    let before = all_l(&mut seen);
    let ways = ways_of(&mut seen, 4, &[], before[4] - 8.0);
    let mut tried = 0;
    for way in &ways {
        let mut other = plan.clone();
        match way.way {
            "tarlatan" => other.ink.wipe = Wipe::Tarlatan,
            "stiff_ink" => other.ink.stiffness = Stiffness::Stiff,
            "loose_ink" => other.ink.stiffness = Stiffness::Loose,
            "dab" => other.ink.dabbed_up = true,
            _ => continue,
        }
        seen.change(&Job::new(other, Arc::new(Everywhere::nearly_dark(values))));
        let after = all_l(&mut seen);
        // Of the others, whose L* is known here from four times the copper.
        let moved = |value: usize| (after[value] - before[value]).abs();
        let most = (0..=values).filter(|&v| v != 4).map(moved).fold(0.0, f64::max);
        assert!(way.elsewhere_value != 4, "elsewhere: {way:?}");
        assert!(moved(way.elsewhere_value) > most - 0.6, "{most} is the most: {way:?}");
        assert!((way.elsewhere - most).abs() < 0.6 && most > 1.0, "{most} is the most: {way:?}");
        tried += 1;
    }
    assert!(tried >= 2, "ways to darken by ink: {ways:?}");
    // Where the whole plate is one value, there is no elsewhere.
    let mut alone = plate(&plan, 4);
    for way in ways_of(&mut alone, 4, &[], before[4] - 8.0) {
        assert_eq!(way.elsewhere, 0.0, "{way:?}");
    }
}
