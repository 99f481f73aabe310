//! Compression: small things into as few bytes as may be, for links.
//!
//! A general compressor saves nothing on a text of a hundred bytes. This one mixes what several short
//! contexts predict, and has read a primer, the trade's words, before it begins. What it writes is part
//! of every link and never changes (golden links in `tests/links`).

mod coder;
mod mixer;

pub use coder::{Coder, Decoder, Encoder, Rehearsal};
pub use mixer::{Mixer, hash};

/// What the next byte is guessed from: the bytes before it, none to four of them, and the word so
/// far.
const VIEWS: usize = 6;

/// Bytes compressed, after having read `primer` (which the reader must know, too).
#[must_use]
pub fn compressed(bytes: &[u8], primer: &[u8]) -> Vec<u8> {
    let mut out = Vec::new();
    let mut encoder = Encoder::new(&mut out);
    let mut reader = ByteReader::taught(primer);
    for byte in bytes {
        reader.code(*byte, &mut encoder);
    }
    encoder.finish();
    out
}

/// The `length` bytes that were compressed with this primer; `None` when there are bytes to spare, or
/// too few. Takes time in proportion to `length`, whatever the bytes.
#[must_use]
pub fn decompressed(bytes: &[u8], length: usize, primer: &[u8]) -> Option<Vec<u8>> {
    let mut decoder = Decoder::new(bytes);
    let mut reader = ByteReader::taught(primer);
    let plain = (0..length).map(|_| reader.code(0, &mut decoder)).collect();
    decoder.all_read().then_some(plain)
}

/// Guesses byte after byte, bit by bit, the highest first.
struct ByteReader {
    mixer: Mixer<VIEWS>,
    /// The last four bytes, the newest lowest.
    before: u32,
    /// Hash of the letters since the last one that is none.
    word: u32,
}

impl ByteReader {
    fn taught(primer: &[u8]) -> Self {
        let mut reader = Self { mixer: Mixer::new(8), before: 0, word: 0 };
        for byte in primer {
            reader.code(*byte, &mut Rehearsal);
        }
        reader
    }

    fn code(&mut self, byte: u8, coder: &mut impl Coder) -> u8 {
        let before = |bytes: u32| self.before & ((1_u64 << (8 * bytes)) - 1) as u32;
        let seen = |view: u32, what: u32| hash([view, what].into_iter());
        self.mixer.look([
            seen(0, 0),
            seen(1, before(1)),
            seen(2, before(2)),
            seen(3, before(3)),
            seen(4, self.before),
            seen(5, self.word),
        ]);
        // The bits so far with a one before them.
        let mut bits = 1_u32;
        for bit in (0..8).rev() {
            let one = self.mixer.ask(byte >> bit & 1 == 1, bits, 7 - bit, coder);
            bits = bits << 1 | u32::from(one);
        }
        let byte = bits as u8;
        self.before = self.before << 8 | u32::from(byte);
        let letter = byte.is_ascii_alphabetic() || byte >= 0x80;
        self.word = if letter { hash([self.word, u32::from(byte)].into_iter()) } else { 0 };
        byte
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_bytes_come_back() {
        let mut state = 1_u32;
        let noise: Vec<u8> = (0..3000)
            .map(|_| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                (state >> 24) as u8
            })
            .collect();
        for length in [0, 1, 2, 17, 400, 3000] {
            let plain = &noise[..length];
            let small = compressed(plain, b"primer");
            assert!(small.len() <= length + length / 20 + 4, "{length} bytes of noise hardly grow");
            assert_eq!(decompressed(&small, length, b"primer").as_deref(), Some(plain), "{length}");
        }
    }

    #[test]
    fn plain_words_get_short_and_known_ones_shorter() {
        let words =
            b"Dust the plate, wait, bake it, stop out, bite, stop out, bite and clean the plate.";
        let alone = compressed(words, b"").len();
        let taught = compressed(words, b"dust bake stop out bite clean the plate wait").len();
        assert!(alone < words.len() * 9 / 10, "{alone} of {} bytes", words.len());
        assert!(taught < alone * 9 / 10, "{taught} with a primer, {alone} without");
    }

    #[test]
    fn bytes_to_spare_are_noticed() {
        let small = compressed(b"a short plan", b"");
        let longer = [&small[..], &[1; 8]].concat();
        assert_eq!(decompressed(&longer, 12, b""), None, "eight bytes to spare");
    }
}
