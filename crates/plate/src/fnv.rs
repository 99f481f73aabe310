//! A short, portable digest of bits.

/// FNV-1a over bytes: short, portable, and any changed bit changes it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fnv(pub(crate) u64);

impl Fnv {
    pub(crate) fn new() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }

    pub(crate) fn bytes(&mut self, bytes: &[u8]) {
        for &byte in bytes {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }

    pub(crate) fn f64s(&mut self, values: impl IntoIterator<Item = f64>) {
        for value in values {
            self.bytes(&value.to_bits().to_le_bytes());
        }
    }

    pub(crate) fn f32s(&mut self, values: &[f32]) {
        for value in values {
            self.bytes(&value.to_bits().to_le_bytes());
        }
    }
}

/// The digest of a text.
pub(crate) fn of_text(text: &str) -> u64 {
    let mut fnv = Fnv::new();
    fnv.bytes(text.as_bytes());
    fnv.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_digests_are_the_published_ones() {
        // Fowler, Noll & Vo's own test vectors of the 64-bit FNV-1a.
        for (text, digest) in [
            ("", 0xcbf2_9ce4_8422_2325),
            ("a", 0xaf63_dc4c_8601_ec8c),
            ("foobar", 0x8594_4171_f739_67e8),
        ] {
            assert_eq!(of_text(text), digest, "{text}");
        }
    }

    #[test]
    fn numbers_are_taken_as_their_bytes_the_lowest_first() {
        let of = |add: &dyn Fn(&mut Fnv)| {
            let mut fnv = Fnv::new();
            add(&mut fnv);
            fnv.0
        };
        // IEEE 754: 1 is 3f800000 and −2 is c0000000; in double precision 3ff0… and c000….
        let singles = [0, 0, 0x80, 0x3f, 0, 0, 0, 0xc0];
        assert_eq!(of(&|fnv| fnv.f32s(&[1.0, -2.0])), of(&|fnv| fnv.bytes(&singles)));
        let doubles = [0, 0, 0, 0, 0, 0, 0xf0, 0x3f, 0, 0, 0, 0, 0, 0, 0, 0xc0];
        assert_eq!(of(&|fnv| fnv.f64s([1.0, -2.0])), of(&|fnv| fnv.bytes(&doubles)));
    }
}
