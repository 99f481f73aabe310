//! What the first model took for granted: fluffy grains, edges that give way, a slower bath. The equations are
//! the same, so what was worked out for it independently still checks them.
#![allow(dead_code, reason = "each test file uses its own part")]

use plan::{Dust, Plan};
use plate::bake::{self, BakeConstants, Baked};
use plate::constants::Constants;
use plate::dust::{self, DustConstants, LandedDust};
use plate::ground::Ground;

/// Its constants.
pub(crate) fn constants() -> Constants {
    let mut constants =
        Constants { dust: dust_constants(), bake: bake_constants(), ..Constants::default() };
    (constants.bite.rate_um_per_min, constants.bite.open_share_power) = (0.8, 0.0);
    constants
}

pub(crate) fn dust_constants() -> DustConstants {
    DustConstants { solid_share: 0.15, ..DustConstants::default() }
}

pub(crate) fn bake_constants() -> BakeConstants {
    BakeConstants { hysteresis_deg: 12.0, ..BakeConstants::default() }
}

/// Its example, as far as the ground goes.
pub(crate) fn plan() -> Plan {
    let dust = Dust {
        powder_g_per_m2: 23.0,
        box_height_m: 0.6,
        wait_s: 45.0,
        dusting_min: 4.0,
        ..Dust::default()
    };
    Plan { dust, ..Plan::default() }
}

pub(crate) fn dust() -> LandedDust {
    dust::land(&plan().dust, &dust_constants())
}

pub(crate) fn ground(seed: u32) -> Ground {
    let plan = plan();
    let baked: Baked = bake::bake(&plan.bake, plan.plate.thickness_mm, &bake_constants());
    Ground::new(&dust(), &baked, seed)
}
