//! Lines already etched: their picture, and what of lines and tone is printed.

use crate::Workshop;
use crate::answers::json;
use picture::ToneMap;
use plate::chain::Printed;
use std::sync::Arc;
use wasm_bindgen::prelude::*;

#[wasm_bindgen]
impl Workshop {
    /// Lightness of a picture of lines given as RGBA bytes, for [`Self::take_lines`].
    pub fn read_lines(&self, rgba: &[u8], width: usize, height: usize) -> Result<Vec<u8>, String> {
        let tones = ToneMap::from_rgba(rgba, width, height).map_err(|error| error.to_string())?;
        Ok(tones.lightness)
    }

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
            (!lightness.is_empty()).then(|| Arc::new(ToneMap { width, height, lightness }));
        Ok(())
    }

    /// What is printed from now on: `both`, `lines` or `tone`.
    pub fn print_of(&mut self, printed: &str) -> Result<(), String> {
        self.view.printed =
            Printed::from_word(printed).ok_or_else(|| format!("Nothing is called `{printed}`."))?;
        Ok(())
    }

    /// What the line bite comes to, as JSON: `plate::chain::LineFacts`, `null` without lines.
    pub fn line_facts(&mut self) -> Result<String, String> {
        Ok(json(&self.look()?.line_facts()))
    }
}
