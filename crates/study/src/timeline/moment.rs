//! What a place is like at a moment.

use plate::grid::Grid;
use serde::Serialize;

/// A place at a moment, laid out as on the print. NaN where there is nothing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Moment {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Depth of copper gone, µm, pixel by pixel.
    pub depth_um: Vec<f32>,
    /// Share of each pixel under resin that holds, 0–1.
    pub resin: Vec<f32>,
    /// Share of each pixel under loose grains, 0–1.
    pub loose: Vec<f32>,
    /// Pixels stopped out by now.
    pub stopped: Vec<bool>,
    /// Ink on the copper, µm.
    pub ink_um: Vec<f32>,
    /// Reflectance of the sheet where it is turned up already, 0–1; else NaN.
    pub sheet: Vec<f32>,
    /// The cut along the middle row of the place.
    pub side: Side,
    /// What the sentences tell.
    pub numbers: Numbers,
}

/// Heights along the middle row, µm over the old surface of the copper; NaN where there is nothing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Side {
    /// Surface of the copper.
    pub copper_um: Vec<f32>,
    /// Surface that the ground is laid on.
    pub base_um: Vec<f32>,
    /// Top of the resin that holds.
    pub resin_um: Vec<f32>,
    /// Surface of the ink.
    pub ink_um: Vec<f32>,
    /// Under side of the sheet.
    pub sheet_um: Vec<f32>,
    /// Ink on the sheet, µm thick.
    pub printed_um: Vec<f32>,
    /// Stopped out by now.
    pub stopped: Vec<bool>,
    /// Loose grains cut by the row: place, height of the centre, radius, in µm, three numbers each.
    pub balls_um: Vec<f32>,
}

/// Numbers of a moment; each is told only in the stages that have it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, ts_rs::TS)]
#[ts(rename = "MomentNumbers")]
pub struct Numbers {
    /// Dust in the air, g/m³.
    pub cloud_g_per_m3: f64,
    /// Half the weight in the air is in grains finer than this, µm.
    pub airborne_um: f64,
    /// Dust on the plate, g/m².
    pub landed_g_per_m2: f64,
    /// Temperature of the copper, °C.
    pub plate_c: f64,
    /// Share of the place under dust or resin, 0–1.
    pub cover: f64,
    /// Grains lying loose at the place.
    pub grains: usize,
    /// Domes that hold at the place.
    pub domes: usize,
    /// Minutes in the bath up to now.
    pub bath_min: f64,
    /// Deepest copper at the place, µm.
    pub deepest_um: f64,
    /// How far the acid has gone in under the resin, µm.
    pub undercut_um: f64,
    /// Share of the place that lies open in this bite, 0–1.
    pub open: f64,
    /// Mean ink on the copper and on the sheet, µm.
    pub held_um: f64,
    /// Mean ink on the sheet, µm.
    pub printed_um: f64,
    /// Strokes and passages of the tool that reach the place.
    pub strokes: usize,
    /// Those of them begun.
    pub strokes_begun: usize,
    /// How far tools have lowered the lands of the place at most, µm.
    pub lowered_um: f64,
    /// What the deepest value here would print if it were stopped out now, or what the place has
    /// printed: L*.
    pub lightness: f64,
}

impl Moment {
    /// Bare, polished copper.
    pub(super) fn bare(grid: &Grid) -> Self {
        let nothing = vec![f32::NAN; grid.width];
        Self {
            width: grid.width,
            height: grid.height,
            depth_um: vec![0.0; grid.len()],
            resin: vec![0.0; grid.len()],
            loose: vec![0.0; grid.len()],
            stopped: vec![false; grid.len()],
            ink_um: vec![0.0; grid.len()],
            sheet: vec![f32::NAN; grid.len()],
            side: Side {
                copper_um: vec![0.0; grid.width],
                base_um: vec![0.0; grid.width],
                resin_um: nothing.clone(),
                ink_um: nothing.clone(),
                sheet_um: nothing,
                printed_um: vec![0.0; grid.width],
                stopped: vec![false; grid.width],
                balls_um: Vec::new(),
            },
            numbers: Numbers::default(),
        }
    }
}
