//! A small example plate, for checks that must give the same bits everywhere.

use crate::{PictureAreas, harbour};
use plan::{
    Area, AreaShape, AreaWork, LaterBite, LaterGround, Plan, ShapeKind, State, Tool, ToolWork, Work,
};
use plate::chain::{Job, Renderer};
use plate::digest;
use std::sync::Arc;

/// A handful of small plates that between them use every branch of the chain.
#[must_use]
pub fn small_plans() -> Vec<(&'static str, Plan)> {
    let small = || {
        let mut plan = Plan::default();
        plan.plate.width_mm = 30.0;
        plan.plate.height_mm = 40.0;
        plan
    };
    let mut pinned = small();
    pinned.bake.hot_plate_c = 72.0;
    pinned.bake.bake_min = 8.0;
    pinned.seed = 11;
    pinned.dust.dustings = 2.0;
    let mut closing = small();
    closing.bake.hot_plate_c = 160.0;
    closing.ink.wipe = plan::Wipe::Hard;
    let mut coarse = small();
    coarse.dust.box_height_m = 1.5;
    coarse.dust.settling = plan::Settling::Still;
    coarse.bath.temperature_c = 15.0;
    coarse.bath.agitation = plan::Agitation::StillFaceUp;
    coarse.ink.wipe = plan::Wipe::Tarlatan;
    coarse.ink.base_parts = 40.0;
    // Edges that give way: separate domes, where those of all others overlap.
    coarse.calibration.insert("bake.hysteresis_deg".to_owned(), 12.0);
    // A white line, a feathered edge, strips and spit-bite about the places looked at; no specks.
    let mut by_hand = small();
    by_hand.seed = 5;
    by_hand.picture.smallest_mm = 1.0;
    let area = |work, shape: AreaShape| Area {
        name: String::new(),
        work,
        value: 1,
        to_value: 6,
        feather_mm: 0.5,
        spit_min: 3.0,
        axis_mm: Vec::new(),
        shapes: vec![shape],
    };
    let shape = |kind, brush_mm, points: &[f64]| AreaShape {
        kind,
        away: false,
        brush_mm,
        points_mm: points.to_vec(),
    };
    by_hand.areas = vec![
        area(AreaWork::Hold, shape(ShapeKind::Brush, 0.4, &[5.0, 36.0, 6.05, 37.2, 9.0, 27.2])),
        area(AreaWork::Spit, shape(ShapeKind::Curve, 0.0, &[8.0, 26.0, 10.0, 27.0, 9.0, 28.0])),
        Area {
            axis_mm: vec![5.5, 36.8, 6.5, 37.6],
            ..area(
                AreaWork::Split,
                shape(ShapeKind::Outline, 0.0, &[5.7, 36.9, 6.4, 36.9, 6.4, 37.6, 5.7, 37.6]),
            )
        },
    ];
    vec![
        ("harbour", small()),
        ("pinned", pinned),
        ("closing", closing),
        ("coarse", coarse),
        ("by-hand", by_hand),
        ("worked", worked(small())),
    ]
}

/// Carried through three states: every tool about the places looked at, then a new ground; dabbed up,
/// stiff ink, a blanket left out.
fn worked(mut plan: Plan) -> Plan {
    plan.seed = 23;
    plan.ink.stiffness = plan::Stiffness::Stiff;
    plan.ink.dabbed_up = true;
    plan.ink.blankets = plan::Blankets::Two;
    let tool = |tool, passage, width_mm, take_um, points_mm: &[[f64; 2]]| {
        let points_mm = points_mm.to_vec();
        Work::Tool(ToolWork { tool, passage, width_mm, take_um, points_mm })
    };
    let ground = LaterGround {
        seed: 24,
        dust: plan::Dust { wait_s: 90.0, ..plan.dust.clone() },
        bake: plan.bake.clone(),
        bath: plan.bath.clone(),
        outline_mm: vec![[8.5, 26.5], [9.5, 26.5], [9.5, 28.0], [8.5, 28.0]],
        bites: vec![
            LaterBite { bite_min: 3.0, from_value: 0, to_value: 12 },
            LaterBite { bite_min: 4.0, from_value: 3, to_value: 12 },
        ],
    };
    let state = |from_state, work| State { name: String::new(), from_state, work };
    plan.states = vec![
        state(
            1,
            vec![
                tool(Tool::Scraper, true, 0.2, 3.0, &[[5.5, 36.8], [6.2, 36.8], [6.2, 37.6]]),
                tool(Tool::Burnisher, false, 0.5, 4.0, &[[8.5, 27.0], [9.5, 27.4]]),
            ],
        ),
        state(
            2,
            vec![
                tool(Tool::Point, false, 0.2, 5.0, &[[6.0, 36.5], [6.1, 37.8]]),
                tool(Tool::Polish, true, 0.3, 1.5, &[[8.8, 26.8], [9.4, 26.9], [9.1, 27.6]]),
                Work::Ground(ground),
            ],
        ),
    ];
    plan
}

/// Digests of every stage of the small plates: a line each, `plan stage digest`.
#[must_use]
pub fn digests() -> String {
    let tones = Arc::new(harbour(300, 400));
    let mut text = String::new();
    for (name, plan) in small_plans() {
        let areas = Arc::new(PictureAreas::new(tones.clone(), &plan));
        let mut renderer = Renderer::default();
        match renderer.plate(&Job::new(plan, areas)) {
            Ok(plate) => {
                for (stage, digest) in digest::stages(&plate, &mut renderer) {
                    text.push_str(&format!("{name} {stage} {digest:016x}\n"));
                }
            }
            Err(refused) => text.push_str(&format!("{name} refused {refused:?}\n")),
        }
    }
    text
}
