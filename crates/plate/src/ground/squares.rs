//! Squares: drops on the copper, put in the order of small squares so that neighbours are found at once.

use crate::order::greatest;

/// Drops looked at together, so that the compiler vectorizes the loop.
pub(super) const LANES: usize = 4;

/// Grows a row to at least `count` entries, filled with `blank`; unlike `grid::make_room` it keeps its
/// content.
///
/// Only a sixteenth longer than asked for: the next tile holds about as many drops as this one, and most of
/// a row that doubles would stay empty for good.
pub(super) fn lengthen<T: Copy>(row: &mut Vec<T>, count: usize, blank: T) {
    if row.len() < count {
        let length = count + count / 16;
        row.reserve_exact(length - row.len());
        row.resize(length, blank);
    }
}

/// Drops on the copper, each quantity in a row of its own.
///
/// The rows are as long as they ever had to be, so that they need not be filled again and again;
/// the first [`Drops::len`] entries count.
#[derive(Clone, Debug, Default)]
pub(super) struct Drops {
    count: usize,
    pub(super) x_um: Vec<f32>,
    pub(super) y_um: Vec<f32>,
    pub(super) radius_um: Vec<f32>,
    pub(super) volume_um3: Vec<f64>,
}

impl Drops {
    pub(super) fn len(&self) -> usize {
        self.count
    }

    pub(super) fn clear(&mut self) {
        self.count = 0;
    }

    /// Makes it so many; what new ones are like is left open.
    pub(super) fn resize(&mut self, count: usize) {
        self.count = count;
        if self.volume_um3.len() < count {
            lengthen(&mut self.x_um, count, 0.0);
            lengthen(&mut self.y_um, count, 0.0);
            lengthen(&mut self.radius_um, count, 0.0);
            lengthen(&mut self.volume_um3, count, 0.0);
        }
    }

    #[inline]
    pub(super) fn push(&mut self, (x_um, y_um): (f32, f32), radius_um: f32, volume_um3: f64) {
        let at = self.count;
        self.resize(at + 1);
        self.x_um[at] = x_um;
        self.y_um[at] = y_um;
        self.radius_um[at] = radius_um;
        self.volume_um3[at] = volume_um3;
    }

    /// The rows from drop `from` on.
    #[inline]
    pub(super) fn rows_mut(&mut self, from: usize) -> RowsMut<'_> {
        let count = self.count;
        RowsMut {
            x_um: &mut self.x_um[from..count],
            y_um: &mut self.y_um[from..count],
            radius_um: &mut self.radius_um[from..count],
            volume_um3: &mut self.volume_um3[from..count],
        }
    }

    /// Appends those drops of `from` whose numbers are given.
    pub(super) fn append(&mut self, from: &Self, numbers: &[u32]) {
        let start = self.len();
        self.resize(start + numbers.len());
        let to = self.rows_mut(start);
        let count = from.len();
        let (x_um, y_um) = (&from.x_um[..count], &from.y_um[..count]);
        let (radius_um, volume_um3) = (&from.radius_um[..count], &from.volume_um3[..count]);
        for (at, &number) in numbers.iter().enumerate() {
            let number = number as usize;
            to.x_um[at] = x_um[number];
            to.y_um[at] = y_um[number];
            to.radius_um[at] = radius_um[number];
            to.volume_um3[at] = volume_um3[number];
        }
    }

    /// (Distance / sum of radii)² of two drops.
    pub(super) fn nearness(&self, one: usize, other: usize) -> f32 {
        let (dx, dy) = (self.x_um[other] - self.x_um[one], self.y_um[other] - self.y_um[one]);
        let sum = self.radius_um[other] + self.radius_um[one];
        (dx * dx + dy * dy) / (sum * sum)
    }

    /// The largest radius, µm; 0 without drops.
    pub(super) fn widest_um(&self) -> f32 {
        greatest(&self.radius_um[..self.count])
    }

    /// A radius that `share` % of the drops do not exceed, µm, from some hundred picked evenly.
    pub(super) fn usual_um(&self, share: usize) -> f32 {
        let step = self.len() / 128 + 1;
        let mut picked: Vec<f32> =
            self.radius_um[..self.count].iter().step_by(step).copied().collect();
        picked.sort_unstable_by(f32::total_cmp);
        picked.get(picked.len() * share / 100).copied().unwrap_or(0.0)
    }
}

