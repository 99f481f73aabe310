//! Lines already etched: their picture, and what of lines and tone is printed.

use crate::Workshop;
use crate::answers::json;
use picture::ToneMap;
use plate::proof::Printed;
use std::sync::Arc;
use wasm_bindgen::prelude::*;

#[wasm_bindgen]
impl Workshop {
    /// Takes a picture of lines as lightness, or none of it where there is none. They lie on the plate with the
    /// next picture or plan.
    pub fn take_lines(
        &mut self,
        lightness: Vec<u8>,
        width: usize,
        height: usize,
    ) -> Result<(), String> {
        if width.checked_mul(height) != Some(lightness.len()) {
            return Err(format!(
                "{} bytes are no picture of {width} × {height} pixels.",
                lightness.len()
            ));
        }
        self.line_tones =
            (!lightness.is_empty()).then(|| Arc::new(ToneMap::new(width, height, lightness)));
        Ok(())
    }

    /// What is printed from now on: `both`, `lines` or `tone`.
    pub fn print_of(&mut self, printed: &str) -> Result<(), String> {
        self.printed =
            Printed::from_word(printed).ok_or_else(|| format!("Nothing is called `{printed}`."))?;
        self.lay_lines();
        Ok(())
    }

    /// What the line bite comes to, as JSON: `plate::proof::LineFacts`, `null` without lines.
    pub fn line_facts(&mut self) -> Result<String, String> {
        Ok(json(&self.plate()?.line_facts()))
    }
}

impl Workshop {
    /// Lays the plan's lines on its plate.
    pub(crate) fn lay_lines(&mut self) {
        let lines = self
            .line_tones
            .as_ref()
            .and_then(|tones| picture::LineAreas::new(tones.clone(), &self.plan));
        if let Some(plate) = &mut self.plate {
            plate.begin_on(lines.map(|lines| Arc::new(lines) as Arc<dyn plate::proof::OpenLines>));
            plate.print_of(self.printed);
        }
    }
}
