//! Plans at random, for the tests.

#![allow(dead_code, reason = "each test uses its part")]

use plan::{
    Area, AreaShape, AreaWork, Bite, CHOICES, Crop, Edition, FIELDS, LaterBite, LaterGround,
    Picture, PictureSource, Plan, ShapeKind, State, TonePoint, Tool, ToolWork, Work,
};

/// Repeatable random numbers: SplitMix64 (Steele, Lea and Flood 2014).
pub(crate) struct Dice(u64);

impl Dice {
    /// Dice that fall the same way for the same seed.
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// 0 to `count` − 1.
    pub(crate) fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    /// 0 up to 1.
    pub(crate) fn part(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn text(&mut self, most: usize) -> String {
        let letters: Vec<char> = "abcdefghijklmnop ,.;:<>&\"'\n\t°µéßЖ銅🜠".chars().collect();
        (0..self.below(most + 1)).map(|_| letters[self.below(letters.len())]).collect()
    }
}

/// Numbers that came when plans at random had become golden links: they are drawn with dice of their own.
const TONING: [&str; 2] = ["picture.exposure_stops", "picture.contrast"];

fn any_toning(dice: &mut Dice, picture: &mut Picture) {
    picture.exposure_stops = [0.0, -6.0, 1.7, 12.0 * dice.part() - 6.0][dice.below(4)];
    picture.contrast = [1.0, 0.25, 1.45, 0.25 + 3.7 * dice.part()][dice.below(4)];
    let (mut from_l, mut to_l) = (0.0, 0.0);
    for _ in 0..dice.below(9) {
        (from_l, to_l) = (from_l + 0.5 + 11.0 * dice.part(), to_l + 12.0 * dice.part());
        picture.tone_points.push(TonePoint { from_l, to_l });
    }
}

/// A plan that passes its checks, with numbers on and off their steps.
pub(crate) fn any_plan(dice: &mut Dice) -> Plan {
    let mut plan = Plan::default();
    for field in FIELDS.iter().filter(|field| !TONING.contains(&field.key)) {
        let part = dice.part();
        let number = match dice.below(4) {
            0 => field.default,
            1 => [field.min, field.max][dice.below(2)],
            2 => {
                let steps = (part * (field.max - field.min) / field.step).round();
                (field.min + steps * field.step).min(field.max)
            }
            _ => field.min + part * (field.max - field.min),
        };
        (field.set)(&mut plan, if field.counts() { number.round() } else { number });
    }
    for choice in CHOICES {
        (choice.set)(&mut plan, dice.below(choice.options.len()));
    }
    let values = plan::MIN_VALUES + dice.below(plan::MAX_VALUES - plan::MIN_VALUES + 1);
    plan.bites =
        (0..values).map(|_| Bite { bite_min: 0.25 * (1 + dice.below(480)) as f64 }).collect();
    let fine = [1.0, 0.5, 0.37][dice.below(3)];
    plan.picture.thresholds_l =
        (0..values).map(|i| 100.0 - (8 * i + dice.below(8)) as f64 * fine).collect();
    let mut side = || {
        let from = dice.part() * 0.9;
        (from, 0.01 + dice.part() * (0.99 - from))
    };
    let ((left, width), (top, height)) = (side(), side());
    plan.picture.crop = Crop { left, top, width, height };
    if dice.below(2) == 0 {
        plan.picture.source = PictureSource::File(dice.text(60));
    }
    plan.states = any_states(dice, &plan);
    if dice.below(3) == 0 {
        plan.edition = Some(Edition {
            impressions: 1 + dice.below(5000) as u32,
            steel_faced: dice.below(2) == 0,
            paper_reflectance: 0.5 + 0.4 * dice.part(),
            sheet_width_mm: 50.0 + dice.below(2000) as f64,
            sheet_height_mm: 50.0 + 900.0 * dice.part(),
            minutes_each: 1.0 + dice.below(200) as f64,
        });
    }
    if dice.below(3) == 0 {
        plan.calibration_name = dice.text(120);
    }
    plan.title = dice.text(120);
    plan.notes = dice.text(600);
    plan.seed = dice.next() as u32;
    for _ in 0..dice.below(5) {
        let value = [0.25, -3.5, 1e-30, 1e300, dice.part()][dice.below(5)];
        plan.calibration.insert(dice.text(30), value);
    }
    plan.areas = (0..dice.below(4)).map(|_| any_area(dice, values)).collect();
    any_toning(&mut Dice::new(plan.seed.into()), &mut plan.picture);
    let problems = plan.problems();
    assert!(problems.is_empty(), "the random plan is not sound: {problems:?}");
    plan
}

pub(crate) fn any_area(dice: &mut Dice, values: usize) -> Area {
    let place = |dice: &mut Dice| (dice.below(10_000) as f64 - 1_000.0) / 20.0;
    let work = [AreaWork::Hold, AreaWork::Picture, AreaWork::Split, AreaWork::Spit][dice.below(4)];
    let shapes = (0..dice.below(4))
        .map(|_| {
            let kind = [ShapeKind::Brush, ShapeKind::Outline, ShapeKind::Curve][dice.below(3)];
            AreaShape {
                kind,
                away: dice.below(2) == 0,
                brush_mm: if kind == ShapeKind::Brush { 0.1 + dice.part() * 50.0 } else { 0.0 },
                points_mm: (0..6 + 2 * dice.below(20)).map(|_| place(dice)).collect(),
            }
        })
        .collect();
    Area {
        name: dice.text(60),
        work,
        value: dice.below(values + 1) as u8,
        to_value: dice.below(values + 1) as u8,
        feather_mm: [0.0, dice.part() * 100.0][dice.below(2)],
        spit_min: [0.25, 30.0, 2.25][dice.below(3)],
        axis_mm: if work == AreaWork::Split {
            vec![1.0, 2.05, 3.0, place(dice)]
        } else {
            Vec::new()
        },
        shapes,
    }
}

/// Strokes, passages and grounds at random, mostly none.
fn any_states(dice: &mut Dice, plan: &Plan) -> Vec<State> {
    let count = [0, 0, 1, 2, 4][dice.below(5)];
    (0..count)
        .map(|i| State {
            name: dice.text(40),
            from_state: 1 + dice.below(i + 1) as u32,
            work: (0..dice.below(4)).map(|_| any_work(dice, plan)).collect(),
        })
        .collect()
}

pub(crate) fn any_work(dice: &mut Dice, plan: &Plan) -> Work {
    let mut points = |least: usize| -> Vec<[f64; 2]> {
        let sides = [plan.plate.width_mm, plan.plate.height_mm];
        let place = |dice: &mut Dice, side: f64| {
            (dice.below(((side + 100.0) * 10.0) as usize) as f64 - 500.0) / 10.0
        };
        let count = least + dice.below(30);
        (0..count).map(|_| sides.map(|side| place(dice, side))).collect()
    };
    let (path, outline) = (points(1), points(3));
    if dice.below(3) == 0 {
        let bites = (0..1 + dice.below(4))
            .map(|_| {
                let from_value = dice.below(13) as u32;
                let to_value = from_value + dice.below(13 - from_value as usize) as u32;
                LaterBite { bite_min: 0.25 * (1 + dice.below(480)) as f64, from_value, to_value }
            })
            .collect();
        return Work::Ground(LaterGround {
            seed: dice.below(1 << 30) as u32,
            dust: plan.dust.clone(),
            bake: plan.bake.clone(),
            bath: plan.bath.clone(),
            outline_mm: if dice.below(2) == 0 { Vec::new() } else { outline },
            bites,
        });
    }
    let passage = dice.below(2) == 0;
    let tool = [Tool::Scraper, Tool::Point, Tool::Burnisher, Tool::Polish][dice.below(4)];
    Work::Tool(ToolWork {
        tool,
        passage,
        width_mm: [0.1, 3.5, 60.0 * dice.part() + 1e-3][dice.below(3)].min(60.0),
        take_um: [0.1, 2.0, 200.0, 0.1 + 100.0 * dice.part()][dice.below(4)],
        points_mm: if passage { outline } else { path },
    })
}

/// Five hundred characters of notes as a printmaker might write them.
pub(crate) fn notes_500() -> String {
    let notes = "Copper from the end of the sheet, scratched near the lower edge: keep it under the \
        quay. Degreased twice with chalk and a little soda, the water held for half a minute. \
        Shook the bag forty times, waited, then slid the plate in on its board. Sky first, then \
        the far hills; the two masts were stopped out with the fine brush and left open to the \
        third bite only. Second proof too heavy in the water, so one minute less next time. Warm \
        the ink, wipe with the flat of the hand, and damp the paper overnight, between two blotters.";
    notes.chars().take(500).collect()
}
