//! Links: a whole plan in the fragment of an address, where no server sees it.
//!
//! # The text
//! `1.` + payload in base64url (RFC 4648 §5, unpadded) + the letter `p`.
//!
//! * The number before the dot is the **link version**. It stands outside the payload, so that an
//!   older page can say "this link is newer than I am" without understanding anything else. 2 and 3
//!   stood before links of trial versions: the next is 4.
//! * The last letter is always the same and always a letter: chat programs that drop a trailing
//!   `-`, `_` or full stop do no harm, and its absence tells a link that was cut off.
//!
//! # The payload
//! | bytes | what |
//! |---|---|
//! | 1 | 16, or 17 when the document is compressed ([`crate::compress`], with [`PRIMER`]) |
//! | varint | length of everything after this number, check sum included |
//! | varint | length of the document as it travels |
//! | … | the document. Compressed, if that is shorter: a varint, its length before; then the compressed bytes |
//! | … | sections that are compressed already, both optional: number 1 is the miniature (a small value map; see the `picture` crate), number 2 a lesson (`link/lesson.rs`) |
//! | 4 | CRC-32 (IEEE 802.3, as in zip and PNG) of all bytes before it, little end first |
//!
//! The check sum covers the bytes *as they travel*: a CRC-32 finds every change within 32
//! neighbouring bits for certain, so no single wrong character can pass; and nothing is
//! read before it holds.
//!
//! # The document
//! The model that the plan was made with ([`crate::MODEL`]), a varint; the entries that each plan has
//! (`link/entries.rs`), as far as they are not what a link stands for that says nothing; and sections for
//! what most plans have not (`link/sections.rs`). A section is its name (a varint: twice its number, and 1
//! more where it is optional), its length (a varint) and its bytes, in the order of the numbers.
//!
//! # How it grows
//! A new number or choice is a line at the end of `ENTRIES`, anything larger an item at the end of
//! `SECTIONS`. Either is written only where a plan has it, and then an older page says so: a section that is
//! optional is left out with a sentence, anything else refuses the link as newer. The version before the
//! dot changes only if all of this must.
//!
//! Whatever was once written must be read for ever. The golden links in `tests/links` see to that.

mod entries;
mod error;
mod lesson;
mod qr;
mod sections;
mod text;
mod wire;

pub use error::LinkError;
pub use qr::{QR_MOST_CHARS, Qr, qr};

use crate::compress;
use crate::diagnostic::Severity;
use crate::lesson::SharedLesson;
use crate::types::{PictureSource, Plan};
use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use crc::{CRC_32_ISO_HDLC, Crc, Table};
use entries::{ENTRIES, Entry};
use sections::{SECTIONS, Section};
use wire::{Wire, push_whole, take_length};

/// The newest link version.
pub const LINK_VERSION: u32 = 1;
/// Versions that trial versions wrote, beside a first one: never used again.
const TRIAL_VERSIONS: std::ops::RangeInclusive<u32> = 2..=3;
/// Most characters a link may have: what Firefox still keeps in its history
/// (`URL_LENGTH_MAX`, 65,536) less an address of a thousand characters.
pub const MOST_CHARS: usize = 64_536;
/// Length, in characters with the address, above which some chat programs cut a message.
pub const CHAT_CHARS: usize = 2_000;
/// Most bytes of a document before it was compressed: notes of 4000 four-byte characters and four times as
/// much of everything else.
const MOST_DOCUMENT_BYTES: usize = 64_000;
/// Most bytes of a miniature.
const MOST_MINIATURE_BYTES: usize = 16_000;
/// The letter that ends every link.
const END: char = 'p';
/// First byte of a payload whose document travels as it is.
const PLAIN: u8 = 16;
/// First byte of a payload whose document is compressed.
const COMPRESSED: u8 = 17;
/// First bytes of links of trial versions.
const TRIAL_HEADS: std::ops::RangeInclusive<u8> = 0..=3;
/// The number of the miniature's section.
const MINIATURE: usize = 1;
/// The number of a lesson's section.
const LESSON: usize = 2;
/// The check sum.
const CRC: Crc<u32, Table<1>> = Crc::<u32, Table<1>>::new(&CRC_32_ISO_HDLC);
/// Its bytes.
const SUM_BYTES: usize = 4;

