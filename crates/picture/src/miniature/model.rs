//! How likely each answer is, learnt from the values already coded.
//!
//! Several views of the neighbourhood each keep, for every pattern met so far, how often a question
//! was answered "yes". Their opinions are mixed in the logistic domain by weights that learn which
//! view to trust (Mahoney 2005, "Adaptive weighing of context models for lossless data
//! compression"). Everything in whole numbers.

use super::coder::Coder;

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

/// Patterns kept per view, as a power of two.
const PATTERN_BITS: u32 = 15;
/// A count beyond which a pattern's opinion changes at a steady pace.
const STEADY_COUNT: u32 = 60;
/// Weight of each opinion at first, in 65536ths.
const FIRST_WEIGHT: i32 = 65_536 * 22 / 100;
/// Pace at which the weights learn.
const PACE: i32 = 8;

/// Writes the values with an [`super::coder::Encoder`], or fills them in from a
/// [`super::coder::Decoder`]: row by row, `width` to a row, each 0 to `darkest`.
pub(super) fn code(values: &mut [u8], width: usize, darkest: u8, coder: &mut impl Coder) {
    let mut mixer = Mixer::new();
    for at in 0..values.len() {
        let around = neighbours(values, width, at);
        mixer.look(&around);
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
    mixer: &mut Mixer,
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
        if left == 1 || mixer.ask(value == candidate, question, coder) {
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

/// How often a pattern was answered "yes", in 65536ths, and how often it was met.
#[derive(Clone, Copy)]
struct Opinion {
    likely: u16,
    count: u16,
}

struct Mixer {
    opinions: Vec<Opinion>,
    weights: [[i32; OPINIONS]; QUESTIONS],
    /// What each view sees at this pixel.
    seen: [u32; OPINIONS],
    logistic: Logistic,
}

impl Mixer {
    fn new() -> Self {
        let blank = Opinion { likely: 1 << 15, count: 0 };
        Self {
            opinions: vec![blank; OPINIONS << PATTERN_BITS],
            weights: [[FIRST_WEIGHT; OPINIONS]; QUESTIONS],
            seen: [0; OPINIONS],
            logistic: Logistic::new(),
        }
    }

    fn look(&mut self, around: &[u8; NEIGHBOURS.len()]) {
        let mut seen = self.seen.iter_mut();
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
    }

    fn ask(&mut self, answer: bool, question: usize, coder: &mut impl Coder) -> bool {
        let mut slots = [0; OPINIONS];
        let mut stretched = [0; OPINIONS];
        let weights = &mut self.weights[question];
        let mut sum = 0_i64;
        for i in 0..OPINIONS {
            let pattern = hash([self.seen[i], question as u32].into_iter());
            slots[i] = (i << PATTERN_BITS) + (pattern >> (32 - PATTERN_BITS)) as usize;
            stretched[i] = self.logistic.stretch(self.opinions[slots[i]].likely);
            sum += i64::from(weights[i]) * i64::from(stretched[i]);
        }
        let likely = self.logistic.squash((sum >> 16) as i32);
        let answer = coder.code(answer, likely * 16);

        let error = (if answer { 4095 } else { 0 }) - likely as i32;
        for i in 0..OPINIONS {
            let step = (stretched[i] * error * PACE + (1 << 13)) >> 14;
            weights[i] = (weights[i] + step).clamp(-(1 << 20), 1 << 20);
            let opinion = &mut self.opinions[slots[i]];
            let target = if answer { 65_535 - 16 } else { 16 };
            let pace = i32::from(opinion.count) * 2 + 4;
            let moved = i32::from(opinion.likely) + (target - i32::from(opinion.likely)) * 2 / pace;
            opinion.likely = moved as u16;
            opinion.count = (u32::from(opinion.count) + 1).min(STEADY_COUNT) as u16;
        }
        answer
    }
}

/// Scatters a few small numbers over 32 bits: FNV-1a over words, then multiplied by the golden
/// ratio's bits.
fn hash(numbers: impl Iterator<Item = u32>) -> u32 {
    let folded = numbers.fold(0x811c_9dc5_u32, |h, number| (h ^ number).wrapping_mul(0x0100_0193));
    (folded ^ folded >> 15).wrapping_mul(0x9e37_79b1)
}

/// Likelihood to logit and back, on whole numbers: a logit of 1 is 256, likelihoods are 4096ths.
struct Logistic {
    stretched: Vec<i16>,
}

impl Logistic {
    /// `4096 / (1 + exp(-x))` for x = -8, -7.5, … 8, rounded and kept within 1 to 4095.
    const SQUASHED: [i32; 33] = [
        1, 2, 4, 6, 10, 17, 27, 45, 74, 120, 194, 311, 488, 747, 1102, 1546, 2048, 2550, 2994,
        3349, 3608, 3785, 3902, 3976, 4022, 4051, 4069, 4079, 4086, 4090, 4092, 4094, 4095,
    ];

    fn new() -> Self {
        let squash = |logit: i32| squash(&Self::SQUASHED, logit);
        let mut stretched = Vec::with_capacity(4096);
        let mut logit = -2048;
        for likely in 0..4096 {
            while logit < 2047 && squash(logit) < likely {
                logit += 1;
            }
            stretched.push(logit as i16);
        }
        Self { stretched }
    }

    fn stretch(&self, likely: u16) -> i32 {
        i32::from(self.stretched[usize::from(likely >> 4)])
    }

    /// In 4096ths, 1 to 4095.
    fn squash(&self, logit: i32) -> u32 {
        squash(&Self::SQUASHED, logit).unsigned_abs()
    }
}

/// Interpolates the table.
fn squash(table: &[i32; 33], logit: i32) -> i32 {
    let along = logit.clamp(-2047, 2047) + 2048;
    let (index, part) = ((along / 128) as usize, along % 128);
    (table[index] * (128 - part) + table[index + 1] * part + 64) / 128
}
