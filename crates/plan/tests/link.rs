//! Links: what they keep, how long they are, and what spoiled ones say.

use crate::support;

use plan::link::{self, Decoded, LinkError};
use plan::{Bite, FAULT_KINDS, FIELDS, Fault, FaultKind, Picture, PictureSource, Plan, TonePoint};
use support::{Dice, any_plan, notes_500};

fn encode(plan: &Plan) -> String {
    link::encode(plan, None).expect("a sound plan gets a link")
}

/// Twelve bites, a picture of the user's own with an odd crop, and notes.
fn long_plan(notes: &str) -> Plan {
    let mut plan = Plan {
        title: "Ebb tide, second plate".to_owned(),
        notes: notes.to_owned(),
        seed: 20_311,
        ..Plan::default()
    };
    plan.picture.source = PictureSource::File("ebb-tide-scan-final.jpeg".to_owned());
    plan.picture.crop = plan::Crop { left: 0.1, top: 0.05, width: 0.8, height: 0.9 };
    plan.bites = (0..12).map(|i| Bite { bite_min: 0.75 + 0.5 * f64::from(i) }).collect();
    plan.picture.thresholds_l = (0..12).map(|i| 93.5 - 7.5 * f64::from(i)).collect();
    plan.calibration.insert("bite.rate_um_per_min".to_owned(), 0.93);
    plan
}

#[test]
fn a_plan_comes_back_equal() {
    for plan in [Plan::default(), long_plan(&notes_500())] {
        let back = link::decode(&encode(&plan)).expect("its own link opens");
        assert_eq!(
            back,
            Decoded { plan, miniature: None, lesson: None, left_out: false },
            "round trip"
        );
    }
}

#[test]
fn links_are_short() {
    let harbour = encode(&Plan::default()).len();
    let long = encode(&long_plan(&notes_500())).len();
    let mut again = long_plan(&notes_500());
    let Plan { dust, bake, bath, .. } = again.clone();
    again.states = vec![plan::State {
        name: "a darker quay".to_owned(),
        from_state: 1,
        work: vec![plan::Work::Ground(plan::LaterGround {
            seed: again.seed + 1,
            dust: plan::Dust { wait_s: 90.0, ..dust },
            bake,
            bath,
            outline_mm: vec![[20.5, 110.0], [95.0, 112.5], [90.0, 180.0], [22.0, 176.5]],
            bites: vec![plan::LaterBite { bite_min: 4.5, from_value: 5, to_value: 12 }],
        })],
    }];
    let regrounded = encode(&again).len();
    println!(
        "harbour {harbour} characters, 12 bites and 500 characters of notes {long}, with one new ground {regrounded}"
    );
    assert!(harbour <= 300, "the harbour's link has {harbour} characters");
    assert!(long <= 700, "the long plan's link has {long} characters");
    assert!(regrounded <= 700, "with one new ground the link has {regrounded} characters");
}

#[test]
fn every_number_comes_back_exactly_on_and_off_its_step() {
    let mut dice = Dice::new(1);
    for field in FIELDS {
        let mut numbers = vec![field.min, field.max, field.default];
        for _ in 0..200 {
            let on_step = (dice.part() * (field.max - field.min) / field.step).round();
            numbers.push((field.min + on_step * field.step).min(field.max));
            let off_step = field.min + dice.part() * (field.max - field.min);
            // The box is raised a whole number of times.
            numbers.push(if field.key == "dust.dustings" { off_step.round() } else { off_step });
        }
        for number in numbers {
            let mut plan = Plan::default();
            (field.set)(&mut plan, number);
            let back = link::decode(&encode(&plan)).expect("its own link opens").plan;
            let back_number = (field.get)(&back);
            assert_eq!(back_number.to_bits(), number.to_bits(), "{} = {number}", field.key);
            assert_eq!(back, plan, "{} = {number} touched something else", field.key);
        }
    }
}

#[test]
fn any_sound_plan_comes_back_equal() {
    let mut dice = Dice::new(2);
    for round in 0..2_000 {
        let plan = any_plan(&mut dice);
        let link = encode(&plan);
        let back = link::decode(&link).unwrap_or_else(|error| panic!("{round}: {error}\n{link}"));
        assert_eq!(back.plan, plan, "plan {round}");
        assert!(link.ends_with('p'), "{link} ends with a letter that may be dropped");
    }
}

