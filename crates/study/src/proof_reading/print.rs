//! What a plate should print, place by place: what a photograph of its proof is laid on.

use crate::registration::Expected;
use plate::Looking;
use plate::light;

/// Wanted side of a square, mm.
const SQUARE_MM: f64 = 0.5;
/// A place prints its value's own tone when it is off by less, L*: elsewhere lies a gradation, a line, or a border.
const OWN_L: f64 = 0.8;
/// The same after later grounds, whose tones in a first pass are told from smaller samples.
const LATER_L: f64 = 3.0;

/// The whole proof in small squares, the right way round, in a plan's state.
#[derive(Clone, Debug, PartialEq)]
pub struct ProofPrint {
    /// Width of the plate, mm.
    pub width_mm: f64,
    /// Height of the plate, mm; less than a square of it may be left out below.
    pub height_mm: f64,
    /// Squares in a row.
    pub columns: usize,
    /// Value of each square (0 is the paper), row by row from the print's top left.
    pub values: Vec<u8>,
    /// What each prints, grey 8-bit sRGB: gradations, lines and tools' work are in it.
    pub greys: Vec<u8>,
    /// L* of each value, paper first.
    pub lightness: Vec<f64>,
    /// Reflectance of the bare paper, 0–1.
    pub paper_reflectance: f64,
    /// Whether the state was bitten under grounds after the first.
    pub later_grounds: bool,
}

impl ProofPrint {
    /// Of a plate as it is looked at: a first pass of its proof, without grain. Its squares are some 0.5 mm wide.
    pub fn of(looking: &mut Looking<'_>) -> Self {
        let plan = looking.plate().plan();
        let (width_mm, height_mm) = (plan.plate.width_mm, plan.plate.height_mm);
        let paper_reflectance = plan.paper.reflectance;
        let columns = libm::round(width_mm / SQUARE_MM).max(1.0) as usize;
        // A hair's breadth less than a square too low is a square.
        let rows = libm::floor(height_mm / width_mm * columns as f64 + 1e-6).max(1.0) as usize;
        Self {
            width_mm,
            height_mm,
            columns,
            values: looking.values_in_first_pass(columns, rows),
            greys: looking.first_pass(columns, rows),
            lightness: looking.values().iter().map(|value| value.lightness).collect(),
            paper_reflectance,
            later_grounds: looking.later_grounds() > 0,
        }
    }

    /// Side of a square, mm.
    #[must_use]
    pub fn square_mm(&self) -> f64 {
        self.width_mm / self.columns.max(1) as f64
    }

    /// Rows of squares.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.greys.len() / self.columns.max(1)
    }

    /// Share of the plate that each value has, paper first.
    #[must_use]
    pub fn shares(&self) -> Vec<f64> {
        let mut squares = vec![0_u32; self.lightness.len()];
        for &value in &self.values {
            if let Some(square) = squares.get_mut(usize::from(value)) {
                *square += 1;
            }
        }
        let all = self.values.len().max(1) as f64;
        squares.into_iter().map(|square| f64::from(square) / all).collect()
    }

    /// Whether its lists fit each other.
    pub(super) fn is_whole(&self) -> bool {
        let most = self.lightness.len();
        self.columns > 0
            && !self.values.is_empty()
            && self.values.len().is_multiple_of(self.columns)
            && self.values.len() == self.greys.len()
            && self.values.iter().all(|&value| usize::from(value) < most)
            && self.width_mm > 0.0
            && self.height_mm > 0.0
            && self.paper_reflectance > 0.0
    }

    /// L* of each grey code.
    pub(super) fn lightness_of_codes() -> Vec<f64> {
        (0..256)
            .map(|code| light::lightness(light::linear_of_srgb(f64::from(code) / 255.0)))
            .collect()
    }

    /// What is looked for in a picture.
    #[must_use]
    pub fn expected(&self) -> Expected {
        let of_code: Vec<f32> = (0..256)
            .map(|code| {
                let light = light::linear_of_srgb(f64::from(code) / 255.0);
                (0.01 * light::lightness((light / self.paper_reflectance).min(1.0))) as f32
            })
            .collect();
        let lightness = self.greys.iter().map(|&grey| of_code[usize::from(grey)]).collect();
        let (width_mm, height_mm) = (self.width_mm, self.height_mm);
        Expected {
            width_mm,
            height_mm,
            px_mm: self.square_mm(),
            columns: self.columns,
            lightness,
            bevelled: true,
        }
    }

    /// The value whose own tone each square prints; none where it is a gradation, a line, a border or a tool's work.
    pub(super) fn own(&self) -> Vec<Option<u8>> {
        let of_code = Self::lightness_of_codes();
        let near = if self.later_grounds { LATER_L } else { OWN_L };
        let is_own = |(&value, &grey): (&u8, &u8)| {
            let l = self.lightness.get(usize::from(value))?;
            ((of_code[usize::from(grey)] - l).abs() <= near).then_some(value)
        };
        self.values.iter().zip(&self.greys).map(is_own).collect()
    }
}
