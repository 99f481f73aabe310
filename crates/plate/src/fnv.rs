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