#[test]
fn a_link_cut_off_anywhere_says_so() {
    for plan in [Plan::default(), long_plan(&notes_500())] {
        for miniature in [None, Some([7_u8; 90].as_slice())] {
            let link = link::encode(&plan, miniature).expect("a link");
            for length in 0..link.len() {
                let error = link::decode(&link[..length]).expect_err("a piece was accepted");
                let expected = match length {
                    0 => LinkError::Empty,
                    1 => LinkError::NotALink,
                    _ => LinkError::CutOff,
                };
                assert_eq!(error, expected, "the first {length} of {link}");
                // The same with the last letter put back on.
                if length > 2 {
                    let ended = format!("{}p", &link[..length]);
                    assert!(link::decode(&ended).is_err() || ended == link, "{ended} was accepted");
                }
            }
        }
    }
}

#[test]
fn one_wrong_character_is_always_found() {
    let alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.#% é<&\u{0}";
    for plan in [Plan::default(), long_plan(&notes_500())] {
        let link = encode(&plan);
        for (at, right) in link.char_indices() {
            for wrong in alphabet.chars().filter(|wrong| *wrong != right) {
                let spoiled = format!("{}{wrong}{}", &link[..at], &link[at + 1..]);
                if let Ok(back) = link::decode(&spoiled) {
                    panic!("{spoiled} opened as {:?}", back.plan.title);
                }
            }
        }
    }
}

#[test]
fn characters_dropped_doubled_or_swapped_are_found() {
    let link = encode(&Plan::default());
    for at in 0..link.len() {
        let dropped = format!("{}{}", &link[..at], &link[at + 1..]);
        assert!(link::decode(&dropped).is_err(), "dropped {at}");
        let doubled = format!("{}{}", &link[..=at], &link[at..]);
        assert!(link::decode(&doubled).is_err(), "doubled {at}");
        if at > 0 && link.as_bytes()[at - 1] != link.as_bytes()[at] {
            let pair = &link[at - 1..=at];
            let swapped: String = pair.chars().rev().collect();
            let swapped = format!("{}{swapped}{}", &link[..at - 1], &link[at + 1..]);
            assert!(link::decode(&swapped).is_err(), "swapped {at}");
        }
    }
}

#[test]
fn many_wrong_characters_are_found() {
    let mut dice = Dice::new(3);
    let links = [encode(&Plan::default()), encode(&long_plan(&notes_500()))];
    for round in 0..20_000 {
        let link = &links[round % 2];
        let mut bytes = link.clone().into_bytes();
        for _ in 0..=dice.below(6) {
            let at = dice.below(bytes.len());
            bytes[at] = 33 + dice.below(94) as u8;
        }
        let spoiled = String::from_utf8(bytes).expect("ASCII");
        if spoiled != *link {
            assert!(link::decode(&spoiled).is_err(), "{spoiled} was accepted");
        }
    }
}

#[test]
fn a_link_survives_chat_and_mail() {
    for plan in [Plan::default(), long_plan("")] {
        survives(&plan);
    }
}

fn survives(plan: &Plan) {
    let link = encode(plan);
    let (a, b) = link.split_at(link.len() / 2);
    let escaped: String = link.bytes().map(|byte| format!("%{byte:02x}")).collect();
    for pasted in [
        format!("#{link}"),
        format!("https://example.org/plan/?from=mail#{link}"),
        format!("<https://example.org/#{link}>"),
        format!("Look: https://example.org/#{link}."),
        format!("{a}\r\n  {b}\n"),
        format!("{a}=\u{ad}{b}").replace('=', ""),
        format!("https://example.org/%23{link}"),
        escaped,
    ] {
        let back = link::decode(&pasted).unwrap_or_else(|error| panic!("{pasted:?}: {error}"));
        assert_eq!(back.plan, *plan, "{pasted:?}");
    }
}

