//! Replays what the fuzzer found worth keeping (`fuzz/corpus`), and the cases it broke things with.

use crate::hostile;

use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use plan::Plan;
use plan::link::{self, LinkError};
use std::path::Path;
use std::time::{Duration, Instant};

/// First byte of a link whose document travels as it is, and of one compressed.
const PLAIN: u8 = 16;
const COMPRESSED: u8 = 17;

fn replay(target: &str, check: fn(&[u8])) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/corpus").join(target);
    let mut replayed = 0;
    for entry in std::fs::read_dir(&folder).expect("the corpus") {
        let bytes = std::fs::read(entry.expect("its files").path()).expect("a file");
        check(&bytes);
        replayed += 1;
    }
    assert!(replayed > 0, "no corpus in {}", folder.display());
}

#[test]
fn links() {
    replay("link", hostile::link);
}

#[test]
fn link_payloads() {
    replay("link_payload", hostile::link_payload);
}

#[test]
fn plan_files() {
    replay("plan_file", hostile::plan_file);
}

#[test]
fn the_checks_let_a_sound_plan_through() {
    let plan = Plan::default();
    hostile::plan_file(plan.to_json().as_bytes());
    let link = link::encode(&plan, None).expect("a link");
    hostile::link(link.as_bytes());
}

/// All bytes of a link.
fn payload_of(text: &str) -> Vec<u8> {
    let text = text.trim();
    BASE64_URL_SAFE_NO_PAD.decode(&text[2..text.len() - 1]).expect("base64")
}

/// A number of seven bits a byte, and what follows it.
fn number(bytes: &[u8]) -> (usize, &[u8]) {
    let end = bytes.iter().position(|byte| byte & 0x80 == 0).expect("its last byte") + 1;
    let value =
        bytes[..end].iter().rev().fold(0, |value, byte| value << 7 | usize::from(byte & 0x7f));
    (value, &bytes[end..])
}

/// The document of a compressed link as it was before.
fn document_of(text: &str) -> Vec<u8> {
    let payload = payload_of(text);
    assert_eq!(payload[0], COMPRESSED, "the document is compressed");
    let (length, rest) = number(&payload[1..]);
    let (of_document, rest) = number(&rest[..length - 4]);
    assert_eq!(of_document, rest.len(), "without a miniature");
    let (plain, small) = number(rest);
    plan::compress::decompressed(small, plain, link::PRIMER).expect("it swells to what it was")
}

#[test]
fn a_plate_of_five_states_spoiled_anywhere_is_refused_or_sound() {
    let golden = include_str!("links/v1/five-states.txt");
    let plain = document_of(golden);
    let whole = link::decode(golden).expect("a golden link").plan;
    let again = link::decode(&hostile::wrapped(PLAIN, &with_length(&plain)));
    assert_eq!(again.map(|back| back.plan), Ok(whole.clone()), "put together again");
    let (mut let_in, mut ends) = (0, Vec::new());
    for at in 0..plain.len() {
        for spoil in [0x01, 0x80, 0xff] {
            let mut bytes = plain.clone();
            bytes[at] ^= spoil;
            let back = decode_quickly(&hostile::wrapped(PLAIN, &with_length(&bytes)));
            if let Ok(back) = back {
                assert!(back.plan.problems().is_empty(), "byte {at} by {spoil}: problems let in");
                let_in += 1;
            }
        }
        // That a link came whole, its length and check sum tell; a document may end behind any section.
        let cut = decode_quickly(&hostile::wrapped(PLAIN, &with_length(&plain[..at])));
        ends.extend(cut.map(|back| back.plan));
    }
    let no_edition = Plan { edition: None, ..whole.clone() };
    let no_states = Plan { states: Vec::new(), ..no_edition.clone() };
    assert!(ends == [no_states, no_edition], "{} ends, each behind a section", ends.len());
    println!("{let_in} of {} spoiled plans are sound", 3 * plain.len());
    assert!(let_in > 0, "a seed one off is as sound as before");
}

/// The harbour as the first model had it, which a link stands for that says nothing.
fn first_harbour() -> Plan {
    let golden = include_str!("links/v1/first-model-harbour.txt");
    Plan { model: plan::MODEL, ..link::decode(golden).expect("a golden link").plan }
}

/// What follows the length in a link of that harbour that was not compressed.
fn harbour_bytes() -> Vec<u8> {
    let bytes = payload_of(&link::encode(&first_harbour(), None).expect("a link"));
    assert_eq!(bytes[0], PLAIN, "the harbour says too little to be compressed");
    bytes[2..bytes.len() - 4].to_vec()
}

/// Bytes with their length before them.
fn with_length(bytes: &[u8]) -> Vec<u8> {
    let mut all = Vec::new();
    let mut length = bytes.len();
    while length >= 0x80 {
        all.push((length & 0x7f) as u8 | 0x80);
        length >>= 7;
    }
    all.push(length as u8);
    all.extend_from_slice(bytes);
    all
}

