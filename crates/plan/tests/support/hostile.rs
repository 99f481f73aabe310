//! What must hold for any bytes at all. The fuzzer calls these (see `fuzz/`), and so does the test
//! that replays what it found.

use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use crc::{CRC_32_ISO_HDLC, Crc};
use plan::link::{self, LinkError};
use plan::{Plan, difference};

/// Bytes as a pasted link.
pub(crate) fn link(bytes: &[u8]) {
    if let Ok(text) = std::str::from_utf8(bytes) {
        judge(link::decode(text));
    }
}

/// Bytes as what a link carries: its first byte, then what follows the length.
pub(crate) fn link_payload(bytes: &[u8]) {
    let Some((head, rest)) = bytes.split_first() else { return };
    // Most bytes begin no link; whatever this one is, it stands for one of the two that do.
    for head in [*head, 16 | head & 1] {
        let back = link::decode(&wrapped(head, rest));
        let let_in = !matches!(back, Err(LinkError::CutOff | LinkError::WrongCharacter));
        assert!(let_in, "the wrapping is wrong: {back:?}");
        judge(back);
    }
}

/// The link that carries these bytes, with the length, the check sum and the letters round them
/// that let them in.
pub(crate) fn wrapped(head: u8, rest: &[u8]) -> String {
    let mut payload = vec![head];
    let mut length = rest.len() + 4;
    while length >= 0x80 {
        payload.push((length & 0x7f) as u8 | 0x80);
        length >>= 7;
    }
    payload.push(length as u8);
    payload.extend_from_slice(rest);
    payload.extend_from_slice(&Crc::<u32>::new(&CRC_32_ISO_HDLC).checksum(&payload).to_le_bytes());
    format!("1.{}p", BASE64_URL_SAFE_NO_PAD.encode(&payload))
}

/// Bytes as a plan file.
pub(crate) fn plan_file(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    match Plan::from_json(text) {
        Ok(plan) => sound(&plan),
        Err(problems) => {
            assert!(!problems.is_empty(), "refused without a word");
            assert!(problems.iter().all(|p| !p.message.is_empty()), "an empty sentence");
        }
    }
}

fn judge(back: Result<link::Decoded, LinkError>) {
    match back {
        Ok(decoded) => sound(&decoded.plan),
        Err(error) => assert!(!error.to_string().is_empty(), "an empty sentence"),
    }
}

/// A plan let in can be computed, kept, sent on and compared.
fn sound(plan: &Plan) {
    assert!(plan.problems().is_empty(), "a plan with problems was let in");
    assert_eq!(Plan::from_json(&plan.to_json()).as_ref(), Ok(plan), "kept as a file");
    match link::encode(plan, None) {
        Ok(link) => {
            let back = link::decode(&link).expect("its own link opens");
            assert_eq!(back.plan, *plan, "sent on as a link");
        }
        Err(error) => assert_eq!(error, LinkError::TooLarge, "only size keeps it from a link"),
    }
    let harbour = Plan::default();
    let found = difference::between(&harbour, plan);
    assert_eq!(found.is_empty(), harbour == *plan, "the difference to the harbour");
}
