//! The states and the edition in version 2's bytes. **Frozen** like the rest.

use crate::link::v1::{Agitation, Hundredths, Number, Quarters, Settling, Tenths, frozen};
use crate::states as now;
use crate::types::{Bake, Bath, Dust};
use serde::{Deserialize, Serialize};

#[derive(Serialize, Deserialize)]
pub(super) struct State {
    name: String,
    from_state: u32,
    work: Vec<Work>,
}

#[derive(Serialize, Deserialize)]
enum Work {
    Tool(ToolWork),
    Ground(LaterGround),
}

frozen!(Tool: Scraper, Point, Burnisher, Polish);

/// Places in whole tenths of a millimetre: the first from the print's top left, each other from the
/// one before. The check of plans lets nothing finer through.
type Places = Vec<(i32, i32)>;

fn places(points: &[[f64; 2]]) -> Places {
    let tenths = |mm: f64| (mm * 10.0).round() as i32;
    let mut last = (0, 0);
    points
        .iter()
        .map(|&[x, y]| {
            let here = (tenths(x), tenths(y));
            let step = (here.0.wrapping_sub(last.0), here.1.wrapping_sub(last.1));
            last = here;
            step
        })
        .collect()
}

fn points(places: Places) -> Vec<[f64; 2]> {
    let mut last = (0_i32, 0_i32);
    places
        .into_iter()
        .map(|(x, y)| {
            last = (last.0.wrapping_add(x), last.1.wrapping_add(y));
            [f64::from(last.0) / 10.0, f64::from(last.1) / 10.0]
        })
        .collect()
}

#[derive(Serialize, Deserialize)]
struct ToolWork {
    tool: Tool,
    passage: bool,
    width_mm: Tenths,
    take_um: Tenths,
    points_mm: Places,
}

#[derive(Serialize, Deserialize)]
struct LaterGround {
    seed: u32,
    dust_median_um: Tenths,
    dust_spread_gsd: Hundredths,
    dustings: Hundredths,
    dust_powder_g_per_m2: Tenths,
    dust_box_height_m: Hundredths,
    dust_wait_s: Tenths,
    dusting_min: Hundredths,
    dust_settling: Settling,
    hot_plate_c: Tenths,
    bake_min: Hundredths,
    paper_between: bool,
    room_c: Tenths,
    bath_strength_be: Tenths,
    bath_temperature_c: Tenths,
    bath_agitation: Agitation,
    bath_volume_l: Tenths,
    bath_copper_g_per_l: Tenths,
    outline_mm: Places,
    bites: Vec<(Quarters, u32, u32)>,
}

#[derive(Serialize, Deserialize)]
pub(super) struct Edition {
    impressions: u32,
    steel_faced: bool,
    paper_reflectance: Hundredths,
    sheet_width_mm: Tenths,
    sheet_height_mm: Tenths,
    minutes_each: Tenths,
}

impl From<&now::State> for State {
    fn from(state: &now::State) -> Self {
        Self {
            name: state.name.clone(),
            from_state: state.from_state,
            work: state.work.iter().map(Into::into).collect(),
        }
    }
}

impl From<State> for now::State {
    fn from(state: State) -> Self {
        Self {
            name: state.name,
            from_state: state.from_state,
            work: state.work.into_iter().map(Into::into).collect(),
        }
    }
}

impl From<&now::Work> for Work {
    fn from(work: &now::Work) -> Self {
        match work {
            now::Work::Tool(work) => Self::Tool(ToolWork {
                tool: work.tool.into(),
                passage: work.passage,
                width_mm: Number(work.width_mm),
                take_um: Number(work.take_um),
                points_mm: places(&work.points_mm),
            }),
            now::Work::Ground(ground) => Self::Ground(ground.into()),
        }
    }
}

