//! Values read off their own areas: cells well within them, specks left out.

use super::{ProofPrint, SquaredUp, ValueReading};
use crate::calibration::photo::{CELL_MM, MAD, SPECK, median_of};
use crate::proof_causes::PlaceSeen;
use plate::light;

/// This much of the plate is not read along its edges: the bevel holds ink, mm.
const EDGE_MM: f64 = 1.0;
/// Distances from a value's borders that are tried, the widest first: varnish creeps, and the print is found to some
/// tenths of a mm, mm.
const INSETS_MM: [f64; 4] = [1.2, 0.9, 0.6, 0.4];
/// So many times its blur away from a border a picture shows nothing of it.
const CLEAR_OF_BLUR: f64 = 1.5;
/// Area with which the widest distance will do, and the least with which a value is read at all, mm².
const AMPLE_MM2: f64 = 80.0;
const LEAST_MM2: f64 = 6.0;
/// Least share of a cell that must lie well within the area.
const WITHIN: f64 = 0.4;
/// Fewest cells.
const FEWEST: usize = 3;
/// Prints are even within pieces of about this side, mm; what pieces differ by is scatter of the whole.
pub(super) const PIECE_MM: f64 = 10.0;
/// How far a single piece may be off the value's mean, L* (standard deviation; common practice, no source).
const PIECE_L: f64 = 1.0;
/// The light on the paper is known to this on the plate, ln (standard deviation; from synthetic photographs).
const LIGHT_LN: f64 = 0.012;
/// 95 of 100 lie within so many standard deviations.
const OF_95: f64 = 1.96;

/// One cell of a value.
pub(super) struct Cell {
    /// Its middle, mm.
    pub(super) at: (f64, f64),
    /// L*.
    pub(super) lightness: f64,
    /// Share of the paper's light, and squares in it.
    share: f64,
    squares: f64,
    speck: bool,
}

/// A value's reading with its cells.
pub(super) struct Read {
    pub(super) reading: ValueReading,
    /// Cells that are no specks.
    pub(super) cells: Vec<Cell>,
    /// All of them together, by squares of [`PLACE_MM`].
    pub(super) places: Vec<PlaceSeen>,
}

/// Side of the squares in which places of a value are told, mm.
const PLACE_MM: f64 = 4.5;
/// The median of a few scatters by so many times their mean's standard error (normal numbers).
const MEDIAN_TIMES: f64 = 1.25;

/// Distance of every square's middle from the nearest border of its value's own area, mm; 0 outside.
fn depths(own: &[Option<u8>], columns: usize, square_mm: f64) -> Vec<f64> {
    let rows = own.len() / columns;
    let straight = square_mm;
    let across = square_mm * core::f64::consts::SQRT_2;
    let mut depth = vec![f64::INFINITY; own.len()];
    let neighbour = |at: usize, (dx, dy): (isize, isize)| {
        let (x, y) = ((at % columns) as isize + dx, (at / columns) as isize + dy);
        let inside = x >= 0 && y >= 0 && x < columns as isize && y < rows as isize;
        inside.then(|| y as usize * columns + x as usize)
    };
    for at in 0..own.len() {
        let differs = |to| neighbour(at, to).is_none_or(|other| own[other] != own[at]);
        if own[at].is_none() {
            depth[at] = 0.0;
        } else if [(1, 0), (-1, 0), (0, 1), (0, -1)].into_iter().any(differs) {
            depth[at] = 0.5 * square_mm;
        }
    }
    // There and back over the squares (G. Borgefors, Comput. Vis. Graph. Image Process. 34 (1986) 344).
    let there = [((-1, 0), straight), ((0, -1), straight), ((-1, -1), across), ((1, -1), across)];
    let back = there.map(|((dx, dy), by)| ((-dx, -dy), by));
    let mut pass = |at: usize, from: &[((isize, isize), f64)]| {
        for &(to, by) in from {
            if let Some(other) = neighbour(at, to).filter(|&other| own[other] == own[at]) {
                depth[at] = depth[at].min(depth[other] + by);
            }
        }
    };
    (0..own.len()).for_each(|at| pass(at, &there));
    (0..own.len()).rev().for_each(|at| pass(at, &back));
    depth
}

