//! Why a link can't be opened, in one sentence each.

use thiserror::Error;

/// Why a link can't be opened or made.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum LinkError {
    /// Nothing was pasted, or an address without a fragment.
    #[error("There is no plan in this link: nothing follows the “#”.")]
    Empty,
    /// Text that doesn't begin like a link of ours.
    #[error("This is not a link to a plan; one begins with “1.” after the “#”.")]
    NotALink,
    /// Made by a later version of the page.
    #[error(
        "This link was made by a newer Platewright (link version {version}; this page reads up to {newest}): open it in the newer page."
    )]
    Newer {
        /// Version of the link.
        version: u32,
        /// Newest version read here.
        newest: u32,
    },
    /// Made by a trial version, from before links were settled.
    #[error(
        "This link was made by an early trial version of Platewright, before links were settled, and can’t be opened any more: ask for the plan as a file, or for a new link."
    )]
    Trial,
    /// It holds something that changes the print and that only later versions know.
    #[error(
        "This link holds choices that are newer than this page: open it in the newer Platewright."
    )]
    NewerPart,
    /// The end is missing.
    #[error("This link is cut off: its end is missing, so copy it again from beginning to end.")]
    CutOff,
    /// The check sum doesn't hold, or a character that no link has.
    #[error("A character of this link is wrong or missing: copy it again instead of typing it.")]
    WrongCharacter,
    /// The check sum holds, but what was written is no plan.
    #[error("This link came whole, but what is in it is not a plan: ask for it again.")]
    Damaged,
    /// Longer than any plan, packed or unpacked.
    #[error("This link is far longer than any plan: send the plan as a file instead.")]
    TooLarge,
    /// A plan, but with choices out of bounds.
    #[error("The plan in this link can't be used{}: {problem}", how_many_more(*others))]
    Absurd {
        /// The first problem, in the words of [`crate::Plan::problems`].
        problem: String,
        /// How many more there are.
        others: usize,
    },
    /// A lesson that is not yet whole, in the words of [`crate::lesson::SharedLesson::problem`].
    #[error("{0}")]
    Lesson(String),
    /// Too long for a QR code.
    #[error(
        "At {chars} characters this link is too long for a QR code that a phone reads well (at most {most}): shorten the notes, leave the picture out, or send the link or a file."
    )]
    TooLongForQr {
        /// Characters of the link.
        chars: usize,
        /// Most characters taken.
        most: usize,
    },
}

fn how_many_more(count: usize) -> String {
    match count {
        0 => String::new(),
        1 => " (one more thing is wrong with it)".to_owned(),
        _ => format!(" ({count} more things are wrong with it)"),
    }
}