/// Rows of drops of one length, to be written.
pub(super) struct RowsMut<'a> {
    pub(super) x_um: &'a mut [f32],
    pub(super) y_um: &'a mut [f32],
    pub(super) radius_um: &'a mut [f32],
    pub(super) volume_um3: &'a mut [f64],
}

/// Squares over the copper, and where each one's drops begin.
///
/// Row by row, with an empty square at the end of each row and an empty row at the bottom: so the
/// square to the right of any, and the three below it, can be asked for without looking where the
/// copper ends.
#[derive(Clone, Debug, Default)]
pub(super) struct Squares {
    /// Squares along a row, without the empty one.
    pub(super) across: usize,
    /// The last column and row.
    last: f32,
    per_um: f32,
    /// First drop of each square, and one more.
    pub(super) starts: Vec<u32>,
    /// Square of each drop before sorting, afterwards its place.
    place_of: Vec<u32>,
}

impl Squares {
    /// Squares from one row to the next.
    #[inline]
    pub(super) fn stride(&self) -> usize {
        self.across + 1
    }

    /// Column or row of squares at this place; places off the copper belong to its edge.
    ///
    /// Adding 2²³ leaves the whole number in the lowest bits, which is quicker than a conversion.
    #[inline]
    pub(super) fn line(&self, at_um: f32) -> usize {
        self.line_bits(at_um) as usize
    }

    #[inline]
    fn line_bits(&self, at_um: f32) -> u32 {
        const WHOLE: f32 = 8_388_608.0;
        let line = at_um * self.per_um - 0.5;
        let line = if line > 0.0 { line } else { 0.0 };
        let line = if line < self.last { line } else { self.last };
        (line + WHOLE).to_bits() - WHOLE.to_bits()
    }

    /// The square of a place.
    #[inline]
    pub(super) fn square(&self, x_um: f32, y_um: f32) -> usize {
        (self.line_bits(y_um) * self.stride() as u32 + self.line_bits(x_um)) as usize
    }

    /// Places after sorting of the first `count` drops.
    pub(super) fn places(&self, count: usize) -> impl Iterator<Item = u32> + '_ {
        self.place_of[..count].iter().copied()
    }

    /// Puts `drops` into the order of squares no smaller than `square_um`, over copper of this side;
    /// after them follow [`LANES`] that lie nowhere.
    pub(super) fn sort(&mut self, drops: &Drops, side_um: f32, square_um: f32, sorted: &mut Drops) {
        let count = drops.len();
        let most = (count as f32).sqrt().ceil();
        let across = (side_um / square_um).floor().min(most).max(1.0);
        self.across = across as usize;
        self.last = across - 1.0;
        self.per_um = across / side_um;
        let mut place_of = core::mem::take(&mut self.place_of);
        lengthen(&mut place_of, count, 0);
        let places = drops.x_um[..count].iter().zip(&drops.y_um[..count]);
        for (place, (&x_um, &y_um)) in place_of[..count].iter_mut().zip(places) {
            *place = self.square(x_um, y_um) as u32;
        }
        let starts = &mut self.starts;
        starts.clear();
        starts.resize((self.across + 1) * (self.across + 1) + 2, 0);
        for &square in &place_of[..count] {
            starts[square as usize] += 1;
        }
        let mut sum = 0;
        for start in starts.iter_mut() {
            sum += *start;
            *start = sum;
        }
        sorted.resize(count + LANES);
        let to = sorted.rows_mut(0);
        let (x_um, y_um) = (&drops.x_um[..count], &drops.y_um[..count]);
        let (radius_um, volume_um3) = (&drops.radius_um[..count], &drops.volume_um3[..count]);
        // From the back, so that drops of one square keep their order.
        for (index, place_of) in place_of[..count].iter_mut().enumerate().rev() {
            let start = &mut starts[*place_of as usize];
            *start -= 1;
            *place_of = *start;
            let place = *start as usize;
            to.x_um[place] = x_um[index];
            to.y_um[place] = y_um[index];
            to.radius_um[place] = radius_um[index];
            to.volume_um3[place] = volume_um3[index];
        }
        to.x_um[count..].fill(f32::INFINITY);
        self.place_of = place_of;
    }
}