#[test]
fn each_way_of_being_no_link_has_its_sentence() {
    let link = encode(&Plan::default());
    // The numbers between were those of trial versions.
    let newer = format!("4{}", &link[1..]);
    let newest =
        format!("newer Platewright (link version 4; this page reads up to {})", link::LINK_VERSION);
    let cases: [(&str, &str); 11] = [
        ("", "There is no plan in this link"),
        ("   #  ", "There is no plan in this link"),
        ("https://example.org/plan/", "There is no plan in this link"),
        ("hello", "not a link to a plan"),
        ("0.AAAAp", "not a link to a plan"),
        ("01.AAAAp", "not a link to a plan"),
        ("-1.AAAAp", "not a link to a plan"),
        ("99999999999.AAAAp", "not a link to a plan"),
        (&newer, &newest),
        ("1.", "cut off"),
        ("1.!!!!!!!!p", "wrong or missing"),
    ];
    for (pasted, expected) in cases {
        let error = link::decode(pasted).expect_err("no link was accepted").to_string();
        assert!(error.contains(expected), "{pasted:?}: {error}");
        assert!(error.trim_end().ends_with('.'), "{error:?} is no sentence");
    }
    let endless = "1.".to_owned() + &"A".repeat(70_000);
    assert_eq!(link::decode(&endless), Err(LinkError::TooLarge), "an endless link");
    let endless = "x".repeat(10_000_000);
    assert_eq!(link::decode(&endless), Err(LinkError::TooLarge), "ten megabytes");
}

#[test]
fn plans_that_cannot_be_computed_get_no_link() {
    let mut plan = Plan::default();
    plan.dust.wait_s = f64::NAN;
    plan.bites.clear();
    let error = link::encode(&plan, None).expect_err("an absurd plan got a link");
    assert!(matches!(&error, LinkError::Absurd { others: 2, .. }), "{error}");
    let mut plan = Plan::default();
    for i in 0..5_000 {
        plan.calibration.insert(format!("no.such_constant_{i}"), 0.1 + f64::from(i));
    }
    assert_eq!(link::encode(&plan, None), Err(LinkError::TooLarge), "5000 constants");
}

#[test]
fn script_in_a_title_is_just_text() {
    let plan = Plan {
        title: "<script>alert(1)</script>\u{202e}\u{0}\"'&".to_owned(),
        notes: "javascript:alert(1) {{7*7}} ${x}".to_owned(),
        ..Plan::default()
    };
    assert_eq!(link::decode(&encode(&plan)).map(|back| back.plan), Ok(plan), "kept as written");
}

#[test]
fn the_longest_notes_travel() {
    for letter in ['a', 'é', '銅', '🜠'] {
        let mut dice = Dice::new(4);
        let notes = (0..4_000)
            .map(|_| char::from_u32(letter as u32 + dice.below(40) as u32).expect("a letter"))
            .collect();
        let plan = Plan { notes, ..Plan::default() };
        let back = link::decode(&encode(&plan)).map(|back| back.plan);
        assert_eq!(back, Ok(plan), "4000 letters like {letter}");
    }
}

#[test]
fn a_miniature_travels_with_the_plan_and_takes_the_crop_along() {
    let mut plan = long_plan("");
    let miniature: Vec<u8> = (0..=255).cycle().take(1_200).collect();
    let link = link::encode(&plan, Some(&miniature)).expect("a link");
    plan.picture.stand_in = Some(std::mem::take(&mut plan.picture.crop));
    assert_eq!(
        link::decode(&link),
        Ok(Decoded { plan, miniature: Some(miniature), lesson: None, left_out: false }),
        "plan and miniature"
    );
}

#[test]
fn the_room_for_a_miniature_is_all_used_and_never_exceeded() {
    for plan in [Plan::default(), long_plan(&notes_500()), long_plan(&"wax, ".repeat(700))] {
        for most in [400, 1_000, 2_000, 2_001, 2_002, 2_003, 4_000] {
            let room = link::room_for_miniature(&plan, 60, most).expect("a sound plan");
            let miniature = vec![0xa5; room];
            let chars = 61 + link::encode(&plan, Some(&miniature)).expect("a link").len();
            if room == 0 {
                continue;
            }
            assert!(chars <= most, "{chars} characters instead of {most}");
            assert!(chars + 8 > most, "only {chars} of {most} characters are used");
        }
    }
    let mut dice = Dice::new(6);
    let notes = (0..4_000).map(|_| (b' ' + dice.below(95) as u8) as char).collect();
    let full = Plan { notes, ..Plan::default() };
    assert_eq!(link::room_for_miniature(&full, 60, 2_000), Ok(0), "no room beside long notes");
}

