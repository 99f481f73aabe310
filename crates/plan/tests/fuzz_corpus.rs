//! Replays what the fuzzer found worth keeping (`fuzz/corpus`), and the cases it broke things with.

#[path = "support/hostile.rs"]
mod hostile;

use plan::Plan;
use plan::link::{self, LinkError};
use std::path::Path;
use std::time::{Duration, Instant};

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
    let letters = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    let mut bytes = Vec::new();
    let text = text.trim().as_bytes();
    for group in text[2..text.len() - 1].chunks(4) {
        let six = |c: &u8| letters.iter().position(|l| l == c).expect("base64") as u32;
        let bits = (0..4).fold(0, |bits, i| bits << 6 | group.get(i).map_or(0, six));
        bytes.extend_from_slice(&bits.to_be_bytes()[1..group.len()]);
    }
    bytes
}

/// A number of seven bits a byte, and what follows it.
fn number(bytes: &[u8]) -> (usize, &[u8]) {
    let end = bytes.iter().position(|byte| byte & 0x80 == 0).expect("its last byte") + 1;
    let value =
        bytes[..end].iter().rev().fold(0, |value, byte| value << 7 | usize::from(byte & 0x7f));
    (value, &bytes[end..])
}

/// The plan's bytes of a squeezed link as they were before.
fn plan_bytes(text: &str) -> Vec<u8> {
    let payload = payload_of(text);
    assert_eq!(payload[0], 1, "the plan is squeezed, without a miniature");
    let (length, rest) = number(&payload[1..]);
    let (of_plan, rest) = number(&rest[..length - 4]);
    let (plain, small) = number(&rest[..of_plan]);
    plan::squeeze::unsqueezed(small, plain, link::PRIMER_V1).expect("it swells to what it was")
}

#[test]
fn a_plate_of_five_states_spoiled_anywhere_is_refused_or_sound() {
    let golden = include_str!("links/v2/five-states.txt");
    let plain = plan_bytes(golden);
    let whole = link::decode(golden).expect("a golden link").plan;
    let again = link::decode(&hostile::wrapped_as(2, 0, &with_length(&plain)));
    assert_eq!(again.map(|back| back.plan), Ok(whole), "put together again");
    let mut let_in = 0;
    for at in 0..plain.len() {
        for spoil in [0x01, 0x80, 0xff] {
            let mut bytes = plain.clone();
            bytes[at] ^= spoil;
            let back = decode_quickly(&hostile::wrapped_as(2, 0, &with_length(&bytes)));
            if let Ok(back) = back {
                assert!(back.plan.problems().is_empty(), "byte {at} by {spoil}: problems let in");
                let_in += 1;
            }
        }
        let cut = decode_quickly(&hostile::wrapped_as(2, 0, &with_length(&plain[..at])));
        assert!(cut.is_err(), "its first {at} bytes were let in");
    }
    println!("{let_in} of {} spoiled plans are sound", 3 * plain.len());
    assert!(let_in > 0, "a seed one off is as sound as before");
}

/// What follows the length in a link of the harbour that was not squeezed.
fn harbour_bytes() -> Vec<u8> {
    let bytes = payload_of(include_str!("links/v1/harbour-plain.txt"));
    assert_eq!(bytes[0], 0, "the harbour is written plain, without a miniature");
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

#[test]
fn a_link_put_together_by_hand_opens() {
    let back = decode_quickly(&hostile::wrapped(0, &harbour_bytes()));
    assert_eq!(back.map(|back| back.plan), Ok(Plan::default()), "the harbour by hand");
}

#[test]
fn a_link_that_swells_when_unpacked_is_stopped() {
    // Lengths before squeezing: thirty million bytes, more than any number holds, and the most
    // that is unpacked at all, from a dozen bytes.
    for length in [&[0x80, 0x87, 0xa7, 0x0e][..], &[0xff; 10], &[0x80, 0xf4, 0x03]] {
        let small = [length, &[0x55; 12]].concat();
        let back = decode_quickly(&hostile::wrapped(1, &with_length(&small)));
        let refused = matches!(back, Err(LinkError::TooLarge | LinkError::Damaged));
        assert!(refused, "a swelling link gave {back:?}");
    }
}

#[test]
fn sixty_thousand_bites_cost_no_freeze() {
    let plain = harbour_bytes();
    let bites = [7, 8, 16, 24, 24, 32, 40, 48];
    let at = plain.windows(bites.len()).position(|w| w == bites).expect("the harbour's bites");
    let mut many = plain[1..at].to_vec();
    many.extend(with_length(&[8; 60_000]));
    many.extend_from_slice(&plain[at + bites.len()..]);
    let mut small = with_length(&many);
    small.truncate(small.len() - many.len());
    small.extend(plan::squeeze::squeezed(&many, link::PRIMER_V1));
    let back = decode_quickly(&hostile::wrapped(1, &with_length(&small)));
    let error = back.expect_err("sixty thousand bites").to_string();
    assert!(error.contains("60000 bites"), "{error}");
}

#[test]
fn lists_that_claim_to_be_endless_are_damaged() {
    let plain = harbour_bytes();
    // The title's length, its first byte: 4 GB, and more than any number holds.
    for length in [&[0xff, 0xff, 0xff, 0xff, 0x0f][..], &[0xff; 10]] {
        let claimed = [length, &plain[2..]].concat();
        let back = decode_quickly(&hostile::wrapped(0, &with_length(&claimed)));
        assert_eq!(back, Err(LinkError::Damaged), "a title of {length:?}");
    }
}

#[test]
fn unknown_flags_and_bytes_left_over_are_damaged() {
    let plain = harbour_bytes();
    for flags in [4, 8, 0x80, 0xff] {
        let back = decode_quickly(&hostile::wrapped(flags, &plain));
        assert_eq!(back, Err(LinkError::Damaged), "flags {flags}");
    }
    let longer = [plain.as_slice(), &[0]].concat();
    let back = decode_quickly(&hostile::wrapped(0, &longer));
    assert_eq!(back, Err(LinkError::Damaged), "a byte after the plan");
    let longer = with_length(&[&plain[1..], &[0]].concat());
    let back = decode_quickly(&hostile::wrapped(0, &longer));
    assert_eq!(back, Err(LinkError::Damaged), "a byte at the end of the plan");
}

#[test]
fn a_deeply_nested_file_is_refused() {
    let deep = format!("{}{}", "[".repeat(200_000), "]".repeat(200_000));
    assert!(Plan::from_json(&deep).is_err(), "a file nested 200,000 deep");
    let deep = format!("{{\"platewright\": 1, \"dust\": {}", "{\"a\":".repeat(100_000));
    assert!(Plan::from_json(&deep).is_err(), "objects nested 100,000 deep");
}
