//! Later states: which one is looked at, and what lies in a passage.

use crate::Workshop;
use crate::answers::json;
use crate::workshop::NOT_READY;
use study::rework::passage;
use wasm_bindgen::prelude::*;

#[wasm_bindgen]
impl Workshop {
    /// Looks at a state of the plate, 1 for the first; 0 or a number beyond the last is the last.
    pub fn look_at(&mut self, state: usize) -> Result<(), String> {
        self.plate.as_ref().ok_or(NOT_READY)?;
        self.view.state = (state != 0).then_some(state);
        Ok(())
    }

    /// What lies inside an outline, x and y in turn in mm on the print: as JSON, `null` for nothing.
    pub fn passage(&mut self, outline_mm: &[f64]) -> Result<String, String> {
        let plate = self.plate.as_ref().ok_or(NOT_READY)?;
        Ok(json(&passage(plate, &self.view, &mut self.renderer, &corners(outline_mm))))
    }
}

fn corners(outline_mm: &[f64]) -> Vec<[f64; 2]> {
    outline_mm.as_chunks::<2>().0.to_vec()
}
