//! Lines under the ground in files, links and words.

use plan::{Crop, LineWork, Plan, difference, link};

fn lined(bite_min: f64) -> Plan {
    let lines = LineWork {
        picture: "pen-lines.png".to_owned(),
        crop: Crop { left: 0.1, top: 0.0, width: 1.0 / 3.0, height: 0.5 },
        open_below_l: 42.5,
        bite_min,
    };
    Plan { lines: Some(lines), ..Plan::default() }
}

#[test]
fn lines_are_kept_sent_on_and_compared() {
    let plan = lined(22.25);
    assert_eq!(Plan::from_json(&plan.to_json()), Ok(plan.clone()), "kept as a file");
    let sent = link::encode(&plan, None).expect("a link");
    assert!(sent.starts_with("1."), "in the one version there is: {sent}");
    assert_eq!(link::decode(&sent).expect("opens").plan, plan, "sent on as a link");
    let plain = link::encode(&Plan::default(), None).expect("a link");
    assert!(plain.len() < 40, "a plan without lines says nothing of them: {plain}");
    assert!(!Plan::default().to_json().contains("lines"), "and its file says nothing of them");
    for (after, sentence) in [
        (lined(30.0), "bite of the lines 22.25 min → 30 min"),
        (Plan::default(), "etched lines removed"),
    ] {
        assert_eq!(
            difference::between(&plan, &after)[0].sentence.to_string(),
            sentence,
            "in words"
        );
    }
    let added = difference::between(&Plan::default(), &plan);
    assert_eq!(
        added[0].sentence.to_string(),
        "etched lines under the ground (“pen-lines.png”, bitten 22.25 min)",
        "added"
    );
}

#[test]
fn lines_out_of_range_say_what_to_do() {
    for (change, words) in [
        (&(|l: &mut LineWork| l.bite_min = 0.3) as &dyn Fn(&mut LineWork), "quarter minutes"),
        (&|l| l.bite_min = 121.0, "between 0.25 and 120 min"),
        (&|l| l.bite_min = f64::NAN, "not a number"),
        (&|l| l.open_below_l = 0.0, "between L* 1 and 99"),
        (&|l| l.crop.left = 0.9, "leaves it"),
        (&|l| l.picture = "a".repeat(256), "longer than 255"),
    ] {
        let mut plan = lined(20.0);
        change(plan.lines.as_mut().expect("lines"));
        let problems = plan.problems();
        assert_eq!(problems.len(), 1, "one sentence: {problems:?}");
        assert!(problems[0].to_string().contains(words), "{} says “{words}”", problems[0]);
    }
}
