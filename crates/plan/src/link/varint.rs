//! Lengths in as few bytes as they need: seven bits a byte, low ones first, the top bit set on all
//! but the last (LEB128, as in postcard).

/// Longest length read, in bytes of varint: 28 bits.
const MOST_BYTES: u32 = 4;

/// Writes a length.
pub(crate) fn push(length: usize, out: &mut Vec<u8>) {
    let mut rest = length;
    while rest >= 0x80 {
        out.push((rest & 0x7f) as u8 | 0x80);
        rest >>= 7;
    }
    out.push(rest as u8);
}

/// Reads a length from the front of `bytes`; `None` when they end too soon or it is over 28 bits.
pub(crate) fn take(bytes: &mut &[u8]) -> Option<usize> {
    let mut length = 0;
    for i in 0..MOST_BYTES {
        let (byte, rest) = bytes.split_first()?;
        *bytes = rest;
        length |= usize::from(byte & 0x7f) << (7 * i);
        if byte & 0x80 == 0 {
            return Some(length);
        }
    }
    None
}