/// What the compressor has read before a document: words that notes are made of, then a document much
/// like others. Never changes.
pub const PRIMER: &[u8] = b"Harbour at dusk, second proof: the sky is too dark, so stop out the \
clouds after the first bite and leave the water and the light on the quay. Wait thirty seconds, then dust for two \
minutes. Bake it on the hot plate until the grain is clear and shining, with paper between. Bath is fresh, rocked \
gently; old bath bites slowly when it is cold. Rinse, dry, varnish the highlights, the figures and the edges. Print on damp \
paper, hand wipe, softer tarlatan, a little oil in the ink, warm the plate. Blacks need one more bite of four minutes. \
For the class: coarse ground, five values, test strip, deep bite, foul biting, burnish and scrape the lighter tones. \
\x01\xa0\x80\xe8\xb7\x10\xb0\t\x05Hills\x03\thills.jpg\x80\xd3\x0e\x00\xe0\xc6[\x80\x89z\x08\x04\
\x08\x10\x18 (0@\x08\xc4\x0e\x90\r\xdc\x0b\xa8\n\xf4\x08\xc0\x07\x8c\x06\xd8\x04\xe0\x12\x80\x19\
\x00\x06\x12\x01\x00\x01\x01\x03<P\x04\xa0\x06\xe8\x07\x14\n\x18\n\x10\x10\r\x14\xb8\x17\xa0\x1f\
\xaa\xa2\x9a\x92\x8a\x82zrjbZRJB:2";

/// What a link holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Decoded {
    /// The plan; it has passed [`Plan::problems`].
    pub plan: Plan,
    /// The picture's value map as the `picture` crate coded it. It may still turn out damaged
    /// there: the plan stands without it.
    pub miniature: Option<Vec<u8>>,
    /// A lesson on this plan; it has passed [`SharedLesson::problem`].
    pub lesson: Option<SharedLesson>,
    /// The link holds something that this program is too old to know. It was left out; the plan prints
    /// as it was meant without it.
    pub left_out: bool,
}

impl Decoded {
    /// What is to be said of a part of the link that could not be used. Of its model
    /// [`Plan::other_model`] speaks.
    #[must_use]
    pub fn said(&self) -> Option<String> {
        self.left_out.then(|| {
            "This link also holds something that only a newer Platewright knows. It was left out; the rest of the plan is whole.".to_owned()
        })
    }
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
    encode_with(ENTRIES, SECTIONS, &plan, miniature, None)
}

/// The link of a plan with a lesson on it, in the place of one that it may hold already.
///
/// # Errors
/// [`LinkError::Lesson`] for a lesson that is not yet whole, and those of [`decode`] and [`encode`].
pub fn with_lesson(link: &str, lesson: &SharedLesson) -> Result<String, LinkError> {
    let Decoded { plan, miniature, .. } = decode(link)?;
    if let Some(problem) = lesson.problem(&plan) {
        return Err(LinkError::Lesson(problem));
    }
    encode_with(ENTRIES, SECTIONS, &plan, miniature.as_deref(), Some(&lesson::write(lesson)?))
}

/// The same with these entries and sections.
fn encode_with(
    entries: &[Entry],
    sections: &[Section],
    plan: &Plan,
    miniature: Option<&[u8]>,
    lesson: Option<&[u8]>,
) -> Result<String, LinkError> {
    let plain = document(entries, sections, plan)?;
    if plain.len() > MOST_DOCUMENT_BYTES
        || miniature.is_some_and(|m| m.len() > MOST_MINIATURE_BYTES)
    {
        return Err(LinkError::TooLarge);
    }
    let mut small = Vec::new();
    push_whole(plain.len() as u64, &mut small);
    small.extend(compress::compressed(&plain, PRIMER));
    let (head, body) = if small.len() < plain.len() { (COMPRESSED, small) } else { (PLAIN, plain) };
    let mut rest = Vec::with_capacity(body.len() + 16);
    push_whole(body.len() as u64, &mut rest);
    rest.extend_from_slice(&body);
    if let Some(miniature) = miniature {
        sections::push(MINIATURE, true, miniature, &mut rest);
    }
    if let Some(lesson) = lesson {
        sections::push(LESSON, true, lesson, &mut rest);
    }
    let mut payload = vec![head];
    push_whole((rest.len() + SUM_BYTES) as u64, &mut payload);
    payload.extend_from_slice(&rest);
    payload.extend_from_slice(&CRC.checksum(&payload).to_le_bytes());

    let mut link = format!("{LINK_VERSION}.");
    BASE64_URL_SAFE_NO_PAD.encode_string(&payload, &mut link);
    link.push(END);
    if link.len() > MOST_CHARS {
        return Err(LinkError::TooLarge);
    }
    Ok(link)
}

