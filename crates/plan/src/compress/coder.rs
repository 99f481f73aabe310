//! Binary arithmetic coding: answers to yes-or-no questions, each at the cost that its likelihood
//! deserves.
//!
//! The code is a number in an interval that each answer narrows in proportion to its likelihood
//! (Rissanen and Langdon 1979); leading bytes are written as soon as they are settled.

/// Bits of a likelihood: 1 to 65535 of 65536.
const LIKELIHOOD_BITS: u32 = 16;
/// Bytes of the number that ends the code. Zeros at its end are left off.
const LAST_BYTES: usize = 4;

/// Writes or reads the answer to one question after another.
pub trait Coder {
    /// The answer, given how likely "yes" is in 65536ths (1 to 65535). A writer is told it and
    /// gives it back; a reader ignores what it is told.
    fn code(&mut self, answer: bool, likely: u32) -> bool;
}

/// The interval still possible, both ends included.
struct Interval {
    low: u32,
    high: u32,
}

impl Interval {
    const WHOLE: Self = Self { low: 0, high: u32::MAX };

    /// Last number that means "yes".
    fn border(&self, likely: u32) -> u32 {
        let width = u64::from(self.high - self.low);
        self.low + ((width * u64::from(likely)) >> LIKELIHOOD_BITS) as u32
    }

    fn narrow(&mut self, answer: bool, border: u32) {
        if answer {
            self.high = border;
        } else {
            self.low = border + 1;
        }
    }

    /// Takes off the leading byte if it is settled.
    fn settled(&mut self) -> Option<u8> {
        if (self.low ^ self.high) >> 24 != 0 {
            return None;
        }
        let byte = (self.low >> 24) as u8;
        self.low <<= 8;
        self.high = self.high << 8 | 0xff;
        Some(byte)
    }
}

/// Writes answers.
pub struct Encoder<'a> {
    interval: Interval,
    out: &'a mut Vec<u8>,
}

impl<'a> Encoder<'a> {
    /// An encoder that appends to `out`.
    #[must_use]
    pub fn new(out: &'a mut Vec<u8>) -> Self {
        Self { interval: Interval::WHOLE, out }
    }

    /// Writes what still tells the interval from its neighbours. Zeros at the end are left off:
    /// the reader makes them up.
    pub fn finish(self) {
        let Interval { low, high } = self.interval;
        // The number in the interval with the most zero bits at its end.
        let number = (0..32)
            .rev()
            .map(|bits| u64::from(low).div_ceil(1 << bits) << bits)
            .find(|number| *number <= u64::from(high))
            .unwrap_or(u64::from(low));
        let last = (number as u32).to_be_bytes();
        let kept = LAST_BYTES - number.trailing_zeros().min(32) as usize / 8;
        self.out.extend_from_slice(&last[..kept]);
    }
}

impl Coder for Encoder<'_> {
    fn code(&mut self, answer: bool, likely: u32) -> bool {
        let border = self.interval.border(likely);
        self.interval.narrow(answer, border);
        while let Some(byte) = self.interval.settled() {
            self.out.push(byte);
        }
        answer
    }
}

/// Reads answers.
pub struct Decoder<'a> {
    interval: Interval,
    number: u32,
    bytes: &'a [u8],
    /// Bytes taken, made-up zeros included.
    taken: usize,
}

impl<'a> Decoder<'a> {
    /// Reads from the start.
    #[must_use]
    pub fn new(bytes: &'a [u8]) -> Self {
        let mut decoder = Self { interval: Interval::WHOLE, number: 0, bytes, taken: 0 };
        for _ in 0..LAST_BYTES {
            decoder.take();
        }
        decoder
    }

    fn take(&mut self) {
        let byte = self.bytes.get(self.taken).copied().unwrap_or(0);
        self.taken += 1;
        self.number = self.number << 8 | u32::from(byte);
    }

    /// Whether the answers read need all the bytes there are, and no more than zeros beyond.
    #[must_use]
    pub fn all_read(&self) -> bool {
        self.bytes.len() <= self.taken && self.taken <= self.bytes.len() + LAST_BYTES
    }
}

impl Coder for Decoder<'_> {
    fn code(&mut self, _: bool, likely: u32) -> bool {
        let border = self.interval.border(likely);
        let answer = self.number <= border;
        self.interval.narrow(answer, border);
        while self.interval.settled().is_some() {
            self.take();
        }
        answer
    }
}

/// Neither writes nor reads: whoever learns from the answers learns all the same.
pub struct Rehearsal;

impl Coder for Rehearsal {
    fn code(&mut self, answer: bool, _: u32) -> bool {
        answer
    }
}
