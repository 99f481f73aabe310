//! One description of each thing for both directions: a [`Wire`] either writes what it is given or
//! fills it in from what was written, so that writer and reader can't disagree.

use super::LinkError;

/// Whether it went well.
pub(super) type Passed = Result<(), LinkError>;

/// Bytes being written, or what is left to be read.
pub(super) enum Wire<'a> {
    /// Appends to these bytes.
    Writing(Vec<u8>),
    /// Takes from the front of these bytes.
    Reading(&'a [u8]),
}

/// Largest whole number of units written as such; `f64` still tells it from its neighbours.
const MOST_UNITS: f64 = 4_503_599_627_370_496.0;

impl Wire<'_> {
    /// A byte.
    pub(super) fn byte(&mut self, byte: &mut u8) -> Passed {
        match self {
            Self::Writing(out) => out.push(*byte),
            Self::Reading(bytes) => {
                let (first, rest) = bytes.split_first().ok_or(LinkError::Damaged)?;
                (*byte, *bytes) = (*first, rest);
            }
        }
        Ok(())
    }

    /// A whole number in as few bytes as it needs: seven bits a byte, low ones first, the top bit set
    /// on all but the last (LEB128).
    pub(super) fn whole(&mut self, number: &mut u64) -> Passed {
        match self {
            Self::Writing(out) => push_whole(*number, out),
            Self::Reading(bytes) => *number = take_whole(bytes).ok_or(LinkError::Damaged)?,
        }
        Ok(())
    }

    /// The same for shorter numbers.
    pub(super) fn short<T: Copy + Into<u64> + TryFrom<u64>>(&mut self, number: &mut T) -> Passed {
        let mut whole = (*number).into();
        self.whole(&mut whole)?;
        *number = T::try_from(whole).map_err(|_| LinkError::Damaged)?;
        Ok(())
    }

    /// Yes or no.
    pub(super) fn flag(&mut self, flag: &mut bool) -> Passed {
        let mut byte = u8::from(*flag);
        self.byte(&mut byte)?;
        *flag = byte == 1;
        if byte > 1 { Err(LinkError::Damaged) } else { Ok(()) }
    }

    /// One of these, as its place among them; a place beyond them is one that only a newer page knows.
    pub(super) fn one_of<T: Copy + PartialEq>(&mut self, all: &[T], one: &mut T) -> Passed {
        let mut place = all.iter().position(|each| each == one).unwrap_or(0) as u8;
        self.byte(&mut place)?;
        *one = *all.get(usize::from(place)).ok_or(LinkError::NewerPart)?;
        Ok(())
    }

    /// A number: whole `1/per_unit`ths of its unit where that is exact, otherwise all its 64 bits.
    ///
    /// The units are those of hand-typed numbers or finer. Whatever is not a whole number of them (a
    /// crop of one third, say) takes nine bytes instead of one to three, and still comes back exactly.
    /// Written as twice the whole number, or as 1 and then the `f64`, little end first.
    pub(super) fn number(&mut self, per_unit: u32, number: &mut f64) -> Passed {
        let mut head = whole_units(*number, per_unit).map_or(1, |units| 2 * units);
        self.whole(&mut head)?;
        if head != 1 {
            // The quotient is correctly rounded, hence the same f64 as the decimal number's own.
            *number = (head / 2) as f64 / f64::from(per_unit);
            return if head.is_multiple_of(2) { Ok(()) } else { Err(LinkError::Damaged) };
        }
        let mut bytes = number.to_le_bytes();
        for byte in &mut bytes {
            self.byte(byte)?;
        }
        *number = f64::from_le_bytes(bytes);
        Ok(())
    }

    /// Text in UTF-8, its length before it.
    pub(super) fn text(&mut self, text: &mut String) -> Passed {
        let mut length = text.len() as u64;
        self.whole(&mut length)?;
        match self {
            Self::Writing(out) => out.extend_from_slice(text.as_bytes()),
            Self::Reading(bytes) => {
                let length = usize::try_from(length).map_err(|_| LinkError::Damaged)?;
                let (words, rest) = bytes.split_at_checked(length).ok_or(LinkError::Damaged)?;
                *text = str::from_utf8(words).map_err(|_| LinkError::Damaged)?.to_owned();
                *bytes = rest;
            }
        }
        Ok(())
    }

    /// A list, its length before it. `each` must take a byte at least, so that no length can claim more
    /// than there is.
    pub(super) fn list<T>(
        &mut self,
        list: &mut Vec<T>,
        blank: impl Fn() -> T,
        mut each: impl FnMut(&mut Self, &mut T) -> Passed,
    ) -> Passed {
        let mut length = list.len() as u64;
        self.whole(&mut length)?;
        if matches!(self, Self::Writing(_)) {
            return list.iter_mut().try_for_each(|one| each(self, one));
        }
        list.clear();
        for _ in 0..length {
            let mut one = blank();
            each(self, &mut one)?;
            list.push(one);
        }
        Ok(())
    }

    /// Places in whole `1/per_mm`ths: the first from the print's top left, each other from the one
    /// before. The check of plans lets nothing finer through.
    pub(super) fn places(&mut self, per_mm: f64, places_mm: &mut Vec<[f64; 2]>) -> Passed {
        let mut before = [0_i64; 2];
        self.list(
            places_mm,
            || [0.0; 2],
            |wire, place| {
                for (mm, before) in place.iter_mut().zip(&mut before) {
                    let step = ((*mm * per_mm).round() as i64).wrapping_sub(*before);
                    // Steps to either side alternate: 0, -1, 1, -2, …
                    let mut zigzag = (step << 1 ^ step >> 63) as u64;
                    wire.whole(&mut zigzag)?;
                    *before = before.wrapping_add((zigzag >> 1) as i64 ^ -((zigzag & 1) as i64));
                    *mm = *before as f64 / per_mm;
                }
                Ok(())
            },
        )
    }

    /// Which of several things follow, a bit each, seven to a byte, low ones first; as many bytes as the
    /// last of them needs. One beyond those listed is known to a newer page alone.
    pub(super) fn which(&mut self, which: &mut [bool]) -> Passed {
        if let Self::Writing(out) = self {
            let bytes = which.iter().rposition(|said| *said).map_or(1, |last| last / 7 + 1);
            for (i, seven) in which.chunks(7).take(bytes).enumerate() {
                let bits = seven.iter().rev().fold(0, |bits, said| bits << 1 | u8::from(*said));
                out.push(bits | if i + 1 < bytes { 0x80 } else { 0 });
            }
            return Ok(());
        }
        which.fill(false);
        let mut at = 0;
        loop {
            let mut byte = 0;
            self.byte(&mut byte)?;
            for bit in 0..7 {
                if byte >> bit & 1 == 1 {
                    *which.get_mut(at + bit).ok_or(LinkError::NewerPart)? = true;
                }
            }
            at += 7;
            if byte & 0x80 == 0 {
                return Ok(());
            }
        }
    }
}