/// Every value, paper first, from the light of the print's squares; `None` where it has too little area of its own.
pub(super) fn read_values(
    print: &ProofPrint,
    shares: &[f32],
    seen: &SquaredUp,
    blur_mm: f64,
) -> Vec<Option<Read>> {
    let (columns, square_mm) = (print.columns, print.square_mm());
    let mut own = print.own();
    for (at, own) in own.iter_mut().enumerate() {
        let middle = |i: usize| (i as f64 + 0.5) * square_mm;
        let (x, y) = (middle(at % columns), middle(at / columns));
        let from_edge = x.min(y).min(print.width_mm - x).min(print.height_mm - y);
        if from_edge < EDGE_MM {
            *own = None;
        }
    }
    let depth = depths(&own, columns, square_mm);
    (0..print.lightness.len())
        .map(|value| {
            let is = |at: usize| own[at] == Some(value as u8);
            let within = |inset_mm: f64| {
                let deep = inset_mm.max(CLEAR_OF_BLUR * blur_mm) + 0.5 * square_mm;
                (0..own.len()).filter(|&at| is(at) && depth[at] >= deep).collect::<Vec<usize>>()
            };
            let area = |squares: &[usize]| squares.len() as f64 * square_mm * square_mm;
            let mut squares = Vec::new();
            for inset_mm in INSETS_MM {
                squares = within(inset_mm);
                if area(&squares) >= AMPLE_MM2 {
                    break;
                }
            }
            (area(&squares) >= LEAST_MM2)
                .then(|| read_value(value, &squares, print, shares, seen))
                .flatten()
        })
        .collect()
}

fn read_value(
    value: usize,
    squares: &[usize],
    print: &ProofPrint,
    shares: &[f32],
    seen: &SquaredUp,
) -> Option<Read> {
    let square_mm = print.square_mm();
    let per_cell = libm::round(CELL_MM / square_mm).max(1.0) as usize;
    let across = print.columns.div_ceil(per_cell);
    // Sums of light, of places and of squares, by cell.
    let mut sums = std::collections::BTreeMap::<usize, [f64; 4]>::new();
    for &at in squares {
        let (x, y) = (at % print.columns, at / print.columns);
        let sum = sums.entry(y / per_cell * across + x / per_cell).or_default();
        let by = [
            f64::from(shares[at]),
            (x as f64 + 0.5) * square_mm,
            (y as f64 + 0.5) * square_mm,
            1.0,
        ];
        sum.iter_mut().zip(by).for_each(|(sum, by)| *sum += by);
    }
    let paper = seen.paper_reflectance;
    let lightness = |share: f64| light::lightness((seen.camera.taken_off(share) * paper).max(0.0));
    let least = WITHIN * (per_cell * per_cell) as f64;
    let large = sums.values().filter(|sum| sum[3] >= least).count() >= FEWEST;
    let mut cells: Vec<Cell> = sums
        .into_values()
        .filter(|sum| !large || sum[3] >= least)
        .map(|[light, x, y, n]| {
            let share = light / n;
            let (at, lightness) = ((x / n, y / n), lightness(share));
            Cell { at, lightness, share, squares: n, speck: false }
        })
        .collect();
    let all: Vec<f64> = cells.iter().map(|cell| cell.share).collect();
    let median = median_of(&all);
    let far: Vec<f64> = all.iter().map(|share| (share - median).abs()).collect();
    let deviation = median_of(&far) / MAD;
    for cell in &mut cells {
        cell.speck = (cell.share - median).abs() > SPECK * deviation + 1e-4;
    }
    let all: Vec<((f64, f64), f64)> = cells.iter().map(|cell| (cell.at, cell.lightness)).collect();
    let found = cells.len();
    cells.retain(|cell| !cell.speck);
    if cells.len() < FEWEST {
        return None;
    }
    let weight: f64 = cells.iter().map(|cell| cell.squares).sum();
    let mean = cells.iter().map(|cell| cell.share * cell.squares).sum::<f64>() / weight;
    let l = lightness(mean);
    let squares_off =
        cells.iter().map(|cell| cell.squares * (cell.lightness - l) * (cell.lightness - l));
    let n = cells.len() as f64;
    let spread_l = libm::sqrt(squares_off.sum::<f64>() / weight * n / (n - 1.0));
    let scatter_l = scatter(&cells, l, spread_l, print.width_mm);
    let light_l = (l + 16.0) / 3.0 * LIGHT_LN;
    let scatter_l = libm::hypot(scatter_l, light_l);
    let camera_l = seen.camera.doubt_l(l, paper);
    let reading = ValueReading {
        value,
        expected_l: print.lightness[value],
        lightness: l,
        spread_l,
        scatter_l,
        good_to_l: OF_95 * libm::hypot(scatter_l, camera_l),
        cells: cells.len(),
        specks: found - cells.len(),
        area_mm2: weight * square_mm * square_mm,
    };
    let places = places(value, &all, l, print.width_mm);
    Some(Read { reading, cells, places })
}

