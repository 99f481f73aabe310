//! Sentences in the reader's units.

use plan::{Diagnostic, FIELDS, Piece, Plan, Unit, Units, quantity, sentence};
use proptest::prelude::*;

#[test]
fn quantities_are_read_in_either_system() {
    // Inches, quarts and degrees by definition: 25.4 mm (international yard and pound agreement, 1959),
    // 0.946 352 946 L (NIST Handbook 44, appendix C), °F = 1.8 °C + 32.
    for (value, unit, decimals, metric, us) in [
        (254.0, Unit::Mm, 0, "254 mm", "10 in"),
        (1.3, Unit::Mm, 1, "1.3 mm", "0.051 in"),
        (0.6, Unit::M, 2, "0.6 m", "24 in"),
        (2.54, Unit::Cm, 2, "2.54 cm", "1 in"),
        (20.0, Unit::Celsius, 0, "20 °C", "68 °F"),
        (-40.0, Unit::Celsius, 0, "-40 °C", "-40 °F"),
        (10.0, Unit::CelsiusApart, 0, "10 °C", "18 °F"),
        (1.0, Unit::CelsiusApart, 0, "1 °C", "2 °F"),
        (0.72, Unit::Mm, 2, "0.72 mm", "0.028 in"),
        (1.2, Unit::Mm, 1, "1.2 mm", "0.047 in"),
        (50.0, Unit::Cm, 0, "50 cm", "19.69 in"),
        (0.5, Unit::M, 2, "0.5 m", "19.69 in"),
        (40.0, Unit::Baume, 1, "40 °Bé", "40 °Bé"),
        (15.0, Unit::GPerM3, 0, "15 g/m³", "15 g/m³"),
        (5.0, Unit::Seconds, 0, "5 s", "5 s"),
        (2.0, Unit::Litres, 1, "2 L", "2.11 qt"),
        (0.5, Unit::Percent, 0, "50 %", "50 %"),
        (4.5, Unit::Lightness, 1, "L* 4.5", "L* 4.5"),
        (44.2, Unit::Um, 0, "44 µm", "44 µm"),
        (12.25, Unit::Minutes, 2, "12.25 min", "12.25 min"),
        (30.0, Unit::GPerM2, 1, "30 g/m²", "30 g/m²"),
        (3.0, Unit::Count, 0, "3", "3"),
    ] {
        let said = sentence!("{}", quantity(value, unit, decimals));
        assert_eq!(said.in_units(Units::Metric), metric);
        assert_eq!(said.in_units(Units::Us), us);
    }
}

#[test]
fn a_sentence_holds_words_numbers_and_other_sentences() {
    let part = sentence!("feathered over {}", quantity(5.0, Unit::Mm, 0));
    let bare = Piece::Number(quantity(2.0, Unit::Mm, 0));
    let said = sentence!("{} areas, {}, from {} on", 3_usize, part.clone(), bare);
    assert_eq!(said.to_string(), "3 areas, feathered over 5 mm, from 2 on");
    assert_eq!(said.in_units(Units::Us), "3 areas, feathered over 0.2 in, from 0.079 on");
    assert_eq!(said.quantities().map(|q| q.value).collect::<Vec<_>>(), [5.0, 2.0]);
    assert_eq!(part.and("Next.".into()).to_string(), "feathered over 5 mm Next.");
}

#[test]
fn a_diagnostic_tells_place_kind_numbers_and_what_to_do() {
    let mut plan = Plan::default();
    plan.plate.width_mm = 5.0;
    let found = plan.problems();
    let Diagnostic { field, code, message, hint, numbers, .. } = &found[0];
    assert_eq!((field.as_str(), *code), ("plate.width_mm", "out_of_range"));
    assert_eq!(message.to_string(), "Width is 5 mm; it must lie between 20 and 600 mm.");
    assert_eq!(message.in_units(Units::Us), "Width is 0.2 in; it must lie between 0.79 and 24 in.");
    assert_eq!(hint.to_string(), "Choose a number in that range.");
    assert_eq!(numbers.iter().map(|n| n.value).collect::<Vec<_>>(), [5.0, 20.0, 600.0]);
    assert_eq!(found[0].clone().within("states.0").field, "states.0.plate.width_mm");
}

