//! Links: a whole plan in the fragment of an address, where no server sees it.
//!
//! # The text
//! `1.` + payload in base64url (RFC 4648 §5, unpadded) + the letter `p`.
//!
//! * The number before the dot is the **link version**. It stands outside the payload, so that an
//!   older page can say "this link is newer than I am" without understanding anything else.
//! * The last letter is always the same and always a letter: chat programs that drop a trailing
//!   `-`, `_` or full stop do no harm, and its absence tells a link that was cut off.
//!
//! # The payload, versions 1 to 3
//! | bytes | what |
//! |---|---|
//! | 1 | flags: bit 0 the plan is squeezed ([`crate::squeeze`]), bit 1 a miniature follows; others zero |
//! | varint | length of everything after this number, check sum included |
//! | varint | length of the plan's bytes |
//! | … | the plan: `v1`'s frozen structs in postcard's wire format. Squeezed, if that is
//! shorter: a varint, the length before; then the squeezed bytes, with `v1`'s primer |
//! | … | the miniature (a small value map; see the `picture` crate), if flagged |
//! | 4 | CRC-32 (IEEE 802.3, as in zip and PNG) of all bytes before it, little end first |
//!
//! The check sum covers the bytes *as they travel*: a CRC-32 finds every change within 32
//! neighbouring bits for certain, so no single wrong character can pass; and nothing is
//! read before it holds.
//!
//! # For ever
//! What `v1`, `v2` and `v3` write must be read by every later version. They differ in the plan alone:
//! in version 2, `v2`'s bytes come after those of `v1`, and in version 3 those of `v3` before both. Parts
//! that plans get later go into a frozen module of their own with its number before the dot. A plan is written in the oldest version that can say
//! it. The golden links in `tests/links` see to that.

mod error;
mod qr;
mod text;
mod v1;
mod v2;
mod v3;
mod varint;

pub use error::LinkError;
pub use qr::{QR_MOST_CHARS, Qr, qr};
/// What the squeezer of versions 1 and 2 has read before a plan.
pub use v1::PRIMER as PRIMER_V1;

use crate::diagnostic::Severity;
use crate::squeeze;
use crate::types::{PictureSource, Plan};

/// The newest link version, for plans that need it; all before it are read.
pub const LINK_VERSION: u32 = 3;
/// Most characters a link may have: what Firefox still keeps in its history
/// (`URL_LENGTH_MAX`, 65,536) less an address of a thousand characters.
pub const MOST_CHARS: usize = 64_536;
/// Length, in characters with the address, above which some chat programs cut a message.
pub const CHAT_CHARS: usize = 2_000;
/// Most bytes of a plan before it was squeezed: notes of 4000 four-byte characters and four times as much
/// of everything else.
const MOST_PLAN_BYTES: usize = 64_000;
/// Most bytes of a miniature.
const MOST_MINIATURE_BYTES: usize = 16_000;
/// The letter that ends every link.
const END: char = 'p';
/// Flag: the plan is squeezed.
const SQUEEZED: u8 = 1;
/// Flag: a miniature follows the plan.
const WITH_MINIATURE: u8 = 2;
/// Bytes of the check sum.
const SUM_BYTES: usize = 4;

/// What a link holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Decoded {
    /// The plan; it has passed [`Plan::problems`].
    pub plan: Plan,
    /// The picture's value map as the `picture` crate coded it. It may still turn out damaged
    /// there: the plan stands without it.
    pub miniature: Option<Vec<u8>>,
}

