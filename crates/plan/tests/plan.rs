//! The plan: defaults, the catalogue of fields, validation in words, and the JSON form.

use plan::{CHOICES, Diagnostic, FIELDS, Plan, Severity, field};

fn messages(problems: &[Diagnostic]) -> String {
    problems.iter().map(|p| format!("[{}] {}", p.field, p)).collect::<Vec<_>>().join("\n")
}

#[test]
fn the_default_plan_is_sound() {
    let problems = Plan::default().problems();
    assert!(problems.is_empty(), "the default plan has problems:\n{}", messages(&problems));
}

#[test]
fn every_field_reads_writes_and_defaults_as_listed() {
    for field in FIELDS {
        let mut plan = Plan::default();
        assert_eq!((field.get)(&plan), field.default, "default of {}", field.key);
        assert!(field.min < field.max && field.step > 0.0, "limits of {}", field.key);
        let steps = (field.default - field.min) / field.step;
        assert!(
            (steps - steps.round()).abs() < 1e-6,
            "{} does not start on one of its steps",
            field.key
        );
        (field.set)(&mut plan, field.max);
        assert_eq!((field.get)(&plan), field.max, "setting {}", field.key);
        let json: serde_json::Value = serde_json::from_str(&plan.to_json()).expect("plan JSON");
        let (part, name) = field.key.split_once('.').expect("dotted key");
        assert_eq!(json[part][name].as_f64(), Some(field.max), "JSON place of {}", field.key);
    }
}

#[test]
fn every_choice_reads_writes_and_spells_its_options_as_the_json_does() {
    for choice in CHOICES {
        let mut plan = Plan::default();
        let before = (choice.get)(&plan);
        (choice.set)(&mut plan, choice.options.len());
        assert_eq!(
            (choice.get)(&plan),
            before,
            "an unknown option of {} must change nothing",
            choice.key
        );
        for (i, (word, _)) in choice.options.iter().enumerate() {
            (choice.set)(&mut plan, i);
            assert_eq!((choice.get)(&plan), i, "option {word} of {}", choice.key);
            let json: serde_json::Value = serde_json::from_str(&plan.to_json()).expect("plan JSON");
            let (part, name) = choice.key.split_once('.').expect("dotted key");
            let written = json[part][name].to_string();
            assert_eq!(written.trim_matches('"'), *word, "JSON word of {}", choice.key);
        }
    }
}

#[test]
fn numbers_out_of_range_are_named_with_value_range_and_remedy() {
    for field in FIELDS {
        for bad in [field.min - field.step, field.max + field.step, f64::NAN, f64::INFINITY] {
            let mut plan = Plan::default();
            (field.set)(&mut plan, bad);
            let problems = plan.problems();
            let problem = problems.iter().find(|p| p.field == field.key);
            let problem = problem.unwrap_or_else(|| panic!("{} = {bad} was accepted", field.key));
            assert_eq!(problem.severity, Severity::Error, "{}", field.key);
            for part in [field.label, &field.min.to_string(), &field.max.to_string()] {
                assert!(problem.to_string().contains(part), "“{}” does not name {part}", problem);
            }
        }
    }
}

type Change<'a> = &'a dyn Fn(&mut Plan);

#[test]
fn bites_and_thresholds_are_checked_one_by_one() {
    let spoil: [(&str, Change); 8] = [
        ("bites.2.bite_min", &|p| p.bites[2].bite_min = 0.3),
        ("bites.0.bite_min", &|p| p.bites[0].bite_min = 0.0),
        ("bites", &|p| p.bites.truncate(1)),
        ("picture.thresholds_l", &|p| {
            p.picture.thresholds_l.pop();
        }),
        ("picture.thresholds_l.3", &|p| p.picture.thresholds_l[3] = 75.0),
        ("picture.thresholds_l.0", &|p| p.picture.thresholds_l[0] = 101.0),
        ("picture.crop", &|p| p.picture.crop.left = 0.5),
        ("title", &|p| p.title = "x".repeat(121)),
    ];
    for (key, change) in spoil {
        let mut plan = Plan::default();
        change(&mut plan);
        let problems = plan.problems();
        assert!(
            problems.iter().any(|p| p.field == key),
            "{key} was not found in:\n{}",
            messages(&problems)
        );
    }
}

