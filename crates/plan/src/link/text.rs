//! From what was pasted to bytes, and back.

use super::{LinkError, MOST_CHARS};

/// Longest text looked at, in bytes: a longest link of which every character was escaped (`%41`)
/// and which hangs on a long address.
const MOST_PASTED_BYTES: usize = 4 * MOST_CHARS;

/// Base64url, RFC 4648 §5.
const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";

/// The link's own characters: without the address before `#`, white space, invisible characters,
/// `%` escapes, and punctuation left hanging by the sentence round it.
pub(crate) fn clean(pasted: &str) -> Result<String, LinkError> {
    if pasted.len() > MOST_PASTED_BYTES {
        return Err(LinkError::TooLarge);
    }
    let mut shown = String::with_capacity(pasted.len());
    let mut rest = pasted.chars();
    while let Some(c) = rest.next() {
        // Soft hyphens, zero-width spaces and the like come along when text is copied.
        let invisible = matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{feff}');
        if c.is_whitespace() || c.is_control() || invisible {
            continue;
        }
        let escaped = if c == '%' { ascii_escape(rest.as_str()) } else { None };
        match escaped {
            Some(c) => {
                rest.nth(1);
                if !c.is_ascii_whitespace() && !c.is_ascii_control() {
                    shown.push(c);
                }
            }
            None => shown.push(c),
        }
    }
    let fragment = match shown.rsplit_once('#') {
        Some((_, fragment)) => fragment,
        None if shown.contains("://") => "",
        None => &shown,
    };
    let of_ours = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    let fragment = fragment.trim_start_matches(|c: char| !of_ours(c));
    let link = fragment.trim_end_matches(|c: char| !of_ours(c));
    if link.is_empty() {
        return Err(LinkError::Empty);
    }
    if link.len() > MOST_CHARS {
        return Err(LinkError::TooLarge);
    }
    // "1." alone is a link cut off after its dot; the dot belongs to it.
    let dotted = fragment.as_bytes().get(link.len()) == Some(&b'.') && !link.contains('.');
    Ok(fragment[..link.len() + usize::from(dotted)].to_owned())
}

/// The ASCII character of two hexadecimal digits after a `%`.
fn ascii_escape(after: &str) -> Option<char> {
    let digits = after.get(..2)?;
    if !digits.bytes().all(|digit| digit.is_ascii_hexdigit()) {
        return None;
    }
    u8::from_str_radix(digits, 16).ok().filter(u8::is_ascii).map(char::from)
}

/// Writes bytes in base64url without padding.
pub(crate) fn push_base64(bytes: &[u8], out: &mut String) {
    for group in bytes.chunks(3) {
        let mut bits = 0_u32;
        for i in 0..3 {
            bits = bits << 8 | u32::from(group.get(i).copied().unwrap_or(0));
        }
        for i in 0..=group.len() {
            let six = bits >> (18 - 6 * i) & 0x3f;
            out.push(char::from(ALPHABET[six as usize]));
        }
    }
}

/// Reads base64url without padding. Bits left over at the end must be zero, so that no two texts
/// stand for the same bytes.
///
/// # Errors
/// [`LinkError::WrongCharacter`] for a character outside the alphabet, a length that no bytes give,
/// or bits left over.
pub(crate) fn base64_bytes(text: &str) -> Result<Vec<u8>, LinkError> {
    let mut bytes = Vec::with_capacity(text.len() * 3 / 4);
    for group in text.as_bytes().chunks(4) {
        if group.len() == 1 {
            return Err(LinkError::WrongCharacter);
        }
        let mut bits = 0_u32;
        for i in 0..4 {
            let six = group.get(i).map_or(Some(0), |c| six_bits(*c));
            bits = bits << 6 | six.ok_or(LinkError::WrongCharacter)?;
        }
        let [_, three @ ..] = bits.to_be_bytes();
        let (whole, left_over) = three.split_at(group.len() - 1);
        if left_over.iter().any(|byte| *byte != 0) {
            return Err(LinkError::WrongCharacter);
        }
        bytes.extend_from_slice(whole);
    }
    Ok(bytes)
}

fn six_bits(character: u8) -> Option<u32> {
    match character {
        b'A'..=b'Z' => Some(u32::from(character - b'A')),
        b'a'..=b'z' => Some(u32::from(character - b'a') + 26),
        b'0'..=b'9' => Some(u32::from(character - b'0') + 52),
        b'-' => Some(62),
        b'_' => Some(63),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::{base64_bytes, clean, push_base64};

    #[test]
    fn base64_is_that_of_rfc_4648() {
        // RFC 4648 §10, without its padding; the last line shows the two characters of §5.
        let vectors: [(&[u8], &str); 8] = [
            (b"", ""),
            (b"f", "Zg"),
            (b"fo", "Zm8"),
            (b"foo", "Zm9v"),
            (b"foob", "Zm9vYg"),
            (b"fooba", "Zm9vYmE"),
            (b"foobar", "Zm9vYmFy"),
            (&[0xfb, 0xff], "-_8"),
        ];
        for (bytes, text) in vectors {
            let mut written = String::new();
            push_base64(bytes, &mut written);
            assert_eq!(written, text, "writing {bytes:?}");
            assert_eq!(base64_bytes(text).as_deref(), Ok(bytes), "reading {text}");
        }
        for bad in ["Z", "Zh", "Zm9", "Zm9v!", "Zm9vY", "Zm9+", "Zm9/", "Zg=="] {
            assert!(base64_bytes(bad).is_err(), "{bad} was read");
        }
    }

    #[test]
    fn what_hangs_round_a_link_is_taken_off() {
        let cases = [
            "1.AbC-_p",
            "#1.AbC-_p",
            "https://example.org/plan/#1.AbC-_p",
            "  1.Ab\r\nC-\t_p \u{200b}",
            "<https://example.org/#1.AbC-_p>.",
            "“1.AbC-_p”",
            "https://example.org/%231%2EAbC%2D%5fp",
            "1.Ab%20C-_p",
        ];
        for pasted in cases {
            assert_eq!(clean(pasted).as_deref(), Ok("1.AbC-_p"), "cleaning {pasted:?}");
        }
        assert_eq!(clean("1.").as_deref(), Ok("1."), "the dot stays");
        assert_eq!(clean("%").map(|_| ()), Err(crate::link::LinkError::Empty), "a lone %");
        assert_eq!(clean("1%é1").as_deref(), Ok("1%é1"), "a broken escape");
    }
}
