//! The model that plans name, and the digests that say when there is another.

use crc::{CRC_32_ISO_HDLC, Crc};
use plan::{MODEL, Plan};

/// The model, and the check sum of the digests of its plates.
const KNOWN: (u32, u32) = (4, 231_057_233);

#[test]
fn other_digests_are_another_model() {
    let digests = include_bytes!("../../../tests/digests/digests.txt");
    assert_eq!(
        (MODEL, Crc::<u32>::new(&CRC_32_ISO_HDLC).checksum(digests)),
        KNOWN,
        "plates come out otherwise: raise plan::MODEL, and write both here"
    );
}

#[test]
fn a_plan_file_names_its_model() {
    let json = Plan::default().to_json();
    assert!(json.contains(&format!("\"model\": {MODEL},")), "{json}");
    let without = json.replace(&format!("  \"model\": {MODEL},\n"), "");
    assert_eq!(Plan::from_json(&without), Ok(Plan::default()), "left out, it is this program's");
    assert_eq!(Plan::default().other_model(), None, "nothing to be said of that");
}

#[test]
fn a_plan_of_another_model_opens_whole_and_says_so() {
    for (model, words) in [
        (MODEL - 1, "an earlier model of the plate (model 3; today’s is 4)"),
        (MODEL + 1, "newer Platewright and its model of the plate (model 5; the one here is 4)"),
    ] {
        let plan = Plan { model, ..Plan::default() };
        let mut back = Plan::from_json(&plan.to_json()).expect("it opens");
        assert_eq!(back, plan, "whole, with its model");
        let said = back.take_up().expect("something is said");
        assert!(said.contains(words) && said.contains("its print may differ"), "{said}");
        assert_eq!(back, Plan::default(), "from now on with the model there is");
        assert_eq!(back.take_up(), None, "and said once");
    }
}
