//! The powder and the dustings that give a wanted cover.

use plan::Plan;
use plate::constants::Constants;
use plate::{bake, dust};

/// The control's step, to which the answer keeps.
const POWDER_STEP_G_PER_M2: f64 = 0.5;
/// Limits of the plan.
const MOST_POWDER_G_PER_M2: f64 = 200.0;
const MOST_DUSTINGS: f64 = 6.0;

/// Powder, in steps of the control, and dustings whose expected cover comes nearest to this. A dusting raises no
/// more than the plan's own does, since its cloud is what may catch fire, unless even six are too few.
pub(crate) fn dusting_for_cover(plan: &Plan, constants: &Constants, cover: f64) -> (f64, f64) {
    let baked = bake::bake(&plan.bake, plan.plate.thickness_mm, &constants.bake);
    let own_g_per_m2 = plan.dust.powder_g_per_m2.max(POWDER_STEP_G_PER_M2);
    let mut landed =
        dust::land(&plan::Dust { dustings: 1.0, ..plan.dust.clone() }, &constants.dust);
    let shadow = landed.shadow_number();
    // What lands is in proportion to what is raised.
    let mut cover_of = |in_all_g_per_m2: f64| {
        landed.loose_cover = -libm::expm1(-shadow * in_all_g_per_m2 / own_g_per_m2);
        baked.expected_cover(&landed, &constants.bake)
    };
    let dustings = (1..=MOST_DUSTINGS as u32)
        .map(f64::from)
        .find(|&dustings| cover_of(dustings * own_g_per_m2) >= cover)
        .unwrap_or(MOST_DUSTINGS);
    let (mut little, mut much) = (2_u32, (MOST_POWDER_G_PER_M2 / POWDER_STEP_G_PER_M2) as u32);
    let mut cover_after = |steps: u32| cover_of(dustings * f64::from(steps) * POWDER_STEP_G_PER_M2);
    // More is never less cover.
    while little < much {
        let middle = little.midpoint(much);
        if cover_after(middle) < cover {
            little = middle + 1;
        } else {
            much = middle;
        }
    }
    if little > 2 && cover - cover_after(little - 1) < cover_after(little) - cover {
        little -= 1;
    }
    (f64::from(little) * POWDER_STEP_G_PER_M2, dustings)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_powder_for_a_cover_is_the_nearest_step_in_the_fewest_dustings() {
        let constants = Constants::default();
        let mut seen = [false; 7];
        for (own, wait_s) in [(30.0, 20.0), (6.0, 30.0), (12.0, 60.0), (60.0, 0.0)] {
            let mut plan = Plan::default();
            (plan.dust.powder_g_per_m2, plan.dust.wait_s) = (own, wait_s);
            // What the plan does already counts for nothing.
            plan.dust.dustings = 3.0;
            let baked = bake::bake(&plan.bake, plan.plate.thickness_mm, &constants.bake);
            // The cover to expect of a whole plan with that much powder.
            let cover_of = |powder_g_per_m2: f64, dustings: f64| {
                let dust = plan::Dust { powder_g_per_m2, dustings, ..plan.dust.clone() };
                baked.expected_cover(&dust::land(&dust, &constants.dust), &constants.bake)
            };
            for share in 1..20 {
                let cover = 0.04 * f64::from(share);
                let (powder, dustings) = dusting_for_cover(&plan, &constants, cover);
                assert_eq!((2.0 * powder).fract(), 0.0, "{powder} g/m² is a step of the control");
                let off = |powder: f64| (cover_of(powder, dustings) - cover).abs();
                let here = off(powder) - 1e-12;
                assert!(
                    here <= off(powder + 0.5),
                    "{cover} of {own} g/m²: more than {powder} is nearer"
                );
                assert!(
                    powder == 1.0 || here <= off(powder - 0.5),
                    "{cover} of {own} g/m²: less than {powder} is nearer"
                );
                if dustings > 1.0 {
                    let fewer = cover_of(own, dustings - 1.0);
                    assert!(
                        fewer < cover,
                        "{} dustings of {own} g/m² do for {cover}",
                        dustings - 1.0
                    );
                }
                let enough = cover_of(own, dustings) >= cover;
                assert!(enough || dustings == MOST_DUSTINGS, "{dustings} of {own} for {cover}");
                seen[dustings as usize] = true;
            }
        }
        assert_eq!(seen, [false, true, true, true, true, true, true], "numbers of dustings tried");
        // None is nearer to nothing than the least a plan may have, nor to all than the most.
        let (plan, constants) = (Plan::default(), &constants);
        assert_eq!(dusting_for_cover(&plan, constants, 0.0), (1.0, 1.0));
        assert_eq!(dusting_for_cover(&plan, constants, 1.0), (200.0, 6.0));
    }
}
