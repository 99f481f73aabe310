//! Areas by hand, laid over the picture's values at any window and resolution.

mod edge;
mod shapes;

use crate::hand::edge::EdgeDistance;
use crate::hand::shapes::Flat;
use plan::{Area, AreaWork};
use plate::chain::Doses;

/// A raster of square or oblong pixels on the print or on the copper, judged at their middles.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Raster {
    /// Pixel columns and rows from the plate's left and top edge.
    pub(crate) left_px: i64,
    pub(crate) top_px: i64,
    pub(crate) width: usize,
    pub(crate) height: usize,
    /// Size of a pixel, µm.
    pub(crate) px_um: (f64, f64),
    /// The plate's width where the raster lies on the copper, the print's mirror image.
    pub(crate) mirrored_um: Option<f64>,
}

impl Raster {
    /// Middle of a column as printed, µm.
    pub(crate) fn x_um(&self, column: usize) -> f64 {
        let x = ((self.left_px + column as i64) as f64 + 0.5) * self.px_um.0;
        self.mirrored_um.map_or(x, |width| width - x)
    }

    /// Middle of a row, µm.
    pub(crate) fn y_um(&self, row: usize) -> f64 {
        ((self.top_px + row as i64) as f64 + 0.5) * self.px_um.1
    }

    /// Columns whose middles lie from `from` to `until` µm as printed. Told by the pixels' places on
    /// the whole plate, so that windows agree.
    fn columns(&self, from_um: f64, until_um: f64) -> std::ops::Range<usize> {
        let (low, high) = match self.mirrored_um {
            Some(width) => (width - until_um, width - from_um),
            None => (from_um, until_um),
        };
        let first = libm::ceil(low / self.px_um.0 - 0.5) as i64 - self.left_px;
        let end = libm::floor(high / self.px_um.0 - 0.5) as i64 + 1 - self.left_px;
        let within = |column: i64| column.clamp(0, self.width as i64) as usize;
        within(first)..within(end).max(within(first))
    }

    /// The raster as printed: left, top, right, bottom, µm.
    fn bounds(&self) -> Bounds {
        let (a, b) = (self.x_um(0), self.x_um(self.width.max(1) - 1));
        Bounds {
            left: a.min(b) - self.px_um.0,
            top: self.y_um(0) - self.px_um.1,
            right: a.max(b) + self.px_um.0,
            bottom: self.y_um(self.height.max(1) - 1) + self.px_um.1,
        }
    }
}

/// A rectangle as printed, µm.
#[derive(Clone, Copy, Debug)]
struct Bounds {
    left: f64,
    top: f64,
    right: f64,
    bottom: f64,
}

impl Bounds {
    fn meets(&self, other: &Self) -> bool {
        self.left <= other.right
            && other.left <= self.right
            && self.top <= other.bottom
            && other.top <= self.bottom
    }
}

/// One area ready to be laid on rasters.
#[derive(Clone, Debug)]
struct Ready {
    work: AreaWork,
    value: u8,
    to_value: u8,
    feather_um: f64,
    spit_min: f64,
    axis_um: [f64; 4],
    shapes: Vec<Flat>,
    bounds: Bounds,
    /// How far inside the area a place lies; only for feathered edges.
    inside: Option<EdgeDistance>,
}

/// All areas of a plan.
#[derive(Clone, Debug, Default)]
pub(crate) struct Hand {
    areas: Vec<Ready>,
}

/// Buffers of one call.
#[derive(Default)]
struct Scratch {
    mask: Vec<bool>,
}

impl Hand {
    pub(crate) fn new(areas: &[Area]) -> Self {
        let ready = areas.iter().map(|area| {
            let shapes: Vec<Flat> = area.shapes.iter().map(Flat::new).collect();
            let bounds = shapes::bounds(&shapes)?;
            let feather_um = area.feather_mm * 1000.0;
            let soft_edge = feather_um > 0.0 && area.work != AreaWork::Split;
            let inside = soft_edge.then(|| EdgeDistance::new(&shapes, bounds, feather_um));
            let axis_um =
                area.axis_mm.first_chunk().map_or([0.0; 4], |axis| axis.map(|mm| mm * 1000.0));
            Some(Ready {
                work: area.work,
                value: area.value,
                to_value: area.to_value,
                feather_um,
                spit_min: area.spit_min,
                axis_um,
                shapes,
                bounds,
                inside,
            })
        });
        Self { areas: ready.flatten().collect() }
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.areas.is_empty()
    }