impl From<Work> for now::Work {
    fn from(work: Work) -> Self {
        match work {
            Work::Tool(work) => Self::Tool(now::ToolWork {
                tool: work.tool.into(),
                passage: work.passage,
                width_mm: work.width_mm.0,
                take_um: work.take_um.0,
                points_mm: points(work.points_mm),
            }),
            Work::Ground(ground) => Self::Ground(ground.into()),
        }
    }
}

impl From<&now::LaterGround> for LaterGround {
    fn from(ground: &now::LaterGround) -> Self {
        let now::LaterGround { dust, bake, bath, .. } = ground;
        Self {
            seed: ground.seed,
            dust_median_um: Number(dust.median_um),
            dust_spread_gsd: Number(dust.spread_gsd),
            dustings: Number(dust.dustings),
            dust_powder_g_per_m2: Number(dust.powder_g_per_m2),
            dust_box_height_m: Number(dust.box_height_m),
            dust_wait_s: Number(dust.wait_s),
            dusting_min: Number(dust.dusting_min),
            dust_settling: dust.settling.into(),
            hot_plate_c: Number(bake.hot_plate_c),
            bake_min: Number(bake.bake_min),
            paper_between: bake.paper_between,
            room_c: Number(bake.room_c),
            bath_strength_be: Number(bath.strength_be),
            bath_temperature_c: Number(bath.temperature_c),
            bath_agitation: bath.agitation.into(),
            bath_volume_l: Number(bath.volume_l),
            bath_copper_g_per_l: Number(bath.copper_g_per_l),
            outline_mm: places(&ground.outline_mm),
            bites: ground
                .bites
                .iter()
                .map(|bite| (Number(bite.bite_min), bite.from_value, bite.to_value))
                .collect(),
        }
    }
}

impl From<LaterGround> for now::LaterGround {
    fn from(ground: LaterGround) -> Self {
        Self {
            seed: ground.seed,
            dust: Dust {
                median_um: ground.dust_median_um.0,
                spread_gsd: ground.dust_spread_gsd.0,
                dustings: ground.dustings.0,
                powder_g_per_m2: ground.dust_powder_g_per_m2.0,
                box_height_m: ground.dust_box_height_m.0,
                wait_s: ground.dust_wait_s.0,
                dusting_min: ground.dusting_min.0,
                settling: ground.dust_settling.into(),
            },
            bake: Bake {
                hot_plate_c: ground.hot_plate_c.0,
                bake_min: ground.bake_min.0,
                paper_between: ground.paper_between,
                room_c: ground.room_c.0,
            },
            bath: Bath {
                strength_be: ground.bath_strength_be.0,
                temperature_c: ground.bath_temperature_c.0,
                agitation: ground.bath_agitation.into(),
                volume_l: ground.bath_volume_l.0,
                copper_g_per_l: ground.bath_copper_g_per_l.0,
            },
            outline_mm: points(ground.outline_mm),
            bites: ground
                .bites
                .into_iter()
                .map(|(bite_min, from_value, to_value)| now::LaterBite {
                    bite_min: bite_min.0,
                    from_value,
                    to_value,
                })
                .collect(),
        }
    }
}

impl From<&now::Edition> for Edition {
    fn from(edition: &now::Edition) -> Self {
        Self {
            impressions: edition.impressions,
            steel_faced: edition.steel_faced,
            paper_reflectance: Number(edition.paper_reflectance),
            sheet_width_mm: Number(edition.sheet_width_mm),
            sheet_height_mm: Number(edition.sheet_height_mm),
            minutes_each: Number(edition.minutes_each),
        }
    }
}

impl From<Edition> for now::Edition {
    fn from(edition: Edition) -> Self {
        Self {
            impressions: edition.impressions,
            steel_faced: edition.steel_faced,
            paper_reflectance: edition.paper_reflectance.0,
            sheet_width_mm: edition.sheet_width_mm.0,
            sheet_height_mm: edition.sheet_height_mm.0,
            minutes_each: edition.minutes_each.0,
        }
    }
}