fn decode_quickly(text: &str) -> Result<link::Decoded, LinkError> {
    let start = Instant::now();
    let back = link::decode(text);
    assert!(start.elapsed() < Duration::from_secs(2), "it took {:?}", start.elapsed());
    back
}

/// A document that says nothing but one entry, in these bytes.
fn saying(entry: usize, bytes: &[u8]) -> Vec<u8> {
    let mut document = vec![plan::MODEL as u8];
    document.extend((0..entry / 7).map(|_| 0x80));
    document.push(1 << (entry % 7));
    document.extend_from_slice(bytes);
    document
}

/// Places of entries in a document: part of every link.
const TITLE: usize = 17;
const BITES: usize = 22;

#[test]
fn a_link_put_together_by_hand_opens() {
    let back = decode_quickly(&hostile::wrapped(PLAIN, &harbour_bytes()));
    assert_eq!(back.map(|back| back.plan), Ok(first_harbour()), "the harbour by hand");
    let titled = saying(TITLE, &[2, b'a', b'b']);
    let back = decode_quickly(&hostile::wrapped(PLAIN, &with_length(&titled)));
    let wanted = Plan { title: "ab".to_owned(), ..first_harbour() };
    assert_eq!(back.map(|back| back.plan), Ok(wanted), "another title by hand");
}

#[test]
fn a_link_that_swells_when_unpacked_is_stopped() {
    // Lengths before compression: thirty million bytes, more than any number holds, and the most
    // that is unpacked at all, from a dozen bytes.
    for length in [&[0x80, 0x87, 0xa7, 0x0e][..], &[0xff; 10], &[0x80, 0xf4, 0x03]] {
        let small = [length, &[0x55; 12]].concat();
        let back = decode_quickly(&hostile::wrapped(COMPRESSED, &with_length(&small)));
        let refused =
            matches!(back, Err(LinkError::TooLarge | LinkError::Damaged | LinkError::NewerPart));
        assert!(refused, "a swelling link gave {back:?}");
    }
}

#[test]
fn sixty_thousand_bites_cost_no_freeze() {
    let many = saying(BITES, &with_length(&[8; 60_000]));
    let mut small = with_length(&many);
    small.truncate(small.len() - many.len());
    small.extend(plan::compress::compressed(&many, link::PRIMER));
    let back = decode_quickly(&hostile::wrapped(COMPRESSED, &with_length(&small)));
    let error = back.expect_err("sixty thousand bites").to_string();
    assert!(error.contains("60000 bites"), "{error}");
}

#[test]
fn lists_that_claim_to_be_endless_are_damaged() {
    // 4 GB, as many as any number holds, and more than that.
    for length in [&[0xff, 0xff, 0xff, 0xff, 0x0f][..], &[0xff; 8], &[0xff; 10]] {
        for entry in [TITLE, BITES] {
            let claimed = saying(entry, &[length, &[0x08; 30]].concat());
            let back = decode_quickly(&hostile::wrapped(PLAIN, &with_length(&claimed)));
            assert_eq!(back, Err(LinkError::Damaged), "entry {entry} of {length:?}");
        }
    }
}

#[test]
fn what_no_page_wrote_is_damaged_or_newer() {
    let plain = harbour_bytes();
    for head in [4, 8, 18, 0x80, 0xff] {
        let back = decode_quickly(&hostile::wrapped(head, &plain));
        assert_eq!(back, Err(LinkError::NewerPart), "a payload that begins with {head}");
    }
    for head in 0..4 {
        let back = decode_quickly(&hostile::wrapped(head, &plain));
        assert_eq!(back, Err(LinkError::Trial), "as trial versions began");
    }
    let longer = [plain.as_slice(), &[0]].concat();
    let back = decode_quickly(&hostile::wrapped(PLAIN, &longer));
    assert_eq!(back, Err(LinkError::Damaged), "a byte after the document");
    let longer = with_length(&[&plain[1..], &[0]].concat());
    let back = decode_quickly(&hostile::wrapped(PLAIN, &longer));
    assert_eq!(back, Err(LinkError::Damaged), "a byte at the end of the document");
    // The title, with a byte too many in its text, and no entry at all at the end.
    for bytes in [&saying(TITLE, &[1, b'a', b'b'])[..], &saying(300, &[])] {
        let back = decode_quickly(&hostile::wrapped(PLAIN, &with_length(bytes)));
        let refused = matches!(back, Err(LinkError::Damaged | LinkError::NewerPart));
        assert!(refused, "{bytes:?} gave {back:?}");
    }
}

#[test]
fn a_deeply_nested_file_is_refused() {
    let deep = format!("{}{}", "[".repeat(200_000), "]".repeat(200_000));
    assert!(Plan::from_json(&deep).is_err(), "a file nested 200,000 deep");
    let deep = format!("{{\"platewright\": 1, \"dust\": {}", "{\"a\":".repeat(100_000));
    assert!(Plan::from_json(&deep).is_err(), "objects nested 100,000 deep");
}
