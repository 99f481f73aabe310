//! Later grounds obey the same model: a second ground over bitten copper.

use crate::common::{Everywhere, plate_with};
use plan::{Bite, LaterBite, LaterGround, Plan, State, Work};
use plate::chain::Value;

/// The example with one value bitten for so many minutes, then under a new ground of the same dust and bake, changed,
/// for so many more.
fn bitten(first_min: f64, second_min: f64, change: fn(&mut LaterGround)) -> Value {
    let bites = vec![Bite { bite_min: 0.25 }, Bite { bite_min: first_min }];
    let mut plan = Plan { bites, ..Plan::default() };
    plan.picture.thresholds_l = vec![60.0, 30.0];
    let (dust, bake, bath) = (plan.dust.clone(), plan.bake.clone(), plan.bath.clone());
    if second_min > 0.0 {
        let mut ground = LaterGround {
            seed: 8,
            dust,
            bake,
            bath,
            outline_mm: Vec::new(),
            bites: vec![LaterBite { bite_min: second_min, from_value: 0, to_value: 12 }],
        };
        change(&mut ground);
        let work = vec![Work::Ground(ground)];
        plan.states = vec![State { name: String::new(), from_state: 1, work }];
    }
    // The paper of the first ground has never been bitten: bare copper for the second.
    let value = if first_min > 0.25 { 2 } else { 0 };
    // The bath stays fresh when the areas are paper.
    plate_with(&plan, Everywhere::paper(2)).look().values().swap_remove(value)
}

fn as_it_is(_: &mut LaterGround) {}

#[test]
fn a_second_ground_bites_as_a_first_on_bare_copper_less_what_is_gone() {
    let first = bitten(4.5, 0.0, as_it_is);
    assert!((first.lightness - 63.0).abs() < 3.0, "a value of about L* {:.1}", first.lightness);
    let mut before = first.clone();
    for minutes in [2.5, 5.0, 8.0, 12.0] {
        let both = bitten(4.5, minutes, as_it_is);
        let alone = bitten(0.25, minutes, as_it_is);
        let gained_um = both.mean_depth_um - first.mean_depth_um;
        println!(
            "{minutes} min: L* {:.1} to {:.1} (bare copper {:.1}); depth + {gained_um:.2} µm ({:.2}); land {:.3} of {:.3} and {:.3}",
            first.lightness,
            both.lightness,
            alone.lightness,
            alone.mean_depth_um,
            both.land,
            first.land,
            alone.land
        );
        // The open half goes down as on bare copper, in old pits and on lands alike; walls of old pits give
        // a little more to take.
        let ratio = gained_um / alone.mean_depth_um;
        assert!(
            (0.9..1.35).contains(&ratio),
            "{minutes} min: {ratio:.2} of what bare copper loses"
        );
        // Two grounds that know nothing of each other leave the product of their lands.
        let product = first.land * alone.land;
        assert!(
            (both.land - product).abs() < 0.05,
            "{minutes} min: land {} of {product}",
            both.land
        );
        assert!(both.lightness < before.lightness + 0.3, "{minutes} min: never lighter: {both:?}");
        // In print it is as dark as the darker of the two alone, or darker.
        let darker = first.lightness.min(alone.lightness);
        assert!(
            both.lightness < darker + 0.3,
            "{minutes} min: {:.1} and {darker:.1}",
            both.lightness
        );
        before = both;
    }
}

#[test]
fn a_second_ground_darkens_but_by_less_than_on_bare_copper() {
    // planning.md wanted far more than 3 L* in five minutes. It does not come (ROWS.md): two half-open grounds leave an
    // eighth of the land, and the cloth goes down to the terraces between, at 4–5 µm; only what lies below them fills.
    let first = bitten(4.5, 0.0, as_it_is).lightness;
    let five = bitten(4.5, 5.0, as_it_is).lightness;
    let twelve = bitten(4.5, 12.0, as_it_is).lightness;
    println!("L* {first:.1}, after five minutes {five:.1}, after twelve {twelve:.1}");
    assert!((1.5..8.0).contains(&(first - five)), "five minutes: L* {first:.1} to {five:.1}");
    assert!(twelve < five - 2.0, "twelve: {twelve:.1}");
    // A fuller second ground leaves more land for the cloth to lie on, and darkens more.
    let fuller = bitten(4.5, 5.0, |ground| ground.dust.powder_g_per_m2 *= 2.0).lightness;
    assert!(fuller < five - 1.0, "three quarters covered {fuller:.1}, half {five:.1}");
}