/// Writes a plan as the text of a link's fragment, without `#`.
///
/// Every plan that [`Plan::problems`] accepts comes back equal from [`decode`], number for number.
/// There is one exception: a miniature is the picture *as it lies on the plate*, already cropped,
/// so with one the link's plan takes the whole of it ([`crate::Crop::default`]), and says which part of the
/// picture that is ([`crate::Picture::stand_in`]).
///
/// # Errors
/// [`LinkError::Absurd`] for a plan that can't be computed and [`LinkError::TooLarge`] for one
/// that no page would open (a calibration of thousands of entries).
pub fn encode(plan: &Plan, miniature: Option<&[u8]>) -> Result<String, LinkError> {
    check(plan)?;
    let mut plan = plan.clone();
    if miniature.is_some() {
        let crop = std::mem::take(&mut plan.picture.crop);
        if plan.picture.source != PictureSource::Harbour {
            plan.picture.stand_in = Some(crop.within(plan.picture.stand_in.unwrap_or_default()));
        }
    }
    let (version, plain) = v3::to_bytes(&plan)
        .map(|plain| (3, plain))
        .or_else(|| v2::to_bytes(&plan).map(|plain| (2, plain)))
        .unwrap_or_else(|| (1, v1::to_bytes(&plan)));
    if plain.len() > MOST_PLAN_BYTES || miniature.is_some_and(|m| m.len() > MOST_MINIATURE_BYTES) {
        return Err(LinkError::TooLarge);
    }
    let mut small = Vec::new();
    varint::push(plain.len(), &mut small);
    small.extend(squeeze::squeezed(&plain, v1::PRIMER));
    let (mut flags, body) = if small.len() < plain.len() { (SQUEEZED, small) } else { (0, plain) };
    let mut rest = Vec::with_capacity(body.len() + 16);
    varint::push(body.len(), &mut rest);
    rest.extend_from_slice(&body);
    if let Some(miniature) = miniature {
        flags |= WITH_MINIATURE;
        rest.extend_from_slice(miniature);
    }
    let mut payload = vec![flags];
    varint::push(rest.len() + SUM_BYTES, &mut payload);
    payload.extend_from_slice(&rest);
    payload.extend_from_slice(&crc32(&payload).to_le_bytes());

    let mut link = format!("{version}.");
    text::push_base64(&payload, &mut link);
    link.push(END);
    if link.len() > MOST_CHARS {
        return Err(LinkError::TooLarge);
    }
    Ok(link)
}

/// Reads a link: its fragment, or the whole address, as it was pasted. Spaces, line breaks and
/// `%` escapes that crept in on the way are taken out first.
///
/// # Errors
/// One plain sentence for each way in which a link can be spoiled; see [`LinkError`].
pub fn decode(pasted: &str) -> Result<Decoded, LinkError> {
    let link = text::clean(pasted)?;
    let (version, rest) = link.split_once('.').ok_or(LinkError::NotALink)?;
    let version = match version.parse::<u32>() {
        Ok(version) if version > 0 && version.to_string().len() == link.len() - rest.len() - 1 => {
            version
        }
        _ => return Err(LinkError::NotALink),
    };
    if version > LINK_VERSION {
        return Err(LinkError::Newer { version, newest: LINK_VERSION });
    }
    decode_payload(version, rest)
}

