//! A raster laid on the plate.

/// A raster of square pixels laid on the copper: x to the right, y down, from the top left of the
/// plate as one looks at its bitten face. The print is the mirror image; only [`crate::chain`]
/// turns it over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grid {
    /// Left edge of pixel column 0, in pixels from the plate's left edge.
    pub left_px: i64,
    /// Top edge of pixel row 0, in pixels from the plate's top edge.
    pub top_px: i64,
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Size of a pixel, µm.
    pub px_um: f32,
}

impl Grid {
    /// Number of pixels.
    #[must_use]
    pub fn len(&self) -> usize {
        self.width * self.height
    }

    /// True when the raster has no pixels.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Left edge, µm from the plate's left edge.
    #[must_use]
    pub fn left_um(&self) -> f64 {
        self.left_px as f64 * f64::from(self.px_um)
    }

    /// Top edge, µm from the plate's top edge.
    #[must_use]
    pub fn top_um(&self) -> f64 {
        self.top_px as f64 * f64::from(self.px_um)
    }

    /// Index of the first pixel of `inner`'s row `row` in a field over this raster, which must hold
    /// all of `inner`.
    #[must_use]
    pub fn index_of(&self, inner: &Self, row: usize) -> usize {
        ((inner.top_px - self.top_px) as usize + row) * self.width
            + (inner.left_px - self.left_px) as usize
    }

    /// The raster grown by `margin` pixels on every side.
    #[must_use]
    pub fn grown(&self, margin: usize) -> Self {
        Self {
            left_px: self.left_px - margin as i64,
            top_px: self.top_px - margin as i64,
            width: self.width + 2 * margin,
            height: self.height + 2 * margin,
            px_um: self.px_um,
        }
    }
}

/// A field over a raster, whose first rows may stand elsewhere than the rest.
#[derive(Clone, Copy, Debug)]
pub struct Rows<'a> {
    above: &'a [f32],
    below: &'a [f32],
}

impl<'a> Rows<'a> {
    /// Rows in two places: those `above`, then those `below`.
    #[must_use]
    pub fn of(above: &'a [f32], below: &'a [f32]) -> Self {
        Self { above, below }
    }

    /// A row of a raster so many pixels wide.
    #[must_use]
    pub fn row(&self, y: usize, width: usize) -> &'a [f32] {
        let from = y * width;
        match self.above.get(from..from + width) {
            Some(row) => row,
            None => &self.below[from - self.above.len()..][..width],
        }
    }
}

impl<'a> From<&'a [f32]> for Rows<'a> {
    fn from(field: &'a [f32]) -> Self {
        Self::of(&[], field)
    }
}

/// Every place of a raster becomes what `of` makes of itself and its eight neighbours, two at a time: the least of them, or the
/// greatest. `line` is scratch.
pub(crate) fn spread<T: Copy>(
    field: &mut [T],
    columns: usize,
    line: &mut Vec<T>,
    of: impl Fn(T, T) -> T,
) {
    for row in field.chunks_exact_mut(columns) {
        line.clear();
        line.extend_from_slice(row);
        for (one, &left) in row[1..].iter_mut().zip(&*line) {
            *one = of(*one, left);
        }
        for (one, &right) in row.iter_mut().zip(&line[1..]) {
            *one = of(*one, right);
        }
    }
    // What each row was before it took on the row above.
    line.clear();
    line.extend_from_slice(&field[..columns]);
    let mut rest = field;
    while rest.len() > columns {
        let (here, below) = rest.split_at_mut(columns);
        for ((here, below), was) in here.iter_mut().zip(&mut *below).zip(line.iter_mut()) {
            let next = *below;
            *here = of(*here, next);
            *below = of(next, *was);
            *was = next;
        }
        rest = below;
    }
}

/// Reserves exactly `length` entries in `row`, whose content is lost if it is too short: the usual doubling
/// would cost each large field up to twice the memory it needs.
pub(crate) fn make_room<T>(row: &mut Vec<T>, length: usize) {
    if row.capacity() < length {
        // Given back first, so that the old one makes room for the new.
        *row = Vec::new();
        row.reserve_exact(length);
    }
}

/// Makes `row` so long, with a little room more where it has to grow, as rows of many windows differ by little; what was in it is
/// of no use afterwards.
pub(crate) fn sized<T: Clone>(row: &mut Vec<T>, length: usize, blank: T) {
    if row.capacity() < length {
        make_room(row, length + length / 16);
    }
    row.resize(length, blank);
}
