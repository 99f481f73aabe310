//! Checks of what a plan says of its picture.

use crate::diagnostic::Diagnostic;
use crate::types::{Crop, Plan};

impl Plan {
    /// Checks what is said of the picture.
    pub(crate) fn check_made_for(&self, found: &mut Vec<Diagnostic>) {
        let picture = &self.picture;
        let take_out = "Take it out of the file.";
        if !picture.made_for.is_empty() && picture.made_for.parts().is_none() {
            let message = "What the plan says of its picture (“made_for”) is not its width and height in pixels and sixteen lightnesses from 0 to 100 in halves.";
            found.push(Diagnostic::error("picture.made_for", "made_for", message).hint(take_out));
        }
        if let Some(Crop { left, top, width, height }) = picture.stand_in {
            let inside =
                |from: f64, size: f64| from >= 0.0 && size > 0.0 && from + size <= 1.0 + 1e-9;
            if !inside(left, width) || !inside(top, height) {
                let message = "The part of the picture that stands in for it (“stand_in”) leaves the picture.";
                found.push(Diagnostic::error("picture.stand_in", "crop", message).hint(take_out));
            }
        }
    }
}