    /// Lays the areas over the picture's values; true when any lies there.
    pub(crate) fn lay(&self, raster: &Raster, values: &mut [u8]) -> bool {
        let bounds = raster.bounds();
        let here: Vec<&Ready> = self
            .areas
            .iter()
            .filter(|area| area.work != AreaWork::Spit && area.bounds.meets(&bounds))
            .collect();
        let shows_picture = here.iter().any(|area| area.work == AreaWork::Picture);
        let picture = if shows_picture { values.to_vec() } else { Vec::new() };
        let mut scratch = Scratch::default();
        for area in &here {
            area.each_row(raster, &mut scratch, |row, mask| {
                let start = row * raster.width;
                for (column, _) in mask.iter().enumerate().filter(|(_, inside)| **inside) {
                    let at = start + column;
                    values[at] = match area.work {
                        AreaWork::Picture => picture[at],
                        AreaWork::Split => area.strip(raster.x_um(column), raster.y_um(row)).0,
                        AreaWork::Hold | AreaWork::Spit => area.value,
                    };
                }
            });
        }
        !here.is_empty()
    }

    /// True when a soft gradation may lie in the raster.
    pub(crate) fn is_soft(&self, raster: &Raster) -> bool {
        let bounds = raster.bounds();
        self.areas.iter().any(|area| area.is_soft() && area.bounds.meets(&bounds))
    }

    /// Dose of every pixel: that of the picture's value, changed by the areas in their order, softly
    /// where they are soft; what was spit-bitten comes on top.
    pub(crate) fn doses(
        &self,
        raster: &Raster,
        picture: &[u8],
        doses: &Doses<'_>,
        out: &mut Vec<f32>,
    ) {
        let of_value: Vec<f32> = doses.of_value_um.iter().map(|um| *um as f32).collect();
        let as_picture = |at: usize| of_value[usize::from(picture[at])];
        out.clear();
        out.extend((0..picture.len()).map(as_picture));
        let bounds = raster.bounds();
        let mut scratch = Scratch::default();
        let mut spit: Vec<f32> = Vec::new();
        for area in self.areas.iter().filter(|area| area.bounds.meets(&bounds)) {
            let spit_um = if area.work == AreaWork::Spit {
                spit.resize(picture.len(), 0.0);
                (doses.spit_um)(area.spit_min) as f32
            } else {
                0.0
            };
            area.each_row_hard(raster, &mut scratch, |row, mask| {
                let y_um = raster.y_um(row);
                for column in (0..raster.width).filter(|column| mask[*column]) {
                    let (at, x_um) = (row * raster.width + column, raster.x_um(column));
                    let share = area.softness(x_um, y_um);
                    let to = match area.work {
                        AreaWork::Hold => of_value[usize::from(area.value)],
                        AreaWork::Picture => as_picture(at),
                        AreaWork::Split => area.strip_dose(x_um, y_um, &of_value),
                        AreaWork::Spit => {
                            spit[at] += spit_um * share;
                            continue;
                        }
                    };
                    // At the full share exactly the value's dose: no soft pixel where nothing is soft.
                    out[at] = if share >= 1.0 { to } else { out[at] + share * (to - out[at]) };
                }
            });
        }
        for (dose, more) in out.iter_mut().zip(&spit) {
            *dose += more;
        }
    }
}

impl Ready {
    fn is_soft(&self) -> bool {
        self.work == AreaWork::Spit || self.feather_um > 0.0
    }

