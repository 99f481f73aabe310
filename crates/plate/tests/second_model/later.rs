//! Later grounds obey the same model: a second ground over bitten copper darkens it.

use crate::common::{Everywhere, plate_with};
use plan::{Bite, LaterBite, LaterGround, Plan, State, Work};
use plate::light::reflectance_of_lightness;

/// The example with one value bitten for so many minutes, and under a new ground of its own dust and bake for
/// so many more.
fn bitten(first_min: f64, second_min: f64, change: fn(&mut LaterGround)) -> f64 {
    let mut plan = Plan::default();
    // A first bite as short as they come stands for none.
    plan.bites = vec![Bite { bite_min: 0.25 }, Bite { bite_min: first_min }];
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
    let value = if first_min > 0.25 { 2 } else { 0 };
    // The bath stays fresh when the areas are paper.
    plate_with(&plan, Everywhere::paper(2)).values()[value].lightness
}

fn as_it_is(_: &mut LaterGround) {}

#[test]
fn a_second_ground_darkens_as_a_first_would_darken_bare_copper() {
    let paper = reflectance_of_lightness(bitten(0.25, 0.0, as_it_is));
    let first = bitten(4.5, 0.0, as_it_is);
    assert!((first - 63.0).abs() < 3.0, "a value of about L* 63: {first:.1}");
    let mut before = first;
    for minutes in [1.0, 2.5, 5.0, 8.0] {
        let both = bitten(4.5, minutes, as_it_is);
        // The same ground on bare copper: the paper of the first ground has never been bitten.
        let alone = bitten(0.25, minutes, as_it_is);
        // Two grounds that know nothing of each other let through the product of their light; a pit cannot be
        // bitten away twice, so they come to somewhat less.
        let light = reflectance_of_lightness(first) * reflectance_of_lightness(alone) / paper;
        let if_independent = plate::light::lightness(light);
        let share = (first - both) / (first - if_independent);
        println!(
            "{minutes} min: L* {first:.1} to {both:.1}; bare copper {alone:.1}; if independent {if_independent:.1}: {share:.2}"
        );
        assert!(both < before, "{minutes} min: L* {both:.1} after {before:.1}");
        assert!(
            (0.6..1.05).contains(&share),
            "{minutes} min: {share:.2} of what two grounds would"
        );
        before = both;
    }
    let after_five = bitten(4.5, 5.0, as_it_is);
    assert!(
        after_five < first - 12.0,
        "far more than three L* in five minutes: {first:.1} to {after_five:.1}"
    );
}

#[test]
fn a_closed_second_ground_hardly_darkens() {
    let first = bitten(4.5, 0.0, as_it_is);
    let usual = bitten(4.5, 5.0, as_it_is);
    let closed = bitten(4.5, 5.0, |ground| ground.dust.powder_g_per_m2 *= 4.0);
    println!("L* {first:.1}; half covered {usual:.1}, closed {closed:.1}");
    assert!(closed > usual + 8.0, "closed {closed:.1}, half covered {usual:.1}");
    assert!(closed < first, "what is open bites: {closed:.1}");
}
