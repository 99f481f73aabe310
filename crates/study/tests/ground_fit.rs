//! A ground with a hidden hysteresis and a hidden share of powder is drawn before and after its bake, photographed,
//! read, and both are found again within their limits; what can't be is refused.
#![allow(clippy::print_stdout, reason = "`--nocapture` shows how far each reading is off")]

use crate::ground_drawn;

use ground_drawn::{Scene, Taken};
use plan::Plan;
use plate::constants::Constants;
use plate::ground::{Dome, Ground, TileCache};
use plate::{bake, dust};
use study::calibration::{
    GroundMeasures, GroundShot, RosinTone, Scale, Told, fit_ground, read_ground,
};

const SIZE_UM: (f64, f64) = (4200.0, 3200.0);

fn scene(discs: &[Dome]) -> Scene {
    let disc = |one: &Dome| (f64::from(one.x_um), f64::from(one.y_um), f64::from(one.radius_um));
    Scene::of(SIZE_UM, discs.iter().map(disc).collect())
}

/// The dust of a plan and what it melts to with this hysteresis, as a picture of each is read.
fn pictures(plan: &Plan, hysteresis_deg: f64) -> (GroundMeasures, GroundMeasures) {
    let mut constants = Constants::default();
    constants.bake.hysteresis_deg = hysteresis_deg;
    let landed = dust::land(&plan.dust, &constants.dust);
    let baked = bake::bake(&plan.bake, plan.plate.thickness_mm, &constants.bake);
    let ground = Ground::new(&landed, &baked, plan.seed);
    let mut grains = Vec::new();
    ground.loose_at((0.0, 0.0), SIZE_UM, 300.0, &mut grains);
    let loose: Vec<Dome> = grains.iter().map(|one| one.lying(landed.solid_share).disc).collect();
    let mut domes = Vec::new();
    TileCache::new(0).gather(&ground, 0.0, 0.0, SIZE_UM.0, SIZE_UM.1, 0.0, &mut domes);
    let photographed = |discs: &[Dome], taken: &Taken| {
        let (photo, width_mm) = scene(discs).photo(taken, 8);
        let shot = GroundShot {
            scale: Scale::Across(width_mm),
            frame: None,
            rosin: RosinTone::Found,
            nudge: 0.0,
        };
        match read_ground(&photo, &shot) {
            Ok((reading, _)) => reading.found,
            Err(said) => panic!("hysteresis {hysteresis_deg}: {said}"),
        }
    };
    let lit = Taken { vignette: 0.2, noise: 5.0, ..Taken::well(2.5) };
    let dark = Taken { rosin: 90.0, copper: 180.0, slope: 0.2, ..lit.clone() };
    (photographed(&loose, &lit), photographed(&domes, &dark))
}

/// The example's plan with so much of its powder, of grains so many times as wide, fallen at other places.
fn shop(powder: f64, grain: f64) -> Plan {
    let mut plan = Plan { seed: 4711, ..Plan::default() };
    plan.dust.powder_g_per_m2 *= powder;
    plan.dust.median_um *= grain;
    plan
}

#[test]
fn the_hidden_hysteresis_and_powder_are_found() {
    let plan = Plan::default();
    let cases = [
        (14.0, 1.0, Told::AtMost),
        (19.0, 2.0, Told::Between),
        (30.0, 1.3, Told::AtLeast),
        (45.0, 2.0, Told::AtLeast),
        (45.0, 0.5, Told::Not),
    ];
    for (hidden, powder, told) in cases {
        let (loose, melted) = pictures(&shop(powder, 1.0), hidden);
        let fit = fit_ground(&plan, &loose, &melted).expect("a fit");
        println!(
            "Δ {hidden}°, powder × {powder}: Δ {}° ({} to {}), powder × {:.3}, grain × {:.2}, cover {:.3} read {:.3}, islands {:.0} read {:.0}, {:?}",
            fit.hysteresis_deg,
            fit.low_deg,
            fit.high_deg,
            fit.powder_factor,
            fit.grain_factor,
            fit.cover,
            melted.cover,
            fit.islands_per_mm2,
            melted.islands_per_mm2,
            fit.told
        );
        assert_eq!(fit.told, told, "Δ {hidden}°, powder × {powder}: {fit:?}");
        assert!((fit.low_deg..=fit.high_deg).contains(&hidden), "Δ {hidden}°: {fit:?}");
        assert!((fit.low_deg..=fit.high_deg).contains(&fit.hysteresis_deg), "Δ {hidden}°: {fit:?}");
        // Where both limits are told the value is near; elsewhere another one lays the same ground.
        assert!(
            told != Told::Between || (fit.hysteresis_deg / hidden - 1.0).abs() < 0.1,
            "{fit:?}"
        );
        assert!((fit.powder_factor / powder - 1.0).abs() < 0.12, "powder × {powder}: {fit:?}");
        assert!((fit.grain_factor - 1.0).abs() < 0.12, "the plan's grains: {fit:?}");
        assert!((fit.cover - melted.cover).abs() < 0.04, "the model lays what was read: {fit:?}");
        let half = fit.limits.ln_factor[0] * 1.96;
        assert!((half - 0.5 * libm::log(fit.high_deg / fit.low_deg)).abs() < 0.02, "{fit:?}");
        let mut taken = plan.clone();
        taken.calibration.insert(fit.limits.keys[0].clone(), fit.hysteresis_deg);
        assert!(plate::check::errors(&taken).is_empty(), "a plan takes it");
    }
}

#[test]
fn another_grain_is_said_and_hardly_moves_the_hysteresis() {
    // Without a wait the coarse grains are still in the air: wider ones land than the plan has.
    let mut coarse = shop(0.4, 1.0);
    coarse.dust.wait_s = 0.0;
    let (loose, melted) = pictures(&coarse, 19.0);
    let fit = fit_ground(&Plan::default(), &loose, &melted).expect("a fit");
    println!("{fit:?}");
    assert!(fit.grain_factor > 1.2, "{fit:?}");
    assert!(
        fit.verdict.iter().any(|words| words.contains("another size than the plan’s")),
        "{fit:?}"
    );
    assert!((fit.low_deg..=fit.high_deg).contains(&19.0), "{fit:?}");
}

#[test]
fn what_can_not_be_is_said() {
    let plan = Plan::default();
    let (loose, melted) = pictures(&shop(1.0, 1.0), 25.0);
    let said = |dust: &GroundMeasures, melted: &GroundMeasures| -> String {
        fit_ground(&plan, dust, melted).map_or_else(
            |words| words.iter().map(ToString::to_string).collect(),
            |fit| panic!("found {fit:?}"),
        )
    };
    assert!(said(&melted, &loose).contains("changed places"), "changed round");
    let wide = GroundMeasures { median_width_um: None, ..melted };
    assert!(said(&loose, &wide).contains("Too few islands"), "no width");
    // The scale of one of them is wrong by a factor of five.
    let other = GroundMeasures {
        islands_per_mm2: 25.0 * melted.islands_per_mm2,
        median_width_um: melted.median_width_um.map(|width| 0.2 * width),
        ..melted
    };
    assert!(said(&loose, &other).contains("With no hysteresis"), "another scale");
    let mut bare = plan.clone();
    bare.dust.wait_s = 900.0;
    bare.dust.settling = plan::Settling::Still;
    if dust::land(&bare.dust, &Constants::default().dust).shadow_number() <= 0.0 {
        let words = fit_ground(&bare, &loose, &melted).expect_err("nothing lands");
        assert!(words[0].contains("nothing lands"), "{words:?}");
    }
}