    /// Calls for each row that the area reaches, with its mask. A feathered edge counts from the
    /// middle of the feather.
    fn each_row(
        &self,
        raster: &Raster,
        scratch: &mut Scratch,
        mut with: impl FnMut(usize, &[bool]),
    ) {
        self.each_row_hard(raster, scratch, |row, mask| match &self.inside {
            None => with(row, mask),
            Some(inside) => {
                let half = (self.feather_um / 2.0) as f32;
                let y_um = raster.y_um(row);
                let soft: Vec<bool> = mask
                    .iter()
                    .enumerate()
                    .map(|(column, m)| *m && inside.at_um(raster.x_um(column), y_um) >= half)
                    .collect();
                with(row, &soft);
            }
        });
    }

    /// The same by the area's outline.
    fn each_row_hard(
        &self,
        raster: &Raster,
        scratch: &mut Scratch,
        mut with: impl FnMut(usize, &[bool]),
    ) {
        let near: Vec<_> =
            self.shapes.iter().filter_map(|shape| shape.within(&raster.bounds())).collect();
        let mut crossings = Vec::new();
        for row in 0..raster.height {
            let y_um = raster.y_um(row);
            if y_um < self.bounds.top || y_um > self.bounds.bottom {
                continue;
            }
            scratch.mask.clear();
            scratch.mask.resize(raster.width, false);
            for shape in &near {
                shape.row(y_um, &mut crossings, |from, until| {
                    scratch.mask[raster.columns(from, until)].fill(!shape.away);
                });
            }
            with(row, &scratch.mask);
        }
    }

    /// How much of the area's work a place gets: 0 at a feathered edge, 1 from the feather's width
    /// inwards, with an even start and end.
    fn softness(&self, x_um: f64, y_um: f64) -> f32 {
        match &self.inside {
            None => 1.0,
            Some(inside) => {
                let t = (inside.at_um(x_um, y_um) / self.feather_um as f32).clamp(0.0, 1.0);
                t * t * (3.0 - 2.0 * t)
            }
        }
    }

    /// Place along a split area's axis, in strips from its start, and the number of strips.
    fn along(&self, x_um: f64, y_um: f64) -> (f64, usize) {
        let [x0, y0, x1, y1] = self.axis_um;
        let (dx, dy) = (x1 - x0, y1 - y0);
        let part = ((x_um - x0) * dx + (y_um - y0) * dy) / (dx * dx + dy * dy);
        let strips = usize::from(self.value.abs_diff(self.to_value)) + 1;
        (part.clamp(0.0, 1.0) * strips as f64, strips)
    }

    fn value_of_strip(&self, strip: usize) -> u8 {
        let by = strip as u8;
        if self.to_value >= self.value { self.value + by } else { self.value - by }
    }

    /// Value of a place in a split area, and its place in strips.
    fn strip(&self, x_um: f64, y_um: f64) -> (u8, f64) {
        let (at, strips) = self.along(x_um, y_um);
        (self.value_of_strip((at as usize).min(strips - 1)), at)
    }

    /// Dose of a place in a split area: the mean of the strips' doses over the feather about it.
    fn strip_dose(&self, x_um: f64, y_um: f64, of_value: &[f32]) -> f32 {
        let (at, strips) = self.along(x_um, y_um);
        let dose = |strip: usize| of_value[usize::from(self.value_of_strip(strip))];
        let [x0, y0, x1, y1] = self.axis_um;
        let length_um = libm::sqrt((x1 - x0) * (x1 - x0) + (y1 - y0) * (y1 - y0));
        let half = 0.5 * self.feather_um / length_um * strips as f64;
        let here = dose((at as usize).min(strips - 1));
        let (from, until) = (at - half, at + half);
        // Not near a border: exactly the strip's own dose.
        if half <= 0.0
            || (from.max(0.0) as usize).min(strips - 1) == (until as usize).min(strips - 1)
        {
            return here;
        }
        let mut sum = 0.0_f64;
        for strip in 0..strips {
            // The first and last strip go on beyond the axis.
            let low = if strip == 0 { from } else { from.max(strip as f64) };
            let high = if strip + 1 == strips { until } else { until.min(strip as f64 + 1.0) };
            sum += (high - low).max(0.0) * f64::from(dose(strip));
        }
        (sum / (until - from)) as f32
    }
}