#[test]
fn codes_for_the_phone() {
    let address = format!("https://example.org/platewright/#{}", encode(&Plan::default()));
    let code = link::qr(&address).expect("the harbour fits a code");
    println!("{} characters: {} modules a side", address.len(), code.side);
    assert_eq!(code.dark.len(), code.side * code.side, "modules");
    // Finder patterns in three corners (ISO/IEC 18004): a dark ring with a light one inside.
    let dark = |x: usize, y: usize| code.dark[y * code.side + x];
    let far = code.side - 7;
    for (left, top) in [(0, 0), (far, 0), (0, far)] {
        let ring = |x: usize, y: usize| dark(left + x, top + y);
        assert!((0..7).all(|i| ring(i, 0) && ring(0, i) && ring(6, i) && ring(i, 6)), "outer ring");
        assert!((1..6).all(|i| !ring(i, 1) && !ring(1, i)), "light ring");
        assert!(ring(3, 3), "its middle");
    }
    let longest = "a".repeat(link::QR_MOST_CHARS);
    assert!(link::qr(&longest).expect("the longest").side <= 89, "modules of the longest");
    let error = link::qr(&format!("{longest}a")).expect_err("too long").to_string();
    assert!(error.contains("701") && error.contains("700"), "{error}");
}

/// A plate carried through five states, one of them a branch.
fn five_states() -> Plan {
    let text = include_str!("plans/five-states.json");
    Plan::from_json(text).expect("a sound plan")
}

#[test]
fn a_plate_of_five_states_fits_a_chat_message() {
    let link = encode(&five_states());
    println!("five states: {} characters", link.len());
    assert!(link.len() <= 700, "the link has {} characters", link.len());
    let back = link::decode(&link).expect("its own link opens").plan;
    assert_eq!(back, five_states(), "every stroke comes back");
}

/// Etched lines under the ground, and a calibration with a name.
fn lined_and_named() -> Plan {
    Plan {
        lines: Some(plan::LineWork {
            picture: "pen-lines.png".to_owned(),
            crop: plan::Crop { left: 0.05, top: 0.1, width: 0.9, height: 0.8 },
            open_below_l: 47.5,
            bite_min: 22.25,
        }),
        calibration: [("bite.rate_um_per_min".to_owned(), 0.93)].into(),
        calibration_name: "brown tray, spring".to_owned(),
        ..Plan::default()
    }
}

fn meadow() -> plan::MadeFor {
    let cells = (0..plan::LIKENESS_CELLS).map(|i| 6.5 * i as f64);
    plan::MadeFor([3000.0, 2000.0].into_iter().chain(cells).collect())
}

#[test]
fn a_small_picture_says_which_part_of_the_whole_it_is() {
    let mut plan = long_plan("");
    plan.picture.made_for = meadow();
    let part = plan.picture.crop;
    let small =
        link::decode(&link::encode(&plan, Some(&[1, 2])).expect("a link")).expect("opens").plan;
    assert_eq!(small.picture.crop, plan::Crop::default(), "the whole small picture is used");
    assert_eq!(small.picture.stand_in, Some(part), "and is the crop of the real one");
    assert_eq!(small.picture.made_for, plan.picture.made_for, "which is described");

    // Cropped closer and sent on, it is a part of that part.
    let mut closer = small;
    closer.picture.crop = plan::Crop { left: 0.5, top: 0.0, width: 0.5, height: 0.5 };
    let again =
        link::decode(&link::encode(&closer, Some(&[1, 2])).expect("a link")).expect("opens");
    let there = again.plan.picture.stand_in.expect("it still stands in");
    for (is, wanted) in [
        (there.left, part.left + 0.5 * part.width),
        (there.top, part.top),
        (there.width, 0.5 * part.width),
        (there.height, 0.5 * part.height),
    ] {
        assert!((is - wanted).abs() < 1e-12, "{there:?} is the right upper quarter of {part:?}");
    }
}

