//! A teacher's lesson in a link: a section behind the plan's document, optional, so that a page that knows of
//! no lessons still opens the plan and says that something was left out.
//!
//! Its bytes: a varint, the length of what was compressed, and the compressed bytes. In these its entries
//! one after another, then sections for whatever lessons get later, named and skipped as those of plans.

use super::wire::{Passed, Wire, push_whole, take_length};
use super::{LinkError, PRIMER, sections};
use crate::compress;
use crate::lesson::{Paragraph, Question, SharedLesson};
use crate::strip::{Side, Strip};

/// Most bytes of a lesson before it was compressed: all that its limits let through, in letters of four.
const MOST_LESSON_BYTES: usize = 24_000;
/// Parts of a unit in which a range's ends are written; finer ones travel whole.
const PER_UNIT: u32 = 10_000;

/// A lesson's section.
pub(super) fn write(lesson: &SharedLesson) -> Result<Vec<u8>, LinkError> {
    let mut wire = Wire::Writing(Vec::new());
    pass(&mut wire, &mut lesson.clone())?;
    let Wire::Writing(plain) = wire else { return Err(LinkError::Damaged) };
    if plain.len() > MOST_LESSON_BYTES {
        return Err(LinkError::TooLarge);
    }
    let mut out = Vec::new();
    push_whole(plain.len() as u64, &mut out);
    out.extend(compress::compressed(&plain, PRIMER));
    Ok(out)
}

/// The lesson in a section, unchecked, and whether it holds something that is not known.
pub(super) fn read(mut bytes: &[u8]) -> Result<(SharedLesson, bool), LinkError> {
    let length = take_length(&mut bytes).ok_or(LinkError::Damaged)?;
    if length > MOST_LESSON_BYTES {
        return Err(LinkError::TooLarge);
    }
    let plain = compress::decompressed(bytes, length, PRIMER).ok_or(LinkError::Damaged)?;
    let mut wire = Wire::Reading(&plain);
    let mut lesson = blank();
    pass(&mut wire, &mut lesson)?;
    let Wire::Reading(mut rest) = wire else { return Err(LinkError::Damaged) };
    let left_out = !rest.is_empty();
    while !rest.is_empty() {
        let (_, optional, _) = sections::take(&mut rest).ok_or(LinkError::Damaged)?;
        if !optional {
            return Err(LinkError::NewerPart);
        }
    }
    Ok((lesson, left_out))
}

fn blank() -> SharedLesson {
    SharedLesson {
        title: String::new(),
        paragraphs: Vec::new(),
        question: Question::default(),
        strip: Strip { along: blank_side(), down: None, value: None, minutes: 0.0 },
        shares: Vec::new(),
    }
}

fn blank_side() -> Side {
    Side { key: String::new(), from: 0.0, to: 0.0, count: 0 }
}

fn pass(wire: &mut Wire, lesson: &mut SharedLesson) -> Passed {
    wire.text(&mut lesson.title)?;
    wire.list(&mut lesson.paragraphs, Paragraph::default, |wire, one| {
        wire.text(&mut one.words)?;
        place(wire, &mut one.at)
    })?;
    let Question { ask, options, right, because, at } = &mut lesson.question;
    wire.text(ask)?;
    wire.list(options, String::new, Wire::text)?;
    place(wire, right)?;
    wire.text(because)?;
    place(wire, at)?;
    let Strip { along, down, value, minutes } = &mut lesson.strip;
    side(wire, along)?;
    // A list of one or none.
    let mut downs: Vec<Side> = down.take().into_iter().collect();
    wire.list(&mut downs, blank_side, side)?;
    *down = downs.pop();
    if !downs.is_empty() {
        return Err(LinkError::Damaged);
    }
    // Nothing for one bite of so many minutes.
    let mut number = value.unwrap_or(0);
    place(wire, &mut number)?;
    *value = (number > 0).then_some(number);
    wire.number(4, minutes)?;
    wire.list(&mut lesson.shares, || 0.0, |wire, share| wire.number(PER_UNIT, share))
}

fn side(wire: &mut Wire, side: &mut Side) -> Passed {
    wire.text(&mut side.key)?;
    wire.number(PER_UNIT, &mut side.from)?;
    wire.number(PER_UNIT, &mut side.to)?;
    place(wire, &mut side.count)
}

/// A whole number of few bits.
fn place(wire: &mut Wire, place: &mut usize) -> Passed {
    let mut short = *place as u32;
    wire.short(&mut short)?;
    *place = short as usize;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::super::{Decoded, ENTRIES, LinkError, SECTIONS, decode, encode_with, sections};
    use super::*;
    use crate::Plan;
    use crate::lesson::example;

    /// The example's link with more behind the entries of its lesson.
    fn with_more(more: &[u8]) -> String {
        let mut wire = Wire::Writing(Vec::new());
        pass(&mut wire, &mut example()).expect("an example");
        let Wire::Writing(mut plain) = wire else { panic!("it was written") };
        plain.extend_from_slice(more);
        let mut bytes = Vec::new();
        push_whole(plain.len() as u64, &mut bytes);
        bytes.extend(compress::compressed(&plain, PRIMER));
        encode_with(ENTRIES, SECTIONS, &Plan::default(), None, Some(&bytes)).expect("a link")
    }

    #[test]
    fn what_a_later_page_adds_to_a_lesson_is_left_out_or_refuses_it() {
        let mut more = Vec::new();
        sections::push(1, true, b"a second question", &mut more);
        let Decoded { lesson, left_out, .. } = decode(&with_more(&more)).expect("it opens");
        assert_eq!((lesson, left_out), (Some(example()), true), "left out, and told");
        more.clear();
        sections::push(1, false, b"another kind of strip", &mut more);
        assert_eq!(decode(&with_more(&more)), Err(LinkError::NewerPart), "refused as newer");
        assert_eq!(decode(&with_more(&[9])), Err(LinkError::Damaged), "no section");
    }

    #[test]
    fn a_lesson_that_was_written_wrongly_is_no_lesson() {
        let mut wrong = example();
        wrong.question.right = 9;
        let bytes = write(&wrong).expect("bytes");
        let link = encode_with(ENTRIES, SECTIONS, &Plan::default(), None, Some(&bytes));
        assert_eq!(decode(&link.expect("a link")), Err(LinkError::Damaged), "no such answer");
    }
}