/// A plan's document.
fn document(entries: &[Entry], sections: &[Section], plan: &Plan) -> Result<Vec<u8>, LinkError> {
    let mut plan = plan.clone();
    let mut wire = Wire::Writing(Vec::new());
    wire.short(&mut plan.model)?;
    entries::pass(&mut wire, entries, &mut plan, &entries::blank(entries))?;
    let Wire::Writing(mut out) = wire else { return Err(LinkError::Damaged) };
    sections::write(sections, &plan, &mut out)?;
    Ok(out)
}

/// The plan of a document, unchecked, and whether something in it is not known.
fn read_document(
    entries: &[Entry],
    sections: &[Section],
    bytes: &[u8],
) -> Result<(Plan, bool), LinkError> {
    let blank = entries::blank(entries);
    let mut plan = blank.clone();
    let mut wire = Wire::Reading(bytes);
    wire.short(&mut plan.model)?;
    entries::pass(&mut wire, entries, &mut plan, &blank)?;
    let Wire::Reading(rest) = wire else { return Err(LinkError::Damaged) };
    let unknown = sections::read(sections, rest, &mut plan)?;
    Ok((plan, unknown > 0))
}

/// Reads a link: its fragment, or the whole address, as it was pasted. Spaces, line breaks and
/// `%` escapes that crept in on the way are taken out first.
///
/// # Errors
/// One plain sentence for each way in which a link can be spoiled; see [`LinkError`].
pub fn decode(pasted: &str) -> Result<Decoded, LinkError> {
    decode_with(ENTRIES, SECTIONS, pasted)
}

/// The same with these entries and sections.
fn decode_with(
    entries: &[Entry],
    sections: &[Section],
    pasted: &str,
) -> Result<Decoded, LinkError> {
    let link = text::clean(pasted)?;
    let (version, rest) = link.split_once('.').ok_or(LinkError::NotALink)?;
    let version = match version.parse::<u32>() {
        Ok(version) if version > 0 && version.to_string().len() == link.len() - rest.len() - 1 => {
            version
        }
        _ => return Err(LinkError::NotALink),
    };
    if TRIAL_VERSIONS.contains(&version) {
        return Err(LinkError::Trial);
    }
    if version > LINK_VERSION {
        return Err(LinkError::Newer { version, newest: LINK_VERSION });
    }
    let payload = payload(rest)?;
    // From here on the link came as somebody wrote it; what is wrong now was written wrongly.
    let compressed = match payload[0] {
        PLAIN => false,
        COMPRESSED => true,
        head if TRIAL_HEADS.contains(&head) => return Err(LinkError::Trial),
        _ => return Err(LinkError::NewerPart),
    };
    let mut reader = &payload[1..payload.len() - SUM_BYTES];
    take_length(&mut reader).ok_or(LinkError::Damaged)?;
    let length = take_length(&mut reader).ok_or(LinkError::Damaged)?;
    let (body, mut packed) = reader.split_at_checked(length).ok_or(LinkError::Damaged)?;
    let plain;
    let document = if compressed {
        let mut small = body;
        let length = take_length(&mut small).ok_or(LinkError::Damaged)?;
        if length > MOST_DOCUMENT_BYTES {
            return Err(LinkError::TooLarge);
        }
        plain = compress::decompressed(small, length, PRIMER).ok_or(LinkError::Damaged)?;
        plain.as_slice()
    } else {
        body
    };
    let (plan, mut left_out) = read_document(entries, sections, document)?;
    check(&plan)?;
    let (mut miniature, mut found) = (None, None);
    while !packed.is_empty() {
        match sections::take(&mut packed).ok_or(LinkError::Damaged)? {
            (MINIATURE, _, _) if miniature.is_some() => return Err(LinkError::Damaged),
            (MINIATURE, _, bytes) if bytes.len() > MOST_MINIATURE_BYTES => {
                return Err(LinkError::TooLarge);
            }
            (MINIATURE, _, bytes) => miniature = Some(bytes.to_vec()),
            (LESSON, _, _) if found.is_some() => return Err(LinkError::Damaged),
            (LESSON, _, bytes) => {
                let (lesson, more) = lesson::read(bytes)?;
                if lesson.problem(&plan).is_some() {
                    return Err(LinkError::Damaged);
                }
                left_out |= more;
                found = Some(lesson);
            }
            (_, true, _) => left_out = true,
            (_, false, _) => return Err(LinkError::NewerPart),
        }
    }
    Ok(Decoded { plan, miniature, lesson: found, left_out })
}

