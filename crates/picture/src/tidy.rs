//! A tidy map of values: no speck too small for a brush, and borders smooth enough to paint.

use crate::values::ValueMap;

mod narrow;

/// Cells to the width of the smallest place.
const CELLS_PER_SMALLEST: f64 = 4.0;
/// Most cells along a side.
const MOST_CELLS: f64 = 1600.0;
/// Mark of a place between cells of several values.
const SEVERAL: u8 = u8::MAX;
/// Most values, paper included.
const VALUES: usize = plan::MAX_VALUES + 1;

/// Which value goes where after small specks have been merged into their surroundings.
///
/// It is kept as square cells of values. Between the cells' middles each value has the weight of a
/// cubic B-spline and the heaviest wins, so borders are smooth however far one zooms in, and no
/// third value appears between two.
#[derive(Clone, Debug)]
pub struct TidyMap {
    labels: Vec<u8>,
    width: usize,
    height: usize,
    /// Cells to a µm, across and down.
    per_um: (f64, f64),
    /// The value of all sixteen cells round each gap between four, or [`SEVERAL`].
    plain: Vec<u8>,
    merged: usize,
    moved_share: f64,
}

impl TidyMap {
    /// Tidies a map: areas smaller than a disc `smallest_mm` wide take the value they share most of
    /// their border with, the smallest first; then every place takes the value that rules the disc
    /// round it, and last whatever no such disc of one value reaches goes to what lies nearest: a hair between
    /// two values is as little to be painted as a speck.
    #[must_use]
    pub fn new(map: &ValueMap<'_>, plate_mm: (f64, f64), smallest_mm: f64) -> Self {
        let longest = plate_mm.0.max(plate_mm.1);
        let cell = (smallest_mm / CELLS_PER_SMALLEST).max(longest / MOST_CELLS);
        let count = |mm: f64| (libm::round(mm / cell) as usize).max(4);
        let (width, height) = (count(plate_mm.0), count(plate_mm.1));
        let before = map.coarse(width, height);
        let mut labels = before.clone();
        let across = smallest_mm / cell;
        let least = libm::ceil(core::f64::consts::FRAC_PI_4 * across * across).max(2.0) as usize;
        let merged = merge_specks(&mut labels, width, height, least);
        rule_of_disc(&mut labels, width, height, across / 2.0);
        merge_specks(&mut labels, width, height, least);
        narrow::give_way(&mut labels, width, height, libm::round(across) as usize);
        let moved = before.iter().zip(&labels).filter(|(a, b)| a != b).count();
        let per_um = |cells: usize, mm: f64| cells as f64 / (mm * 1000.0);
        Self {
            plain: plain_gaps(&labels, width, height),
            per_um: (per_um(width, plate_mm.0), per_um(height, plate_mm.1)),
            moved_share: moved as f64 / labels.len() as f64,
            labels,
            width,
            height,
            merged,
        }
    }

    /// How many specks were merged away.
    #[must_use]
    pub fn merged(&self) -> usize {
        self.merged
    }

    /// Share of the plate (0–1) that has another value than in the picture.
    #[must_use]
    pub fn moved_share(&self) -> f64 {
        self.moved_share
    }

    /// Share of the plate of the paper and of each of `values` values.
    #[must_use]
    pub fn area_shares(&self, values: usize) -> Vec<f64> {
        shares(&self.labels, values)
    }

    /// The values at the crossings of columns and rows, µm on the print, row by row.
    pub(crate) fn raster(&self, columns_um: &[f64], rows_um: &[f64], out: &mut Vec<u8>) {
        out.clear();
        out.reserve(columns_um.len() * rows_um.len());
        let columns: Vec<(usize, [f32; 4])> =
            columns_um.iter().map(|x| gap(x * self.per_um.0, self.width)).collect();
        for y in rows_um {
            let (row, down) = gap(y * self.per_um.1, self.height);
            let gaps = &self.plain[row * (self.width + 1)..][..self.width + 1];
            out.extend(columns.iter().map(|(column, across)| {
                let plain = gaps[*column];
                if plain == SEVERAL { self.heaviest(*column, row, across, &down) } else { plain }
            }));
        }
    }

    fn heaviest(&self, column: usize, row: usize, across: &[f32; 4], down: &[f32; 4]) -> u8 {
        let mut weight = [0.0_f32; VALUES];
        for (j, down) in down.iter().enumerate() {
            let line = self.row_of(row, j) * self.width;
            for (i, across) in across.iter().enumerate() {
                weight[usize::from(self.labels[line + near(column, i, self.width)])] +=
                    across * down;
            }
        }
        (1..VALUES).fold(0, |best, v| if weight[v] > weight[best] { v } else { best }) as u8
    }

    fn row_of(&self, row: usize, tap: usize) -> usize {
        near(row, tap, self.height)
    }
}

