//! Differences between plans, in words.

use crate::support;

use plan::difference::{Difference, between, name_of_change};
use plan::{Bite, CHOICES, FIELDS, PictureSource, Plan, TonePoint, Wipe};
use support::{Dice, any_plan};

fn sentences(found: &[Difference]) -> Vec<String> {
    found.iter().map(|difference| difference.sentence.to_string()).collect()
}

/// The differences that a change makes to the harbour.
fn after(change: impl Fn(&mut Plan)) -> Vec<Difference> {
    let mut plan = Plan::default();
    change(&mut plan);
    between(&Plan::default(), &plan)
}

#[test]
fn equal_plans_have_none() {
    let mut dice = Dice::new(1);
    for _ in 0..50 {
        let plan = any_plan(&mut dice);
        assert_eq!(between(&plan, &plan), [], "a plan and itself");
        assert_eq!(name_of_change(&plan, &plan).to_string(), "no change", "its name");
    }
}

#[test]
fn every_field_is_named_with_both_numbers_and_its_unit() {
    let mut sentences = Vec::new();
    for field in FIELDS {
        let found = after(|plan| (field.set)(plan, field.max));
        let [one] = found.as_slice() else { panic!("{}: {found:?}", field.key) };
        assert_eq!(one.key, field.key, "the key");
        for (text, number) in [(&one.before, field.default), (&one.after, field.max)] {
            let text = text.to_string();
            assert!(text.contains(&number.to_string()), "{text} lacks {number}");
            assert!(text.contains(field.unit), "{text} lacks {}", field.unit);
        }
        let label = one.label.to_lowercase();
        let expected = format!("{label} {} → {}", one.before, one.after);
        assert_eq!(
            one.sentence.to_string().to_lowercase(),
            expected.to_lowercase(),
            "the sentence"
        );
        sentences.push(label);
    }
    sentences.sort();
    let all = sentences.len();
    sentences.dedup();
    assert_eq!(sentences.len(), all, "two fields go by the same name");
}

#[test]
fn every_choice_is_named_in_words() {
    for choice in CHOICES {
        for (i, (word, shown)) in choice.options.iter().enumerate() {
            let was = (choice.get)(&Plan::default());
            let found = after(|plan| (choice.set)(plan, i));
            if i == was {
                assert_eq!(found, [], "{} chosen again", choice.key);
                continue;
            }
            let [one] = found.as_slice() else { panic!("{} {word}: {found:?}", choice.key) };
            assert_eq!(one.key, choice.key, "the key");
            assert_eq!(
                [one.before.to_string(), one.after.to_string()],
                [choice.options[was].1, *shown]
            );
        }
    }
}

/// Whatever is written in a plan's file is compared: each entry changed in turn is found.
#[test]
fn nothing_in_a_plan_is_forgotten() {
    let mut plan = Plan { notes: "n".to_owned(), ..Plan::default() };
    plan.picture.source = PictureSource::File("a.png".to_owned());
    plan.calibration.insert("c".to_owned(), 1.0);
    plan.calibration_name = "brown tray".to_owned();
    let json: serde_json::Value = serde_json::from_str(&plan.to_json()).expect("JSON");
    let mut places = Vec::new();
    collect(&json, String::new(), &mut places);
    assert!(places.len() > 40, "only {} entries", places.len());
    for place in places {
        let mut changed = json.clone();
        let entry = changed.pointer_mut(&place).expect("its place");
        *entry = match entry {
            serde_json::Value::Number(number) if number.is_f64() => {
                (number.as_f64().expect("a number") + 0.25).into()
            }
            serde_json::Value::Number(number) => {
                (number.as_u64().expect("a whole number") + 1).into()
            }
            serde_json::Value::Bool(yes) => (!*yes).into(),
            serde_json::Value::String(word) => match word.as_str() {
                "stirred" => "still".into(),
                "rocked" => "sprayed".into(),
                "hand" => "hard".into(),
                "normal" => "light".into(),
                "usual" => "stiff".into(),
                "three" => "two".into(),
                other => format!("{other}x").into(),
            },
            other => panic!("{place} is {other}"),
        };
        let changed: Plan = serde_json::from_value(changed).expect("still a plan");
        let found = between(&plan, &changed);
        assert_eq!(found.len(), 1, "{place}: {:?}", sentences(&found));
        assert_eq!(name_of_change(&plan, &changed), found[0].sentence, "the name of {place}");
    }
}

fn collect(value: &serde_json::Value, at: String, places: &mut Vec<String>) {
    match value {
        serde_json::Value::Object(entries) => {
            for (key, value) in entries {
                collect(value, format!("{at}/{key}"), places);
            }
        }
        serde_json::Value::Array(entries) => {
            for (i, value) in entries.iter().enumerate() {
                collect(value, format!("{at}/{i}"), places);
            }
        }
        _ => places.push(at),
    }
}

type Change<'a> = &'a dyn Fn(&mut Plan);

