//! How a plate lies on sheets of paper.

use super::GuidePaper;

/// What no printer is asked to reach, mm.
pub(super) const MARGIN: f64 = 10.0;
/// Room for the words above and the ruler below, mm.
pub(super) const HEAD: f64 = 25.0;
pub(super) const FOOT: f64 = 14.0;
/// What is shown round the plate, mm.
pub(super) const ROUND: f64 = 3.0;
/// How far neighbouring sheets overlap, mm.
pub(super) const LAP: f64 = 10.0;
/// Narrowest room for words and ruler, mm.
const NARROWEST: f64 = 190.0;

/// The sheets of one step. Places on the plate are mm from its upper left, as the guide shows it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Layout {
    /// Width and height of a sheet.
    pub(super) page_mm: (f64, f64),
    pub(super) plate_mm: (f64, f64),
    /// The part of the plate that each sheet shows; all are alike.
    pub(super) tile_mm: (f64, f64),
    columns: usize,
    rows: usize,
}

/// One sheet of a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Place {
    pub(super) column: usize,
    pub(super) row: usize,
}

impl Place {
    /// A letter to a row, a number to a column.
    pub(super) fn name(self) -> String {
        format!("{}{}", char::from(b'A' + self.row.min(25) as u8), self.column + 1)
    }
}

/// Sheets along one side, and how much each shows.
fn along(length: f64, room: f64) -> (usize, f64) {
    let count = if length <= room { 1.0 } else { libm::ceil((length - LAP) / (room - LAP)) };
    (count as usize, (length + (count - 1.0) * LAP) / count)
}

impl Layout {
    /// The way round that needs fewer sheets; if both need as many, the plate's own.
    pub(super) fn new(paper: GuidePaper, width_mm: f64, height_mm: f64) -> Self {
        let shown = (width_mm + 2.0 * ROUND, height_mm + 2.0 * ROUND);
        let lay = |page_mm: (f64, f64)| {
            let (columns, tile_width) = along(shown.0, page_mm.0 - 2.0 * MARGIN);
            let (rows, tile_height) = along(shown.1, page_mm.1 - 2.0 * MARGIN - HEAD - FOOT);
            Self {
                page_mm,
                plate_mm: (width_mm, height_mm),
                tile_mm: (tile_width, tile_height),
                columns,
                rows,
            }
        };
        match paper.upright_mm() {
            None => {
                lay((shown.0.max(NARROWEST) + 2.0 * MARGIN, shown.1 + 2.0 * MARGIN + HEAD + FOOT))
            }
            Some((short, long)) => {
                let (upright, across) = (lay((short, long)), lay((long, short)));
                let sheets = |layout: &Self| layout.columns * layout.rows;
                let first_across = width_mm > height_mm;
                let takes_across = match sheets(&across).cmp(&sheets(&upright)) {
                    std::cmp::Ordering::Less => true,
                    std::cmp::Ordering::Equal => first_across,
                    std::cmp::Ordering::Greater => false,
                };
                if takes_across { across } else { upright }
            }
        }
    }

    pub(super) fn is_tiled(&self) -> bool {
        self.columns * self.rows > 1
    }

    /// All sheets, row by row.
    pub(super) fn places(&self) -> impl Iterator<Item = Place> + '_ {
        (0..self.rows).flat_map(|row| (0..self.columns).map(move |column| Place { column, row }))
    }

    /// Left and top of what a sheet shows of the plate.
    pub(super) fn tile_at(&self, place: Place) -> (f64, f64) {
        (
            place.column as f64 * (self.tile_mm.0 - LAP) - ROUND,
            place.row as f64 * (self.tile_mm.1 - LAP) - ROUND,
        )
    }

    /// Where it stands on the sheet.
    pub(super) fn tile_on_page(&self) -> (f64, f64) {
        ((self.page_mm.0 - self.tile_mm.0) / 2.0, MARGIN + HEAD)
    }

    /// Where neighbouring columns and rows join: the middles of their overlaps.
    pub(super) fn joins(&self) -> (Vec<f64>, Vec<f64>) {
        let middles = |count: usize, tile: f64| {
            (1..count).map(|n| n as f64 * (tile - LAP) - ROUND + LAP / 2.0).collect()
        };
        (middles(self.columns, self.tile_mm.0), middles(self.rows, self.tile_mm.1))
    }

    /// Registration marks: two on each join of each pair of neighbours, so that a sheet can't lie
    /// askew.
    pub(super) fn marks(&self) -> Vec<(f64, f64)> {
        let (across, down) = self.joins();
        let pair = |start: f64, length: f64| [start + 0.2 * length, start + 0.8 * length];
        let mut marks = Vec::new();
        for x in &across {
            for row in 0..self.rows {
                let (_, top) = self.tile_at(Place { column: 0, row });
                marks.extend(pair(top, self.tile_mm.1).map(|y| (*x, y)));
            }
        }
        for y in &down {
            for column in 0..self.columns {
                let (left, _) = self.tile_at(Place { column, row: 0 });
                marks.extend(pair(left, self.tile_mm.0).map(|x| (x, *y)));
            }
        }
        marks
    }
}

#[cfg(test)]
mod tests {
    use super::{LAP, Layout, ROUND};
    use crate::GuidePaper;

    #[test]
    fn a_plate_lies_on_as_few_sheets_as_can_be() {
        for (paper, plate, page, sheets) in [
            (GuidePaper::A4, (150.0, 200.0), (210.0, 297.0), 1),
            (GuidePaper::A4, (220.0, 140.0), (297.0, 210.0), 1),
            (GuidePaper::A4, (300.0, 400.0), (210.0, 297.0), 4),
            (GuidePaper::A4, (400.0, 300.0), (297.0, 210.0), 6),
            (GuidePaper::A3, (200.0, 300.0), (297.0, 420.0), 1),
            (GuidePaper::Letter, (100.0, 250.0), (215.9, 279.4), 2),
            (GuidePaper::Whole, (40.0, 60.0), (210.0, 125.0), 1),
        ] {
            let layout = Layout::new(paper, plate.0, plate.1);
            let count = layout.places().count();
            assert!(count <= sheets, "{plate:?} on {paper:?} takes {count} sheets");
            assert_eq!(layout.is_tiled(), count > 1, "tiled or not");
            if count == sheets {
                assert_eq!(layout.page_mm, page, "which way round for {plate:?} on {paper:?}");
            }
            let last = layout.places().last().expect("a sheet");
            let (left, top) = layout.tile_at(last);
            let reach = (left + layout.tile_mm.0 - plate.0, top + layout.tile_mm.1 - plate.1);
            assert!(
                (reach.0 - ROUND).abs() < 1e-9 && (reach.1 - ROUND).abs() < 1e-9,
                "the last sheet ends {reach:?} beyond the plate"
            );
            for (x, y) in layout.marks() {
                let shown = layout.places().filter(|place| {
                    let (left, top) = layout.tile_at(*place);
                    let inside = |at: f64, from: f64, tile: f64| {
                        at >= from + LAP / 2.0 - 1e-9 && at <= from + tile - LAP / 2.0 + 1e-9
                    };
                    inside(x, left, layout.tile_mm.0) && inside(y, top, layout.tile_mm.1)
                });
                assert!(shown.count() >= 2, "a mark at {x}, {y} stands whole on two sheets");
            }
        }
    }
}
