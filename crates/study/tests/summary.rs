//! All numbers of a plan: what the table of values speaks of.

use crate::common;

use common::worked::{new_ground, passage, plate, with_work};
use common::{Seen, plate_of};
use plan::{Plan, Tool, Work};
use plate::View;
use study::summary::{Summary, values_scope};

fn summary_of(seen: &mut Seen) -> Summary {
    study::summary(&seen.plate, &seen.view, &mut seen.renderer)
}

fn scope(seen: &Seen) -> String {
    values_scope(&seen.plate, &seen.view)
}

#[test]
fn the_table_says_which_ground_its_minutes_and_tones_are_of() {
    let plain = Plan::default();
    assert_eq!(scope(&plate(&plain, 3)), "", "one ground, no work: nothing to say");
    let burnished = with_work(vec![passage(Tool::Burnisher, 1.0)]);
    let mut plate = plate_of(&burnished);
    let by_hand = summary_of(&mut plate);
    assert_eq!(
        by_hand.values_scope,
        "State 2: minutes and tones of the first ground, away from wherever a tool has worked."
    );
    assert_eq!(
        by_hand.values,
        common::values_of(&plain),
        "handwork here and there leaves the values"
    );
    plate.view = View::first();
    assert_eq!(scope(&plate), "State 1, the first proof: minutes and tones of the first ground.");
    let mut bitten = with_work(vec![new_ground(4.0)]);
    bitten.states[0].name = "darker".to_owned();
    let mut plate = plate_of(&bitten);
    let again = summary_of(&mut plate);
    assert_eq!(
        again.values_scope,
        "State 2, “darker”: minutes of the first ground; depth, L* and density after the bites under the second ground as well."
    );
    let first = common::values_of(&plain);
    assert!(
        again.values.iter().zip(&first).all(|(now, was)| {
            now.mean_depth_um > was.mean_depth_um && now.cumulative_min == was.cumulative_min
        }),
        "and so they are: deeper, after the first ground's minutes"
    );
    let Work::Ground(ground) = &mut bitten.states[0].work[0] else { panic!("a ground") };
    ground.outline_mm = vec![[20.0, 20.0], [60.0, 20.0], [60.0, 60.0]];
    let inside = scope(&plate_of(&bitten));
    assert!(
        inside.ends_with("second ground as well, inside the passage it was laid for."),
        "{inside}"
    );
}
