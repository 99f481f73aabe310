//! Branch-free minimum and maximum.

/// The larger of two numbers, in the form that compiles to one instruction.
#[inline(always)]
pub(crate) fn larger(a: f32, b: f32) -> f32 {
    if a > b { a } else { b }
}

/// The smaller of two numbers, in the form that compiles to one instruction.
#[inline(always)]
pub(crate) fn smaller(a: f32, b: f32) -> f32 {
    if a < b { a } else { b }
}

/// The greatest of many numbers, 0 at least.
pub(crate) fn greatest(numbers: &[f32]) -> f32 {
    // Side by side, so that none waits for another.
    let (wide, rest) = numbers.as_chunks::<4>();
    let mut greatest = [0.0; 4];
    for part in wide {
        for (greatest, &number) in greatest.iter_mut().zip(part) {
            *greatest = larger(number, *greatest);
        }
    }
    greatest.iter().chain(rest).fold(0.0, |a, &b| larger(b, a))
}