/// All bytes of a link that came whole, from what follows its dot.
fn payload(rest: &str) -> Result<Vec<u8>, LinkError> {
    let (characters, ended) = match rest.strip_suffix(END) {
        Some(characters) => (characters, true),
        None => (rest, false),
    };
    if !ended || whole_length(characters).is_none_or(|whole| characters.len() < whole) {
        return Err(LinkError::CutOff);
    }
    let payload = base64_bytes(characters)?;
    let mut reader = payload.get(1..).ok_or(LinkError::CutOff)?;
    let length = take_length(&mut reader).ok_or(LinkError::CutOff)?;
    let (content, sum) =
        payload.split_last_chunk::<SUM_BYTES>().ok_or(LinkError::WrongCharacter)?;
    if reader.len() != length
        || length < SUM_BYTES
        || CRC.checksum(content) != u32::from_le_bytes(*sum)
    {
        return Err(LinkError::WrongCharacter);
    }
    Ok(payload)
}

/// Bytes of base64url without padding. Bits left over at the end must be zero, so that no two texts
/// stand for the same bytes.
fn base64_bytes(characters: &str) -> Result<Vec<u8>, LinkError> {
    BASE64_URL_SAFE_NO_PAD.decode(characters).map_err(|_| LinkError::WrongCharacter)
}

