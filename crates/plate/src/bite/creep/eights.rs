//! Eight pixels at a time, in whole numbers of 16 bits.

use super::{DEEPEST, LANES};
use bytemuck::cast;
use wide::{CmpEq, CmpLt, f32x4, i16x8, i32x4, u8x16, u16x8};

/// Added to a number of less than 22 bits it leaves no room for a fraction: the last bits are then the number,
/// rounded to the nearest whole one. WebAssembly has no quicker way that is sure of the same bits.
const ROUNDS: f32 = 12_582_912.0;

/// What the pixels of a rectangle are measured by, in whole numbers, eight at a time.
pub(super) struct Eights<'a> {
    pub(super) creeping: &'a [[i16x8; 2]],
    /// Units in a µm.
    pub(super) units: f32x4,
    /// Half a pixel, in units.
    pub(super) half_px: f32x4,
    /// A pixel less, in units.
    pub(super) less_px: f32x4,
    /// A pixel, in whole units.
    pub(super) px: i16x8,
    /// Squared depth for each unit of a squared reach, µm².
    pub(super) depth_gain: f32x4,
}

impl Eights<'_> {
    /// Squared reach of open copper.
    #[inline(always)]
    pub(super) fn seeds(&self, under_um: &[f32; LANES], value: &[u8; LANES]) -> [i16; LANES] {
        let to_far_side = self.whole(under_um, self.half_px).max(i16x8::ZERO);
        let reach = (self.undercuts(value) - to_far_side).max(i16x8::ZERO);
        let reach = reach & to_far_side.cmp_lt(self.px);
        let twice: u16x8 = cast(reach + reach);
        cast(twice.mul_keep_high(cast(reach)))
    }

    /// Lengths and `more` in whole numbers, as far as these go.
    #[inline(always)]
    pub(super) fn whole(&self, um: &[f32; LANES], more: f32x4) -> i16x8 {
        let um: [f32x4; 2] = cast(*um);
        // What is far beyond any reach would not even fit the 32 bits on the way.
        let most = f32x4::splat(2.0 * DEEPEST);
        let whole = um.map(|um| {
            let rounded = (um * self.units + more).fast_min(most) + f32x4::splat(ROUNDS);
            cast::<_, i32x4>(rounded) - i32x4::splat(ROUNDS.to_bits() as i32)
        });
        i16x8::from_i32x8_saturate(cast(whole))
    }

    /// Depth of what is left of squared reaches, µm.
    #[inline(always)]
    pub(super) fn crept_um(&self, squared: i16x8) -> [f32x4; 2] {
        // Low and high byte of each next to each other, and the high one 256 times.
        let bytes: u8x16 = cast(squared);
        let halves =
            [u8x16::unpack_low(bytes, u8x16::ZERO), u8x16::unpack_high(bytes, u8x16::ZERO)];
        let weights = i16x8::new([1, 256, 1, 256, 1, 256, 1, 256]);
        halves.map(|half| {
            let squared = cast::<_, i16x8>(half).dot(weights);
            (f32x4::from_i32x4(squared) * self.depth_gain).sqrt()
        })
    }

    /// Undercuts of values; nothing of the least one's.
    #[inline(always)]
    pub(super) fn undercuts(&self, value: &[u8; LANES]) -> i16x8 {
        let values: i16x8 = cast(u8x16::unpack_low(cast([*value, [0; LANES]]), u8x16::ZERO));
        self.creeping.iter().fold(i16x8::ZERO, |undercuts, &[value, undercut]| {
            undercuts | values.cmp_eq(value) & undercut
        })
    }
}

/// A number that fits, in all lanes.
pub(super) fn whole(number: f32) -> i16x8 {
    i16x8::splat((number + 0.5) as i16)
}

/// So many numbers of a field from one of them on.
#[inline(always)]
pub(super) fn eight<T: Copy + Default>(field: &[T], from: usize, count: usize) -> [T; LANES] {
    let here = &field[from..from + count];
    here.first_chunk().copied().unwrap_or_else(|| padded(here))
}

/// Numbers that are fewer than eight, and noughts.
pub(super) fn padded<T: Copy + Default>(rest: &[T]) -> [T; LANES] {
    let mut eight = [T::default(); LANES];
    eight[..rest.len()].copy_from_slice(rest);
    eight
}