/// Reads what follows the dot of a link.
fn decode_payload(version: u32, rest: &str) -> Result<Decoded, LinkError> {
    let (characters, ended) = match rest.strip_suffix(END) {
        Some(characters) => (characters, true),
        None => (rest, false),
    };
    if !ended || whole_length(characters).is_none_or(|whole| characters.len() < whole) {
        return Err(LinkError::CutOff);
    }
    let payload = text::base64_bytes(characters)?;
    let mut reader = payload.get(1..).ok_or(LinkError::CutOff)?;
    let length = varint::take(&mut reader).ok_or(LinkError::CutOff)?;
    let flags = payload[0];
    let (content, sum) =
        payload.split_last_chunk::<SUM_BYTES>().ok_or(LinkError::WrongCharacter)?;
    if reader.len() != length || length < SUM_BYTES || crc32(content) != u32::from_le_bytes(*sum) {
        return Err(LinkError::WrongCharacter);
    }
    // From here on the link came as somebody wrote it; what is wrong now was written wrongly.
    if flags & !(SQUEEZED | WITH_MINIATURE) != 0 {
        return Err(LinkError::Damaged);
    }
    reader = &reader[..length - SUM_BYTES];
    let plan_bytes = varint::take(&mut reader).ok_or(LinkError::Damaged)?;
    let (body, miniature) = reader.split_at_checked(plan_bytes).ok_or(LinkError::Damaged)?;
    let unsqueezed;
    let plain = if flags & SQUEEZED != 0 {
        let mut small = body;
        let length = varint::take(&mut small).ok_or(LinkError::Damaged)?;
        if length > MOST_PLAN_BYTES {
            return Err(LinkError::TooLarge);
        }
        unsqueezed = squeeze::unsqueezed(small, length, v1::PRIMER).ok_or(LinkError::Damaged)?;
        unsqueezed.as_slice()
    } else {
        body
    };
    let plan = match version {
        1 => v1::from_bytes(plain).and_then(|(plan, rest)| rest.is_empty().then_some(plan)),
        2 => v2::from_bytes(plain),
        _ => v3::from_bytes(plain),
    };
    let plan = plan.ok_or(LinkError::Damaged)?;
    check(&plan)?;
    let miniature = match (flags & WITH_MINIATURE != 0, miniature) {
        (true, miniature) if miniature.len() > MOST_MINIATURE_BYTES => {
            return Err(LinkError::TooLarge);
        }
        (true, miniature) => Some(miniature.to_vec()),
        (false, []) => None,
        (false, _) => return Err(LinkError::Damaged),
    };
    Ok(Decoded { plan, miniature })
}

/// Characters of base64 that a payload should have, from its first few; `None` when they end too
/// soon to tell. Wrong characters there give a wrong length, which the check sum finds.
fn whole_length(characters: &str) -> Option<usize> {
    let known = characters.len().min(8) / 4 * 4;
    let Some(Ok(start)) = characters.get(..known).map(text::base64_bytes) else { return Some(0) };
    let mut reader = start.get(1..)?;
    let length = varint::take(&mut reader)?;
    let bytes = start.len() - reader.len() + length;
    Some((bytes * 4).div_ceil(3))
}

/// Bytes that a miniature may take so that the plan's link has at most `most_chars` characters,
/// counting `address_chars` for the address before the fragment and its `#`. Zero when the plan
/// alone fills it.
///
/// # Errors
/// As [`encode`].
pub fn room_for_miniature(
    plan: &Plan,
    address_chars: usize,
    most_chars: usize,
) -> Result<usize, LinkError> {
    let alone = encode(plan, Some(&[]))?.chars().count();
    let free = most_chars.saturating_sub(alone + address_chars + 1);
    // Four characters carry three bytes; the length inside may grow by one byte.
    Ok((free * 3 / 4).saturating_sub(1).min(MOST_MINIATURE_BYTES))
}

/// Refuses a plan that can't be computed.
fn check(plan: &Plan) -> Result<(), LinkError> {
    let mut errors = plan.problems().into_iter().filter(|p| p.severity == Severity::Error);
    match errors.next() {
        None => Ok(()),
        Some(first) => {
            Err(LinkError::Absurd { problem: first.to_string(), others: errors.count() })
        }
    }
}

/// CRC-32 of ISO 3309 and IEEE 802.3 (reflected polynomial 0xEDB88320), bit by bit: links are too
/// short to deserve tables.
fn crc32(bytes: &[u8]) -> u32 {
    let mut sum = !0_u32;
    for byte in bytes {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            sum = (sum >> 1) ^ (0xEDB8_8320 & (sum & 1).wrapping_neg());
        }
    }
    !sum
}

#[cfg(test)]
mod tests {
    use super::crc32;

    #[test]
    fn the_check_sum_is_the_published_one() {
        // The customary check value of CRC-32, from memory; zlib gives the same.
        assert_eq!(crc32(b"123456789"), 0xCBF4_3926, "CRC-32 of 123456789");
        assert_eq!(crc32(b""), 0, "CRC-32 of nothing");
    }
}