fn whole_units(number: f64, per_unit: u32) -> Option<u64> {
    let units = (number * f64::from(per_unit)).round();
    if !(0.0..=MOST_UNITS).contains(&units) {
        return None;
    }
    let units = units as u64;
    let back = units as f64 / f64::from(per_unit);
    (back.to_bits() == number.to_bits()).then_some(units)
}

/// Writes a whole number; see [`Wire::whole`].
pub(super) fn push_whole(number: u64, out: &mut Vec<u8>) {
    let mut rest = number;
    while rest >= 0x80 {
        out.push((rest & 0x7f) as u8 | 0x80);
        rest >>= 7;
    }
    out.push(rest as u8);
}

/// Reads a whole number from the front of `bytes`; `None` when they end too soon or it is over 63 bits.
pub(super) fn take_whole(bytes: &mut &[u8]) -> Option<u64> {
    let mut number = 0;
    for i in 0..9 {
        let (byte, rest) = bytes.split_first()?;
        *bytes = rest;
        number |= u64::from(byte & 0x7f) << (7 * i);
        if byte & 0x80 == 0 {
            return Some(number);
        }
    }
    None
}

/// The same as a length in memory.
pub(super) fn take_length(bytes: &mut &[u8]) -> Option<usize> {
    take_whole(bytes).and_then(|length| usize::try_from(length).ok())
}
