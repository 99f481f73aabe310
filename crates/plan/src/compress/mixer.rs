//! How likely each answer is, learnt from the answers before.
//!
//! Several views each keep, for every pattern met so far, how often a question was answered "yes".
//! Their opinions are mixed in the logistic domain by weights that learn which view to trust
//! (Mahoney 2005, "Adaptive weighing of context models for lossless data compression"). Everything
//! in whole numbers.

use super::coder::Coder;

/// Patterns kept per view, as a power of two.
const PATTERN_BITS: u32 = 15;
/// A count beyond which a pattern's opinion changes at a steady pace.
const STEADY_COUNT: u32 = 60;
/// Weights of all opinions together at first, in 65536ths.
const FIRST_WEIGHTS: i32 = 65_536 * 176 / 100;
/// Pace at which the weights learn.
const PACE: i32 = 8;

/// How often a pattern was answered "yes", in 65536ths, and how often it was met.
#[derive(Clone, Copy)]
struct Opinion {
    likely: u16,
    count: u16,
}

/// Mixes the opinions of `VIEWS` views of what has gone before into one likelihood, and learns from
/// each answer.
pub struct Mixer<const VIEWS: usize> {
    opinions: Vec<Opinion>,
    weights: Vec<[i32; VIEWS]>,
    /// What each view sees now.
    seen: [u32; VIEWS],
    logistic: Logistic,
}

impl<const VIEWS: usize> Mixer<VIEWS> {
    /// Knows nothing yet. Each of `trusts` sets of weights learns by itself which views to trust.
    #[must_use]
    pub fn new(trusts: usize) -> Self {
        let blank = Opinion { likely: 1 << 15, count: 0 };
        Self {
            opinions: vec![blank; VIEWS << PATTERN_BITS],
            weights: vec![[FIRST_WEIGHTS / VIEWS as i32; VIEWS]; trusts],
            seen: [0; VIEWS],
            logistic: Logistic::new(),
        }
    }

    /// What each view sees from now on, as a [`hash`].
    pub fn look(&mut self, seen: [u32; VIEWS]) {
        self.seen = seen;
    }

    /// Codes the answer to one question about what is seen, weighing by the set `trust`.
    pub fn ask(
        &mut self,
        answer: bool,
        question: u32,
        trust: usize,
        coder: &mut impl Coder,
    ) -> bool {
        let mut slots = [0; VIEWS];
        let mut stretched = [0; VIEWS];
        let weights = &mut self.weights[trust];
        let mut sum = 0_i64;
        for i in 0..VIEWS {
            let pattern = hash([self.seen[i], question].into_iter());
            slots[i] = (i << PATTERN_BITS) + (pattern >> (32 - PATTERN_BITS)) as usize;
            stretched[i] = self.logistic.stretch(self.opinions[slots[i]].likely);
            sum += i64::from(weights[i]) * i64::from(stretched[i]);
        }
        let likely = self.logistic.squash((sum >> 16) as i32);
        let answer = coder.code(answer, likely * 16);

        let error = (if answer { 4095 } else { 0 }) - likely as i32;
        for i in 0..VIEWS {
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
#[must_use]
pub fn hash(numbers: impl Iterator<Item = u32>) -> u32 {
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
