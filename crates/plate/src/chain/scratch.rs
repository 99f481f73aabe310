//! Buffers of windows and lines, reused from window to window. Their content does not matter.

use crate::bite::{AgainScratch, CreepScratch};
use crate::ground::Dome;
use crate::ink::InkScratch;
use crate::resist::{Reaches, ResistScratch};
use core::ops::Range;

/// The fields of one window on the copper; reused from window to window.
#[derive(Default)]
pub(super) struct WindowScratch {
    pub(super) domes: Vec<Dome>,
    /// Room for two fields that are never wanted at once: the distances under the resin while the copper
    /// is bitten, and after that the reflectance (`window::Bitten` and `window::Inked` tell which it holds).
    pub(super) under_or_light: Vec<f32>,
    pub(super) value: Vec<u8>,
    pub(super) dose_um: Vec<f32>,
    pub(super) depth_um: Vec<f32>,
    /// Runs of pixels that are bitten deeper or shallower than elsewhere, and how many times as deep each of theirs is.
    pub(super) stretched: Vec<Range<usize>>,
    pub(super) factor: Vec<f32>,
    /// More than depths is looked at.
    pub(super) tells_all: bool,
    pub(super) plane_um: Vec<f32>,
    /// Depths, and planes after them, that a strip has of the one above it.
    pub(super) kept_um: Vec<f32>,
    pub(super) ink: InkScratch,
    pub(super) resist: ResistScratch,
    pub(super) reaches: Reaches,
    pub(super) creep: CreepScratch,
}

/// Buffers of the lines' work.
#[derive(Default)]
pub(super) struct LinesScratch {
    pub(super) mask: Vec<u8>,
    /// Depth of the lines over a window, µm.
    pub(super) depth_um: Vec<f32>,
    pub(super) near: Vec<bool>,
    pub(super) part: Part,
    pub(super) creep: CreepScratch,
    pub(super) again: AgainScratch,
}

/// A small part of a window.
#[derive(Default)]
pub(super) struct Part {
    pub(super) under_um: Vec<f32>,
    pub(super) value: Vec<u8>,
    pub(super) depth_um: Vec<f32>,
}