/// Share of the paper and of each of `values` values among cells.
pub(crate) fn shares(labels: &[u8], values: usize) -> Vec<f64> {
    let mut counts = vec![0_u64; values + 1];
    for label in labels {
        counts[usize::from(*label)] += 1;
    }
    counts.iter().map(|count| *count as f64 / labels.len() as f64).collect()
}

/// Cell `tap` (0–3) of the four round gap `gap`, kept on the map. Gap g lies between cells g − 1 and g.
fn near(gap: usize, tap: usize, size: usize) -> usize {
    (gap + tap).saturating_sub(2).min(size - 1)
}

/// The gap between cell middles that a place (in cells) lies in, and the four cubic B-spline weights.
fn gap(at: f64, size: usize) -> (usize, [f32; 4]) {
    let along = (at + 0.5).clamp(0.0, size as f64);
    let index = (along as usize).min(size);
    let f = (along - index as f64) as f32;
    let g = 1.0 - f;
    let sixth = 1.0 / 6.0_f32;
    (
        index,
        [
            g * g * g * sixth,
            (f * f * (3.0 * f - 6.0) + 4.0) * sixth,
            (g * g * (3.0 * g - 6.0) + 4.0) * sixth,
            f * f * f * sixth,
        ],
    )
}

fn plain_gaps(labels: &[u8], width: usize, height: usize) -> Vec<u8> {
    let mut plain = Vec::with_capacity((width + 1) * (height + 1));
    for row in 0..=height {
        for column in 0..=width {
            let first = labels[near(row, 0, height) * width + near(column, 0, width)];
            let same = (0..4).all(|j| {
                let line = near(row, j, height) * width;
                (0..4).all(|i| labels[line + near(column, i, width)] == first)
            });
            plain.push(if same { first } else { SEVERAL });
        }
    }
    plain
}

/// Every cell takes the value that holds most of the disc round it; its own where that is among the
/// most.
fn rule_of_disc(labels: &mut [u8], width: usize, height: usize, radius: f64) {
    let reach = radius as i64;
    let disc: Vec<(i64, i64)> = (-reach..=reach)
        .flat_map(|y| (-reach..=reach).map(move |x| (x, y)))
        .filter(|(x, y)| (x * x + y * y) as f64 <= radius * radius)
        .collect();
    let before = labels.to_vec();
    let at = |x: i64, y: i64| {
        before
            [y.clamp(0, height as i64 - 1) as usize * width + x.clamp(0, width as i64 - 1) as usize]
    };
    for y in 0..height as i64 {
        for x in 0..width as i64 {
            let own = at(x, y);
            // Inside a plain area the disc's rim tells all.
            let rim = [(reach, 0), (-reach, 0), (0, reach), (0, -reach), (reach / 2, reach / 2)];
            if rim.iter().all(|(dx, dy)| at(x + dx, y + dy) == own)
                && at(x - reach / 2, y + reach / 2) == own
                && at(x - reach / 2, y - reach / 2) == own
                && at(x + reach / 2, y - reach / 2) == own
            {
                continue;
            }
            let mut votes = [0_u32; VALUES];
            for (dx, dy) in &disc {
                votes[usize::from(at(x + dx, y + dy))] += 1;
            }
            let best = (0..VALUES)
                .fold(usize::from(own), |best, v| if votes[v] > votes[best] { v } else { best });
            labels[y as usize * width + x as usize] = best as u8;
        }
    }
}

/// Merges every area of fewer than `least` cells (joined by their sides) into the value it shares most
/// of its border with, the smallest first, and says how many.
pub(crate) fn merge_specks(labels: &mut [u8], width: usize, height: usize, least: usize) -> usize {
    let (mut area_of, areas) = connected(labels, width, height);
    let mut areas = areas;
    let mut small: Vec<usize> = (0..areas.len()).filter(|i| areas[*i].size < least).collect();
    if small.is_empty() || areas.len() < 2 {
        return 0;
    }
    let mut cells: Vec<Vec<u32>> = vec![Vec::new(); areas.len()];
    for (cell, area) in area_of.iter().enumerate() {
        if areas[*area as usize].size < least {
            cells[*area as usize].push(cell as u32);
        }
    }
    // Of one size as they were: a stable sort.
    small.sort_by_key(|area| areas[*area].size);
    let mut merged = 0;
    for speck in small {
        if areas[speck].root != speck || areas[speck].size >= least {
            continue;
        }
        // Border shared with each value, and the areas that have it.
        let mut border = [0_u32; VALUES];
        let mut around: Vec<(u8, usize)> = Vec::new();
        let own = std::mem::take(&mut cells[speck]);
        for cell in &own {
            for next in neighbours(*cell as usize, width, height) {
                let other = root(&mut areas, area_of[next] as usize);
                if other != speck {
                    border[usize::from(labels[next])] += 1;
                    if !around.contains(&(labels[next], other)) {
                        around.push((labels[next], other));
                    }
                }
            }
        }
        let Some(value) = (0..VALUES)
            .filter(|v| border[*v] > 0)
            .reduce(|best, v| if border[v] > border[best] { v } else { best })
        else {
            continue;
        };
        merged += 1;
        let joined: Vec<usize> = around
            .iter()
            .filter(|(v, _)| usize::from(*v) == value)
            .map(|(_, area)| *area)
            .collect();
        let into = joined
            .iter()
            .copied()
            .reduce(|a, b| if areas[b].size > areas[a].size { b } else { a })
            .unwrap_or(speck);
        for cell in &own {
            labels[*cell as usize] = value as u8;
            area_of[*cell as usize] = into as u32;
        }
        let mut all = own;
        let mut size = areas[speck].size;
        for area in joined.into_iter().filter(|area| *area != into) {
            size += areas[area].size;
            areas[area].root = into;
            all.append(&mut cells[area]);
        }
        areas[speck].root = into;
        areas[into].size += size;
        if areas[into].size < least {
            cells[into].append(&mut all);
        }
    }
    merged
}

