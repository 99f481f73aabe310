//! A fast exponential for the many pixels of ink and light.

/// log₂ e.
const LOG2_E: f32 = std::f32::consts::LOG2_E;
/// 1.5·2²³: adding it rounds a small number to the nearest whole one.
const ROUND: f32 = 12_582_912.0;

/// e^x for x ≤ 0, within 3e-7 of itself; below −87 it stays at e^−87.
///
/// Plain arithmetic on bits, so that loops over slices run four lanes at a time and give the same
/// bits everywhere. 2^x is split into whole part and rest; the rest, within ±½, goes through the
/// fifth-degree polynomial with the smallest greatest relative error (7.5e-8, by Remez's method).
#[inline(always)]
pub(super) fn exp_of_negative(x: f32) -> f32 {
    let x = if x > -87.0 { x } else { -87.0 };
    let scaled = x * LOG2_E;
    let rounded = scaled + ROUND;
    let rest = scaled - (rounded - ROUND);
    let exponent = rounded.to_bits().wrapping_sub(ROUND.to_bits()) << 23;
    let power = 1.000_000_1
        + rest
            * (0.693_146_97
                + rest
                    * (0.240_221_2
                        + rest * (0.055_507_13 + rest * (0.009_675_541 + rest * 0.001_327_647_2))));
    f32::from_bits(power.to_bits().wrapping_add(exponent))
}