#[test]
fn what_is_said_of_a_picture_is_checked() {
    let wrong = |change: &dyn Fn(&mut Picture)| {
        let mut plan = long_plan("");
        plan.picture.made_for = meadow();
        change(&mut plan.picture);
        plan.problems().iter().map(|problem| problem.field.clone()).collect::<Vec<_>>()
    };
    let of = |change: &dyn Fn(&mut Vec<f64>)| wrong(&|picture| change(&mut picture.made_for.0));
    assert_eq!(wrong(&|_| ()), Vec::<String>::new(), "as it is made");
    assert_eq!(of(&|of| of.clear()), Vec::<String>::new(), "nothing said");
    assert_eq!(of(&|of| of[0] = 0.0), ["picture.made_for"], "no width");
    assert_eq!(of(&|of| of[1] = 1e9), ["picture.made_for"], "a height of no picture");
    assert_eq!(of(&|of| of[1] = f64::NAN), ["picture.made_for"], "no height");
    assert_eq!(of(&|of| of[9] = 100.5), ["picture.made_for"], "whiter than white");
    assert_eq!(of(&|of| of[9] = 50.3), ["picture.made_for"], "finer than a link tells");
    assert_eq!(of(&|of| of.truncate(17)), ["picture.made_for"], "a cell too few");
    let part = plan::Crop { left: 0.5, top: 0.0, width: 0.6, height: 1.0 };
    assert_eq!(wrong(&|picture| picture.stand_in = Some(part)), ["picture.stand_in"], "outside");
}

/// Every fault of the first links, with numbers on and off their steps.
fn every_fault() -> Plan {
    let fault = |(i, kind): (usize, FaultKind)| Fault {
        x_mm: -4.0 + i as f64 * 9.7,
        y_mm: 12.5 * i as f64 / 3.0,
        radius_mm: 0.5 + i as f64,
        size: i as f64 / 15.0,
        seed: 1_000_003 * i as u32,
        from_bite: if kind.has_bite() { 4 } else { 1 },
        ..Fault::usual(kind)
    };
    let faults = FAULT_KINDS.into_iter().take(16).enumerate().map(fault).collect();
    Plan { faults, ..Plan::default() }
}

/// The plans of the golden links, with their miniatures.
fn golden() -> Vec<(&'static str, Plan, Option<Vec<u8>>)> {
    let mut dice = Dice::new(5);
    let mut off_step = Plan::default();
    off_step.dust.wait_s = 33.3;
    off_step.bath.temperature_c = 20.0 + 1.0 / 3.0;
    off_step.picture.crop = plan::Crop { left: 1.0 / 7.0, top: 0.0, width: 2.0 / 3.0, height: 0.5 };
    let mut hard = Plan::default();
    hard.ink.wipe = plan::Wipe::Hard;
    hard.ink.press = plan::Press::Heavy;
    hard.bath.agitation = plan::Agitation::Sprayed;
    hard.dust.settling = plan::Settling::Still;
    hard.bake.paper_between = false;
    let mut later = hard.clone();
    later.ink.stiffness = plan::Stiffness::Stiff;
    later.ink.dabbed_up = true;
    later.ink.blankets = plan::Blankets::One;
    let mut standing_in = long_plan("");
    standing_in.picture.stand_in = Some(std::mem::take(&mut standing_in.picture.crop));
    standing_in.picture.made_for = meadow();
    let mut likened = long_plan(&notes_500());
    likened.picture.made_for = meadow();
    likened.lines = lined_and_named().lines;
    let mut toned = long_plan("");
    toned.picture.exposure_stops = -1.3;
    toned.picture.contrast = 1.25;
    toned.picture.tone_points = [[4.0, 0.0], [40.5, 62.0], [93.0, 100.0]]
        .map(|[from_l, to_l]| TonePoint { from_l, to_l })
        .to_vec();
    let mut any = || {
        let plan = any_plan(&mut dice);
        let unchanged =
            Picture { exposure_stops: 0.0, contrast: 1.0, tone_points: Vec::new(), ..plan.picture };
        Plan { picture: unchanged, ..plan }
    };
    let miniature = vec![2, 3, 7, 0x5a, 0xc3, 0x11, 0x80];
    vec![
        ("harbour", Plan::default(), None),
        ("twelve-bites-and-notes", long_plan(&notes_500()), None),
        ("off-the-steps", off_step, None),
        ("every-last-choice", hard, None),
        ("every-later-choice", later, None),
        ("any-4", any(), None),
        ("any-5", any(), None),
        ("any-6", any(), None),
        ("five-states", five_states(), None),
        ("lines-and-a-name", lined_and_named(), None),
        ("likeness-and-lines", likened, None),
        ("stand-in-miniature", standing_in, Some(miniature)),
        ("tones-changed", toned, None),
        ("every-fault", every_fault(), None),
    ]
}