#[test]
fn differences_read_as_one_would_say_them() {
    let value_added = |plan: &mut Plan| {
        plan.bites.push(Bite { bite_min: 8.0 });
        plan.picture.thresholds_l.push(20.0);
    };
    let value_between = |plan: &mut Plan| {
        plan.bites.insert(3, Bite { bite_min: 2.5 });
        plan.picture.thresholds_l.insert(3, 63.0);
    };
    let value_out = |plan: &mut Plan| {
        plan.bites.remove(5);
        plan.picture.thresholds_l.remove(5);
    };
    let point = |from_l, to_l| TonePoint { from_l, to_l };
    let cases: [(Change, &[&str]); 21] = [
        (&|p| p.dust.wait_s = 60.0, &["wait 30 s → 60 s"]),
        (&|p| p.bites[2].bite_min = 4.0, &["bite 3: 1.5 min → 4 min"]),
        (&|p| p.dust.dustings = 3.0, &["dustings 1 → 3"]),
        (&|p| p.picture.exposure_stops = 1.5, &["exposure of the picture 0 stops → 1.5 stops"]),
        (&|p| p.picture.contrast = 1.2, &["contrast of the picture ×1 → ×1.2"]),
        (
            &|p| p.picture.tone_points = vec![point(5.0, 0.0), point(90.0, 100.0)],
            &["curve of the picture drawn (2 points)"],
        ),
        (&|p| p.ink.wipe = Wipe::Hard, &["wiping hand → hard"]),
        (&|p| p.plate.width_mm = 120.5, &["plate width 150 mm → 120.5 mm"]),
        (&|p| p.dust.spread_gsd = 2.0, &["spread of sizes ×1.8 → ×2"]),
        (&value_added, &["value 8 added (8 min)"]),
        (&value_between, &["value 4 added (2.5 min)"]),
        (&value_out, &["value 6 removed (3.5 min)"]),
        (&|p| p.picture.thresholds_l[2] = 66.0, &["threshold 3: L* 69 → L* 66"]),
        (
            &|p| p.picture.thresholds_l.iter_mut().enumerate().for_each(|(i, l)| *l -= i as f64),
            &["6 thresholds moved, by up to L* 6"],
        ),
        (&|p| p.notes = "Slower.".to_owned(), &["notes added (7 characters)"]),
        (&|p| p.title = String::new(), &["title “Harbour at dusk” → none"]),
        (&|p| p.seed = 8, &["another fall of dust (number 7 → 8)"]),
        (
            &|p| p.picture.source = PictureSource::File("sky.png".to_owned()),
            &["picture harbour at dusk → “sky.png”"],
        ),
        (
            &|p| {
                p.picture.crop = plan::Crop { left: 0.25, top: 0.1, width: 0.5, height: 1.0 / 3.0 }
            },
            &["crop whole picture → 50 × 33.3 % at 25, 10 %"],
        ),
        (
            &|p| p.calibration = [("bite.rate".to_owned(), 0.9)].into(),
            &["constant bite.rate set to 0.9"],
        ),
        (
            &|p| p.calibration_name = "brown tray, spring".to_owned(),
            &["calibrated with “brown tray, spring”"],
        ),
    ];
    for (change, expected) in cases {
        let found = after(change);
        assert_eq!(sentences(&found), expected, "the words");
    }
    let mut calibrated = Plan::default();
    calibrated.calibration.insert("bite.rate".to_owned(), 0.9);
    let found = between(&calibrated, &Plan::default());
    let expected = ["constant bite.rate back to its built-in value (was 0.9)"];
    assert_eq!(sentences(&found), expected, "a constant removed");
}

#[test]
fn several_come_in_the_order_of_the_bench() {
    let found = after(|plan| {
        plan.ink.base_parts = 50.0;
        plan.bath.temperature_c = 24.0;
        plan.dust.wait_s = 45.0;
        plan.title = "Again".to_owned();
        plan.bites[0].bite_min = 2.5;
        plan.bites[6].bite_min = 7.0;
    });
    let keys: Vec<&str> = found.iter().map(|difference| difference.key.as_str()).collect();
    let expected = [
        "title",
        "dust.wait_s",
        "bath.temperature_c",
        "bites.0.bite_min",
        "bites.6.bite_min",
        "ink.base_parts",
    ];
    assert_eq!(keys, expected, "the order");
    let mut plan = Plan::default();
    plan.dust.wait_s = 45.0;
    plan.bake.bake_min = 12.0;
    assert_eq!(name_of_change(&Plan::default(), &plan).to_string(), "2 changes", "the name of two");
}

#[test]
fn plans_that_are_not_sound_are_compared_all_the_same() {
    let change: [Change; 6] = [
        &|p| p.bites.clear(),
        &|p| p.picture.thresholds_l.clear(),
        &|p| p.bites = vec![Bite { bite_min: f64::NAN }; 10_000],
        &|p| p.picture.thresholds_l = vec![1.0; 10_000],
        &|p| p.dust.wait_s = f64::NAN,
        &|p| p.title = "x".repeat(1_000_000),
    ];
    for (i, change) in change.iter().enumerate() {
        let found = after(change);
        assert!(!found.is_empty(), "change {i} was not found");
        assert!(
            found.iter().all(|d| d.sentence.to_string().chars().count() < 200),
            "change {i} is endless"
        );
        let mut plan = Plan::default();
        change(&mut plan);
        assert_eq!(between(&plan, &plan), [], "change {i} and itself");
    }
}
