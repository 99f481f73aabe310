//! How likely each answer is, learnt from the values already coded.
//!
//! Several views of the neighbourhood, mixed as [`plan::compress`] mixes them.

use plan::compress::{Coder, Mixer, hash};

/// Neighbours looked at, as (columns, rows) from the pixel: W, N, NW, NE, WW, NN, NNE, NNW, NEE,
/// NWW.
const NEIGHBOURS: [(isize, isize); 10] =
    [(-1, 0), (0, -1), (-1, -1), (1, -1), (-2, 0), (0, -2), (1, -2), (-1, -2), (2, -1), (-2, -1)];
/// Which neighbours a view sees, as bits of [`NEIGHBOURS`].
const VIEWS: [u16; 6] = [
    0b00_0000_0011,
    0b00_0000_1011,
    0b00_0000_1111,
    0b00_0011_1011,
    0b00_0011_1111,
    0b11_1111_1111,
];
/// The last two views see only how neighbours differ from the one on the left, so that what is
/// learnt about one pair of values serves the others.
const RELATIVE: [u16; 2] = [0b00_0011_1111, 0b11_1111_1111];
const OPINIONS: usize = VIEWS.len() + RELATIVE.len();
/// Neighbours asked about by name before the other values: W, N, NE, NW.
const ASKED: [usize; 4] = [0, 1, 3, 2];
/// Questions a pixel can take: the four asked and then one for each other value.
const QUESTIONS: usize = 4 + 13;

/// Writes the values with a [`plan::compress::Encoder`], or fills them in from a
/// [`plan::compress::Decoder`]: row by row, `width` to a row, each 0 to `darkest`.
pub(super) fn code(values: &mut [u8], width: usize, darkest: u8, coder: &mut impl Coder) {
    let mut mixer = Mixer::<OPINIONS>::new(QUESTIONS);
    for at in 0..values.len() {
        let around = neighbours(values, width, at);
        mixer.look(seen(&around));
        values[at] = code_one(values[at], &around, darkest, &mut mixer, coder);
    }
}

/// The neighbours' values; beyond the edge the nearest known value goes on.
fn neighbours(values: &[u8], width: usize, at: usize) -> [u8; NEIGHBOURS.len()] {
    let (x, y) = (at % width, at / width);
    let mut around = [0; NEIGHBOURS.len()];
    for ((dx, dy), value) in NEIGHBOURS.iter().zip(&mut around) {
        let row = y.saturating_add_signed(*dy);
        let column = x.saturating_add_signed(*dx).min(width - 1);
        let place = row * width + column;
        *value = if place < at {
            values[place]
        } else if y > 0 {
            values[at - width]
        } else if x > 0 {
            values[at - 1]
        } else {
            0
        };
    }
    around
}

fn code_one(
    value: u8,
    around: &[u8],
    darkest: u8,
    mixer: &mut Mixer<OPINIONS>,
    coder: &mut impl Coder,
) -> u8 {
    // Values known not to be the one, as bits.
    let mut excluded = 0_u16;
    let mut left = u32::from(darkest) + 1;
    let mut ask = |candidate: u8, question: usize| -> bool {
        if excluded >> candidate & 1 == 1 {
            return false;
        }
        // The only one left needs no question.
        if left == 1 || mixer.ask(value == candidate, question as u32, question, coder) {
            return true;
        }
        excluded |= 1 << candidate;
        left -= 1;
        false
    };
    for (question, neighbour) in ASKED.iter().enumerate() {
        if ask(around[*neighbour], question) {
            return around[*neighbour];
        }
    }
    // The others, from the neighbours' middle outwards.
    let middle = (u16::from(around[0]) + u16::from(around[1])).div_ceil(2) as u8;
    let mut question = ASKED.len();
    for distance in 0..=darkest {
        let lighter = middle.checked_sub(distance);
        let darker = middle.checked_add(distance).filter(|v| *v <= darkest && distance > 0);
        for candidate in [lighter, darker].into_iter().flatten() {
            if ask(candidate, question) {
                return candidate;
            }
            question = (question + 1).min(QUESTIONS - 1);
        }
    }
    0
}

/// What each view sees at a pixel.
fn seen(around: &[u8; NEIGHBOURS.len()]) -> [u32; OPINIONS] {
    let mut all = [0; OPINIONS];
    let mut seen = all.iter_mut();
    for (view, seen) in VIEWS.iter().zip(&mut seen) {
        *seen = hash(
            around
                .iter()
                .enumerate()
                .map(|(i, value)| if view >> i & 1 == 1 { u32::from(*value) + 1 } else { 0 }),
        );
    }
    for (view, seen) in RELATIVE.iter().zip(&mut seen) {
        let own = i32::from(around[0]);
        *seen = hash(around.iter().enumerate().map(|(i, value)| {
            let apart = (i32::from(*value) - own).clamp(-2, 2) + 3;
            if view >> i & 1 == 1 { apart.unsigned_abs() } else { 0 }
        }));
    }
    all
}