/// What each small square of a value reads against `l`, by the median of its cells: specks are outvoted, and a place that is
/// off as a whole is none.
fn places(value: usize, cells: &[((f64, f64), f64)], l: f64, width_mm: f64) -> Vec<PlaceSeen> {
    let across = libm::ceil(width_mm / PLACE_MM) as usize;
    let mut squares: Vec<Vec<&((f64, f64), f64)>> = Vec::new();
    for cell in cells {
        let (x, y) = cell.0;
        let square = (y / PLACE_MM) as usize * across + (x / PLACE_MM) as usize;
        if squares.len() <= square {
            squares.resize_with(square + 1, Vec::new);
        }
        squares[square].push(cell);
    }
    let middle = |cells: &[&((f64, f64), f64)]| {
        median_of(&cells.iter().map(|cell| cell.1).collect::<Vec<f64>>())
    };
    let full = squares.iter().filter(|cells| cells.len() >= FEWEST);
    let far: Vec<f64> = full
        .flat_map(|cells| {
            let middle = middle(cells);
            cells.iter().map(move |cell| (cell.1 - middle).abs())
        })
        .collect();
    let deviation = if far.is_empty() { PIECE_L } else { median_of(&far) / MAD };
    let seen = |cells: Vec<&((f64, f64), f64)>| {
        let n = cells.len() as f64;
        let sum = cells.iter().fold((0.0, 0.0), |sum, cell| (sum.0 + cell.0.0, sum.1 + cell.0.1));
        PlaceSeen {
            value,
            x_mm: sum.0 / n,
            y_mm: sum.1 / n,
            lighter_l: middle(&cells) - l,
            good_to_l: MEDIAN_TIMES * deviation / libm::sqrt(n),
        }
    };
    squares.into_iter().filter(|cells| !cells.is_empty()).map(seen).collect()
}

/// How far the mean may be off for what scatters over the plate, L* (standard deviation): by cells, or where pieces of
/// the plate differ by more than their cells account for, by pieces.
fn scatter(cells: &[Cell], l: f64, spread_l: f64, width_mm: f64) -> f64 {
    let across = libm::ceil(width_mm / PIECE_MM) as usize;
    let mut pieces = std::collections::BTreeMap::<usize, (f64, f64)>::new();
    for cell in cells {
        let piece = (cell.at.1 / PIECE_MM) as usize * across + (cell.at.0 / PIECE_MM) as usize;
        let (sum, squares) = pieces.entry(piece).or_default();
        *sum += cell.lightness * cell.squares;
        *squares += cell.squares;
    }
    let by_cells = spread_l / libm::sqrt(cells.len() as f64);
    let weight: f64 = pieces.values().map(|(_, squares)| squares).sum();
    // As many pieces as count: few large ones among many small ones are few.
    let shares: f64 = pieces.values().map(|(_, squares)| squares * squares).sum();
    let count = weight * weight / shares.max(1e-12);
    if count < 2.0 {
        return libm::hypot(by_cells, PIECE_L / libm::sqrt(count.max(1.0)));
    }
    let off =
        pieces.values().map(|(sum, squares)| squares * (sum / squares - l) * (sum / squares - l));
    let by_pieces = libm::sqrt(off.sum::<f64>() / weight / (count - 1.0));
    by_cells.max(by_pieces)
}

#[cfg(test)]
mod tests {
    use super::depths;

    /// Closed form: in a strip the depth is the distance to its nearer side, and borders with the same value are none.
    #[test]
    fn depth_is_the_distance_from_the_nearest_border() {
        let (columns, rows, square_mm) = (40, 20, 0.5);
        let own: Vec<Option<u8>> = (0..columns * rows)
            .map(|at| if at % columns < 12 { Some(3) } else { (at % columns < 30).then_some(1) })
            .collect();
        let depth = depths(&own, columns, square_mm);
        let at = |x: usize, y: usize| depth[y * columns + x];
        for x in 0..40 {
            let expected = match x {
                0..12 => (x + 1).min(12 - x) as f64 - 0.5,
                12..30 => (x - 11).min(30 - x) as f64 - 0.5,
                _ => 0.0,
            };
            assert!(
                (at(x, 10) - 0.5 * expected).abs() < 1e-9,
                "{} at {x}, not {expected}",
                at(x, 10)
            );
        }
        // Towards the plate's edge it is the edge that counts.
        assert!((at(6, 0) - 0.25).abs() < 1e-9 && (at(20, 2) - 1.25).abs() < 1e-9);
    }
}