#[test]
fn the_box_is_raised_a_whole_number_of_times() {
    let mut plan = Plan::default();
    assert_eq!(plan.dust.dustings, 1.0, "once, unless more are asked for");
    plan.dust.dustings = 6.0;
    assert!(plan.problems().is_empty(), "six dustings");
    plan.dust.dustings = 1.5;
    let problems = plan.problems();
    assert_eq!(problems.len(), 1, "{}", messages(&problems));
    assert_eq!(problems[0].field, "dust.dustings", "named by its field");
    let message = messages(&problems);
    assert!(message.contains("is 1.5") && message.contains("Round it to 2"), "{message}");
}

#[test]
fn the_curve_of_the_picture_rises() {
    let of = |points: &[[f64; 2]]| {
        let mut plan = Plan::default();
        let points =
            points.iter().map(|[from_l, to_l]| plan::TonePoint { from_l: *from_l, to_l: *to_l });
        plan.picture.tone_points = points.collect();
        plan.problems()
    };
    assert!(of(&[[0.0, 10.0], [20.0, 10.0], [100.0, 90.0]]).is_empty(), "level and upwards");
    let cases = [
        (
            vec![[30.0, 10.0], [30.0, 20.0]],
            "picture.tone_points.1.from_l",
            "Points go from dark to light",
        ),
        (
            vec![[30.0, 20.0], [40.0, 10.0]],
            "picture.tone_points.1.to_l",
            "leads to L* 10, darker than",
        ),
        (vec![[30.0, 101.0]], "picture.tone_points.0.to_l", "must lie between L* 0 and 100"),
        (vec![[f64::NAN, 1.0]], "picture.tone_points.0.from_l", "is not a number"),
        ((0..9).map(|i| [f64::from(i), 50.0]).collect(), "picture.tone_points", "keep it to 8"),
    ];
    for (points, field, words) in cases {
        let problems = of(&points);
        assert_eq!(problems.len(), 1, "{points:?}: {}", messages(&problems));
        assert_eq!(problems[0].field, field, "named by its field");
        assert!(messages(&problems).contains(words), "{}", messages(&problems));
    }
}

#[test]
fn json_round_trips_to_the_same_plan() {
    let mut plan = Plan { title: "Ebb “tide” <script>".to_owned(), ..Plan::default() };
    plan.dust.wait_s = 65.0;
    plan.calibration.insert("bite.rate_um_per_min".to_owned(), 0.9);
    plan.picture.source = plan::PictureSource::File("sky.png".to_owned());
    assert_eq!(Plan::from_json(&plan.to_json()).as_ref(), Ok(&plan), "round trip");
}

#[test]
fn a_file_that_leaves_things_out_takes_the_defaults() {
    let plan =
        Plan::from_json(r#"{"platewright": 1, "dust": {"wait_s": 30}}"#).expect("a short plan");
    assert_eq!(plan.dust.wait_s, 30.0, "the wait given");
    assert_eq!(plan.dust.median_um, field("dust.median_um").expect("field").default, "the powder");
    assert_eq!(plan.bites.len(), 7, "the bites");
}

#[test]
fn bad_files_get_a_sentence() {
    let newer = r#"{"platewright": 99}"#;
    let cases = [
        ("", "not a plan file"),
        ("{\"platewright\": 1,", "not a plan file"),
        ("[1, 2]", "not a plan"),
        ("{\"title\": \"x\"}", "no “platewright” version"),
        (newer, "newer Platewright"),
        (r#"{"platewright": 1, "dust": {"wait": 30}}"#, "wait"),
        (r#"{"platewright": 1, "dust": {"wait_s": "long"}}"#, "can't be read"),
        (r#"{"platewright": 1, "dust": {"wait_s": 5000}}"#, "must lie between"),
        (r#"{"platewright": 1, "bites": []}"#, "0 bites"),
    ];
    for (text, expected) in cases {
        let problems = Plan::from_json(text).expect_err("a bad file was accepted");
        assert!(messages(&problems).contains(expected), "for {text}:\n{}", messages(&problems));
    }
}

#[test]
fn a_file_of_the_first_model_opens_without_its_solid_share() {
    let now = Plan::default();
    let json = now.to_json();
    let line = "    \"spread_gsd\": 1.8,\n";
    let then = json.replace(line, &format!("{line}    \"solid_fraction\": 0.15,\n"));
    assert_ne!(then, json, "the file says more");
    let back = Plan::from_json(&then);
    assert_eq!(back, Ok(now), "read over");
    assert!(!json.contains("solid_fraction"), "and written no more");
}
