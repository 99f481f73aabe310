//! Spit-bite: the film's closed form.

use plan::Plan;
use plate::bite::{BiteConstants, rate, spit_dose_um};

#[test]
fn the_film_tires_as_its_law_says() {
    let constants = BiteConstants::default();
    let bath = Plan::default().bath;
    let open = 0.5;
    let rate_um = constants.spit_brushed * rate::rate_um_per_min(&bath, 0.0, open, &constants);
    let first = spit_dose_um(&bath, 0.01, open, &constants);
    assert!((first / 0.01 - rate_um).abs() < 0.01 * rate_um, "it begins at its own rate: {first}");
    // The same law step by step: dR/dt = v·(1 − loss·copper), copper = R·open·8.96/film g/L.
    let loss = rate::loss_per_copper(bath.strength_be, &constants);
    let (mut dose, steps) = (0.0, 100_000);
    for _ in 0..steps {
        let copper = dose * open * constants.copper_g_per_cm3 / constants.spit_film_mm;
        dose += rate_um * (1.0 - loss * copper) * 8.0 / f64::from(steps);
    }
    let closed = spit_dose_um(&bath, 8.0, open, &constants);
    assert!((dose - closed).abs() < 1e-3, "8 min: {closed} µm, step by step {dose} µm");
    let (long, longer) = (
        spit_dose_um(&bath, 300.0, open, &constants),
        spit_dose_um(&bath, 600.0, open, &constants),
    );
    assert!(longer - long < 0.01 * long, "a film left lying comes to an end: {long}, {longer}");
    // In figures, from this law and the defaults as they were chosen: a change of either shows.
    assert!((first / 0.01 - 0.7985).abs() < 0.01, "µm a minute at first: {}", first / 0.01);
    assert!((longer - 17.81).abs() < 0.4, "µm when the film is spent: {longer}");
    assert_eq!(spit_dose_um(&bath, 0.0, open, &constants), 0.0, "no time, no bite");
}
