//! How many islands a sharper picture would show apart.
//!
//! A gap closes in a picture that is narrower than about three of the picture's deviations of blur, smoothing included, and
//! joins two islands to one. Gaps between grains and drops at random places are of all widths alike, so that the number
//! of islands falls by equal shares when the picture is made softer in equal steps: the picture, softened further,
//! shows how much it has lost already. (On drawn grounds the number counted is up to half too low, and that reckoned
//! back within an eighth: `tests/ground_photo.rs`.)

use super::{LEAST_PX, count, soft_px};

/// Fewer than this, counted or left when softened, say nothing of what was lost.
const FEWEST: f64 = 12.0;
/// As many times the number counted is the most that is believed.
const MOST: f64 = 2.5;

/// How many times the number of islands counted a picture without any blur would show. `tones` of the picture, the level
/// between the two and their means, which one the rosin is; islands counted and how soft their outlines are drawn, pixels.
pub(crate) fn more_when_sharp(
    tones: &[u8],
    width: usize,
    level: f64,
    means: (f64, f64),
    rosin_lighter: bool,
    (counted, soft): (f64, f64),
) -> f64 {
    // Two runs of squares of this reach add twice the square of the deviation that is there, or a little more or less.
    let reach = libm::round(libm::sqrt(3.0 * soft * soft + 0.25) - 0.5).max(1.0) as usize;
    let mut softer = tones.to_vec();
    for _ in 0..2 {
        soften(&mut softer, width, reach);
    }
    let set: Vec<bool> =
        softer.iter().map(|&tone| (f64::from(tone) > level) == rosin_lighter).collect();
    let left = count(&set, width, LEAST_PX).count;
    let now = soft_px(&softer, &set, width, means);
    if counted < FEWEST || left < FEWEST || now <= soft || left >= counted {
        return 1.0;
    }
    libm::pow(counted / left, soft / (now - soft)).min(MOST)
}

/// Means over squares of this reach, the border's pixels going on outside.
fn soften(tones: &mut [u8], width: usize, reach: usize) {
    let (count, height) = (2 * reach as u32 + 1, tones.len() / width);
    let mean = |sum: u32| ((sum + count / 2) / count) as u8;
    let mut line = vec![0; width];
    for row in tones.chunks_exact_mut(width) {
        line.copy_from_slice(row);
        let code = |x: usize| u32::from(line[x.min(width - 1)]);
        let mut sum = reach as u32 * code(0) + (0..=reach).map(code).sum::<u32>();
        for (x, to) in row.iter_mut().enumerate() {
            *to = mean(sum);
            sum = sum + code(x + reach + 1) - code(x.saturating_sub(reach));
        }
    }
    let from = tones.to_vec();
    let row = |y: usize| &from[y.min(height - 1) * width..][..width];
    let mut sums: Vec<u32> = row(0).iter().map(|&code| u32::from(code) * reach as u32).collect();
    for y in 0..=reach {
        sums.iter_mut().zip(row(y)).for_each(|(sum, &code)| *sum += u32::from(code));
    }
    for (y, to) in tones.chunks_exact_mut(width).enumerate() {
        let (next, gone) = (row(y + reach + 1), row(y.saturating_sub(reach)));
        for (((to, sum), &next), &gone) in to.iter_mut().zip(&mut sums).zip(next).zip(gone) {
            *to = mean(*sum);
            *sum = *sum + u32::from(next) - u32::from(gone);
        }
    }
}