#[test]
fn the_catalogue_is_read_in_the_readers_units() {
    let why = |key| plan::field(key).expect("a field").why;
    let said = plan::Sentence::marked(why("bake.hot_plate_c"));
    assert!(said.in_units(Units::Metric).ends_with("softens near 76 °C."), "{said}");
    assert!(said.in_units(Units::Us).ends_with("softens near 169 °F."), "{said}");
    let colder = plan::Sentence::marked(why("bath.temperature_c")).in_units(Units::Us);
    assert!(colder.ends_with("a quarter slower for each 18 °F."), "{colder}");
    for text in FIELDS.iter().map(|field| field.why).chain(plan::CHOICES.iter().map(|c| c.why)) {
        let said = plan::Sentence::marked(text);
        assert_eq!(said.quantities().count(), text.matches('{').count(), "{text}");
        assert!(!said.to_string().contains(['{', '}']), "{said}");
    }
}

#[test]
fn every_unit_of_the_catalogue_is_known() {
    for field in FIELDS {
        let plain = matches!(field.unit, "" | "×" | "parts" | "stops");
        assert_eq!(
            Unit::of_sign(field.unit) == Unit::Count,
            plain,
            "{}: {}",
            field.key,
            field.unit
        );
    }
}

proptest! {
    #[test]
    fn no_number_makes_an_odd_word(value in proptest::num::f64::NORMAL, decimals in 0_u8..7) {
        let text = quantity(value, Unit::Mm, decimals).in_units(Units::Metric);
        let number = text.strip_suffix(" mm").expect("its unit");
        prop_assert!(number != "-0" && !number.ends_with('.'), "{text}");
        let read: f64 = number.parse().expect("a number");
        let grain = 0.5 / 10_u64.pow(decimals.into()) as f64;
        prop_assert!((read - value).abs() <= grain * (1.0 + 1e-9) + value.abs() * 1e-15, "{read} for {value}");
    }
}

#[test]
fn units_for_the_page_are_those_of_sentences() {
    for of in plan::US_UNITS {
        // Weights and spoons stand beside the metric ones and in no sentence.
        if matches!(of.metric, "g" | "ml") {
            continue;
        }
        // How much cooler a place is: degrees without where zero lies.
        let (unit, sign) = match of.sign.strip_suffix(" less") {
            Some(sign) => (Unit::CelsiusApart, sign),
            None => (Unit::of_sign(of.metric), of.sign),
        };
        assert_eq!(unit.sign(Units::Us), sign, "{}", of.metric);
        for value in [1.0, 20.0, 35.5] {
            let said: f64 = quantity(value, unit, 4).number(Units::Us).parse().expect("a number");
            let shown = value * of.times + of.plus;
            assert!((said - shown).abs() <= 0.5, "{value} {}: {said} and {shown}", of.metric);
        }
    }
    let times =
        |metric| plan::US_UNITS.iter().find(|of| of.metric == metric).expect("a unit").times;
    assert!((times("g") * 453.592_37 - 16.0).abs() < 1e-12, "16 ounces to a pound of 453.59237 g");
    assert!((times("ml") * 946.352_946 - 192.0).abs() < 1e-9, "192 teaspoons to a quart");
}

#[test]
fn a_diagnostic_crosses_as_one_sentence() {
    let mut plan = Plan::default();
    plan.dust.wait_s = 5000.0;
    let told = serde_json::to_value(&plan.problems()[0]).expect("JSON");
    assert_eq!(
        told["sentence"]["metric"],
        "Wait is 5000 s; it must lie between 0 and 900 s. Choose a number in that range."
    );
    assert_eq!((&told["field"], &told["code"]), (&"dust.wait_s".into(), &"out_of_range".into()));
    assert_eq!(told["numbers"].as_array().map(Vec::len), Some(3), "its quantities");
}
