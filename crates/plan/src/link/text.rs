//! From what was pasted to the link in it.

use super::{LinkError, MOST_CHARS};

/// Longest text looked at, in bytes: a longest link of which every character was escaped (`%41`)
/// and which hangs on a long address.
const MOST_PASTED_BYTES: usize = 4 * MOST_CHARS;

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

#[cfg(test)]
mod tests {
    use super::clean;

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