/// Cells joined by their sides.
struct Area {
    size: usize,
    /// Itself, or the area it was merged into.
    root: usize,
}

fn root(areas: &mut [Area], mut area: usize) -> usize {
    while areas[area].root != area {
        let up = areas[area].root;
        areas[area].root = areas[up].root;
        area = up;
    }
    area
}

fn neighbours(cell: usize, width: usize, height: usize) -> impl Iterator<Item = usize> {
    let (x, y) = (cell % width, cell / width);
    [
        (x > 0).then(|| cell - 1),
        (x + 1 < width).then_some(cell + 1),
        (y > 0).then(|| cell - width),
        (y + 1 < height).then_some(cell + width),
    ]
    .into_iter()
    .flatten()
}

/// The area that each cell belongs to.
fn connected(labels: &[u8], width: usize, height: usize) -> (Vec<u32>, Vec<Area>) {
    let mut area_of = vec![u32::MAX; labels.len()];
    let mut areas = Vec::new();
    let mut open = Vec::new();
    for start in 0..labels.len() {
        if area_of[start] != u32::MAX {
            continue;
        }
        let mut size = 0;
        area_of[start] = areas.len() as u32;
        open.push(start);
        while let Some(cell) = open.pop() {
            size += 1;
            for next in neighbours(cell, width, height) {
                if area_of[next] == u32::MAX && labels[next] == labels[start] {
                    area_of[next] = areas.len() as u32;
                    open.push(next);
                }
            }
        }
        areas.push(Area { size, root: areas.len() });
    }
    (area_of, areas)
}

#[cfg(test)]
mod tests {
    use super::{connected, merge_specks, shares};

    #[test]
    fn specks_go_and_their_area_goes_to_the_value_round_them() {
        let (width, height) = (40, 30);
        let mut labels: Vec<u8> =
            (0..width * height).map(|i| if i % width < 20 { 1 } else { 4 }).collect();
        let before = shares(&labels, 5);
        // A speck of 6 cells within value 1, one of two values within 4, and an island that is large enough.
        for (x, y, v) in [
            (5, 5, 3),
            (6, 5, 3),
            (7, 5, 3),
            (5, 6, 3),
            (6, 6, 3),
            (7, 6, 3),
            (30, 10, 2),
            (31, 10, 3),
        ] {
            labels[y * width + x] = v;
        }
        for y in 20..25 {
            for x in 26..34 {
                labels[y * width + x] = 0;
            }
        }
        let merged = merge_specks(&mut labels, width, height, 12);
        assert_eq!(merged, 3, "three specks were too small");
        let after = shares(&labels, 5);
        assert!((after[1] - before[1]).abs() < 1e-12, "value 1 got its speck back: {after:?}");
        let island = 40.0 / 1200.0;
        assert!((after[0] - island).abs() < 1e-12, "the large island stays: {after:?}");
        assert!((after[4] - (before[4] - island)).abs() < 1e-12, "value 4 got its own: {after:?}");
    }

    #[test]
    fn nothing_smaller_than_asked_is_left() {
        let (width, height) = (61, 47);
        for seed in 1_u32..6 {
            let mut state = seed;
            let mut labels: Vec<u8> = (0..width * height)
                .map(|_| {
                    state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                    (state >> 24) as u8 % 5
                })
                .collect();
            let merged = merge_specks(&mut labels, width, height, 30);
            let (_, areas) = connected(&labels, width, height);
            assert!(merged > 50, "noise is full of specks: {merged}");
            assert!(
                areas.iter().all(|area| area.size >= 30),
                "an area of less than 30 cells is left"
            );
        }
    }
}
