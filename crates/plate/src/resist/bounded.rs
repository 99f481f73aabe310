//! Plain exact distance transform of a yes/no raster, up to a bound.

use wide::i16x8;

/// Largest bound, px: squares of two such distances still add up within 15 bits.
pub const LARGEST_BOUND_PX: u8 = 126;

/// Buffers kept between calls. Their content does not matter.
#[derive(Clone, Debug, Default)]
pub struct BoundedScratch {
    /// Distance up or down to the nearest open pixel of the column, px.
    column_px: Vec<u8>,
    /// Squares of one row's column distances, with a margin on both sides.
    squares: Vec<i16>,
}

/// Pixels in one of the machine's manifold numbers.
const LANES: usize = 8;
/// Pixels worked at once: as many as stay in registers.
const BLOCK: usize = 4 * LANES;

/// Euclidean distance, px, from each covered pixel's centre to the nearest open pixel's centre; 0
/// for open pixels.
///
/// `covered` holds 0 for open, anything else for covered. Exact up to `bound_px` (1 to
/// [`LARGEST_BOUND_PX`]; held to that range); a pixel further from the open gets a value above
/// the bound. Beyond the window's edge nothing is open.
///
/// First the distance within each column, then along each row the least of dx² + column²: separable
/// and exact (Meijster, Roerdink & Hesselink 2000 give the unbounded form), and with the bound a
/// run of plain 16-bit additions and minima.
///
/// # Panics
/// When `covered` does not hold `width` × `height` pixels.
pub fn bounded_distance_px(
    covered: &[u8],
    width: usize,
    height: usize,
    bound_px: u8,
    scratch: &mut BoundedScratch,
    out: &mut Vec<f32>,
) {
    assert_eq!(covered.len(), width * height, "one byte per pixel");
    out.clear();
    out.resize(covered.len(), 0.0);
    if covered.is_empty() {
        return;
    }
    let bound = bound_px.clamp(1, LARGEST_BOUND_PX);
    let far = bound + 1;
    let BoundedScratch { column_px, squares } = scratch;
    downwards(covered, width, far, column_px);
    let margin = usize::from(bound);
    let wide = width.next_multiple_of(BLOCK);
    let far_square = i16::from(far) * i16::from(far);
    squares.clear();
    squares.resize(wide + 2 * margin, far_square);
    // Upwards, each row finished as soon as its column distances are known.
    for y in (0..height).rev() {
        let (above, below) = column_px.split_at_mut((y + 1) * width);
        let row = &mut above[y * width..];
        if y + 1 < height {
            for (here, &next) in row.iter_mut().zip(&below[..width]) {
                *here = (*here).min(next + 1);
            }
        }
        square(row, &mut squares[margin..margin + width]);
        along_row(squares, margin, &mut out[y * width..(y + 1) * width]);
    }
}

/// Distance to the nearest open pixel above in the column, at most `far`.
fn downwards(covered: &[u8], width: usize, far: u8, column_px: &mut Vec<u8>) {
    column_px.clear();
    column_px.extend(covered[..width].iter().map(|&c| if c == 0 { 0 } else { far }));
    for row in covered.chunks_exact(width).skip(1) {
        let from = column_px.len() - width;
        column_px.resize(from + 2 * width, 0);
        let (before, here) = column_px[from..].split_at_mut(width);
        for ((here, &before), &c) in here.iter_mut().zip(&*before).zip(row) {
            // A mask, not a choice: rows of bytes go sixteen at a time.
            *here = (before + 1).min(far) & u8::from(c != 0).wrapping_neg();
        }
    }
}

/// Squares of a row.
fn square(row: &[u8], squares: &mut [i16]) {
    for (square, &here) in squares.iter_mut().zip(row) {
        *square = i16::from(here) * i16::from(here);
    }
}

/// Least of dx² + square over |dx| ≤ margin, and its root.
fn along_row(squares: &[i16], margin: usize, out: &mut [f32]) {
    let blocks = squares.windows(2 * margin + BLOCK).step_by(BLOCK);
    for (out, around) in out.chunks_mut(BLOCK).zip(blocks) {
        let [mut a, mut b, mut c, mut d] = eights(&around[margin..]);
        for dx in 1..=margin {
            let dx2 = i16x8::splat((dx * dx) as i16);
            let (left, right) = (eights(&around[margin - dx..]), eights(&around[margin + dx..]));
            a = a.min(left[0].min(right[0]) + dx2);
            b = b.min(left[1].min(right[1]) + dx2);
            c = c.min(left[2].min(right[2]) + dx2);
            d = d.min(left[3].min(right[3]) + dx2);
        }
        let least = [a.to_array(), b.to_array(), c.to_array(), d.to_array()];
        for (out, &least) in out.iter_mut().zip(least.as_flattened()) {
            *out = f32::from(least).sqrt();
        }
    }
}

/// The block of pixels at the start of a row.
#[inline(always)]
fn eights(row: &[i16]) -> [i16x8; BLOCK / LANES] {
    let (eights, _) = row[..BLOCK].as_chunks::<LANES>();
    [i16x8::new(eights[0]), i16x8::new(eights[1]), i16x8::new(eights[2]), i16x8::new(eights[3])]
}