/// Golden links are written once, with `NEW_GOLDEN_LINKS=1`, and never again: a link that exists
/// is left alone.
#[test]
fn this_version_has_its_golden_links() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/links/v1");
    for (name, plan, miniature) in golden() {
        let link = link::encode(&plan, miniature.as_deref()).expect("a link");
        let path = format!("{folder}/{name}.txt");
        let exists = std::fs::exists(&path).expect("the folder of golden links");
        if !exists && std::env::var_os("NEW_GOLDEN_LINKS").is_some() {
            std::fs::write(&path, format!("{link}\n")).expect("writing a golden link");
            std::fs::write(format!("{folder}/{name}.json"), plan.to_json()).expect("and its plan");
        }
        let golden = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path}: {e}"));
        let mut now = link::decode(&link).expect("its own link opens");
        let then = link::decode(&golden).expect("the golden link opens");
        now.plan.model = then.plan.model;
        assert_eq!(then, now, "the golden link of {name}");
    }
}

/// The links in a folder of `tests/links`, with their paths.
fn links_in(folder: &str) -> Vec<(std::path::PathBuf, String)> {
    let folder = format!("{}/tests/links/{folder}", env!("CARGO_MANIFEST_DIR"));
    let paths = std::fs::read_dir(&folder).expect("the folder of old links");
    let paths = paths.map(|entry| entry.expect("its entries").path());
    paths
        .filter(|path| path.extension().is_some_and(|kind| kind == "txt"))
        .map(|path| (path.clone(), std::fs::read_to_string(path).expect("a golden link")))
        .collect()
}

#[test]
fn old_links_open() {
    let mut opened = 0;
    for (path, text) in links_in("v1") {
        let back = link::decode(&text).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        let json = std::fs::read_to_string(path.with_extension("json")).expect("its plan");
        let plan = Plan::from_json(&json).expect("a sound plan");
        assert_eq!(back.plan, plan, "{}", path.display());
        let miniature = path.to_string_lossy().contains("miniature");
        assert_eq!(back.miniature.is_some(), miniature, "miniature of {}", path.display());
        assert!(!back.left_out, "{} is known whole", path.display());
        opened += 1;
    }
    assert!(opened >= 12, "only {opened} golden links were found");
}

#[test]
fn links_of_trial_versions_are_refused_in_words() {
    let trial = links_in("trial");
    assert_eq!(trial.len(), 5, "links of trial versions");
    for (path, text) in trial {
        let refused = link::decode(&text).expect_err("a trial link opened");
        assert_eq!(refused, LinkError::Trial, "{}", path.display());
        assert!(refused.to_string().contains("made by an early trial version"), "{refused}");
    }
}

#[test]
fn a_link_names_the_model_of_its_plan() {
    for model in [plan::MODEL - 1, plan::MODEL, plan::MODEL + 1, u32::MAX] {
        let plan = Plan { model, ..Plan::default() };
        let mut back = link::decode(&encode(&plan)).expect("its own link opens");
        assert_eq!(back.plan, plan, "the model travels");
        assert_eq!(back.said(), None, "all of it is known");
        let said = back.plan.other_model();
        assert_eq!(back.plan.take_up(), said, "the same, taken up");
        assert_eq!(said.is_none(), model == plan::MODEL, "{said:?}");
        assert!(said.iter().all(|words| words.contains("its print may differ")), "{said:?}");
        assert_eq!(back.plan, Plan::default(), "nothing else is changed");
    }
}