/// Characters of base64 that a payload should have, from its first few; `None` when they end too
/// soon to tell. Wrong characters there give a wrong length, which the check sum finds.
fn whole_length(characters: &str) -> Option<usize> {
    let known = characters.len().min(8) / 4 * 4;
    let Some(Ok(start)) = characters.get(..known).map(base64_bytes) else { return Some(0) };
    let mut reader = start.get(1..)?;
    let length = take_length(&mut reader)?;
    let bytes = (start.len() - reader.len()).checked_add(length)?;
    Some(bytes.checked_mul(4)?.div_ceil(3))
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
    // Four characters carry three bytes; the two lengths before it may grow by three in all.
    Ok((free * 3 / 4).saturating_sub(3).min(MOST_MINIATURE_BYTES))
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

#[cfg(test)]
mod tests {
    use super::*;

    /// A section that a later page might have; it keeps its tone in the calibration.
    const LATER: Section = Section {
        number: 40,
        optional: true,
        there: |plan| plan.calibration.contains_key("tone"),
        pass: |wire, plan| wire.number(100, plan.calibration.entry("tone".to_owned()).or_default()),
    };

    /// The sections there are, less the calibration, and one more.
    fn with(later: Section) -> Vec<Section> {
        SECTIONS.iter().copied().filter(|section| section.number != 5).chain([later]).collect()
    }

    fn toned() -> Plan {
        let calibration = [("tone".to_owned(), 0.25)].into();
        Plan { title: "with a tone curve".to_owned(), calibration, ..Plan::default() }
    }

    fn untoned() -> Plan {
        Plan { calibration: Default::default(), ..toned() }
    }

    #[test]
    fn an_optional_section_of_a_newer_page_is_left_out_with_a_sentence() {
        let sections = with(LATER);
        for miniature in [None, Some([9_u8; 30].as_slice())] {
            let link = encode_with(ENTRIES, &sections, &toned(), miniature, None).expect("a link");
            let there = decode_with(ENTRIES, &sections, &link).expect("the newer page opens it");
            assert_eq!((there.plan, there.left_out), (toned(), false), "on the newer page");
            let here = decode(&link).expect("this page opens it too");
            assert_eq!(here.plan, untoned(), "without what it doesn't know");
            assert_eq!(here.miniature.as_deref(), miniature, "the miniature behind it");
            let said = here.said().expect("a sentence");
            assert!(said.contains("only a newer Platewright knows"), "{said}");
        }
        let plain = encode_with(ENTRIES, &sections, &untoned(), None, None);
        assert_eq!(plain, encode(&untoned(), None), "a plan without it is a link as before");
        let before = decode_with(ENTRIES, &sections, &encode(&untoned(), None).expect("a link"));
        assert_eq!(before.map(|back| back.plan), Ok(untoned()), "old links open there");
    }

    #[test]
    fn a_required_section_of_a_newer_page_refuses_the_link() {
        let sections = with(Section { optional: false, ..LATER });
        let link = encode_with(ENTRIES, &sections, &toned(), None, None).expect("a link");
        assert_eq!(decode(&link), Err(LinkError::NewerPart), "a plan that would print otherwise");
        let words = LinkError::NewerPart.to_string();
        assert!(words.contains("newer than this page"), "{words}");
    }

    #[test]
    fn the_primer_ends_with_a_document() {
        let at = PRIMER.windows(2).rposition(|two| two == b". ").expect("the end of the words") + 2;
        let (plan, left_out) = read_document(ENTRIES, SECTIONS, &PRIMER[at..]).expect("a plan");
        assert_eq!((plan.problems(), left_out), (Vec::new(), false), "a sound one, known whole");
        assert!(plan.states.len() == 1 && !plan.picture.made_for.is_empty(), "much like others");
    }

    #[test]
    fn sections_stand_in_order_and_once() {
        let mut numbers = SECTIONS.iter().map(|section| section.number);
        assert!(numbers.clone().is_sorted_by(|a, b| a < b), "sections in order");
        assert_eq!(numbers.next(), Some(1), "from one on");
        let mut bytes = Vec::new();
        sections::push(40, true, &[1], &mut bytes);
        let mut plan = Plan::default();
        assert_eq!(sections::read(SECTIONS, &bytes, &mut plan), Ok(1), "one not known");
        sections::push(40, true, &[1], &mut bytes);
        let twice = sections::read(SECTIONS, &bytes, &mut plan);
        assert_eq!(twice, Err(LinkError::Damaged), "the same twice");
    }

    #[test]
    fn the_check_sum_is_the_published_one() {
        // The customary check value of CRC-32, from memory; zlib gives the same.
        assert_eq!(CRC.checksum(b"123456789"), 0xCBF4_3926, "CRC-32 of 123456789");
        assert_eq!(CRC.checksum(b""), 0, "CRC-32 of nothing");
    }

    #[test]
    fn base64_is_that_of_rfc_4648() {
        // RFC 4648 §10, without its padding; the last line shows the two characters of §5.
        let vectors: [(&[u8], &str); 8] = [
            (b"", ""),
            (b"f", "Zg"),
            (b"fo", "Zm8"),
            (b"foo", "Zm9v"),
            (b"foob", "Zm9vYg"),
            (b"fooba", "Zm9vYmE"),
            (b"foobar", "Zm9vYmFy"),
            (&[0xfb, 0xff], "-_8"),
        ];
        for (bytes, text) in vectors {
            assert_eq!(BASE64_URL_SAFE_NO_PAD.encode(bytes), text, "writing {bytes:?}");
            assert_eq!(base64_bytes(text).as_deref(), Ok(bytes), "reading {text}");
        }
        for bad in ["Z", "Zh", "Zm9", "Zm9v!", "Zm9vY", "Zm9+", "Zm9/", "Zg=="] {
            assert!(base64_bytes(bad).is_err(), "{bad} was read");
        }
    }
}
