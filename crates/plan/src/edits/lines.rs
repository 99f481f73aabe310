//! Edits of the lines etched before the first ground.

use super::{Edited, sound};
use crate::diagnostic::Diagnostic;
use crate::lines::LineWork;
use crate::types::{Crop, Plan};

/// Takes the picture of this name for the plan's lines, with the part of it that lies on the plate. How
/// the lines were bitten stays as it was, or is usual where there were none.
///
/// # Errors
/// A diagnostic when the plan would not be sound with it.
pub fn take_lines(plan: &Plan, picture: &str, crop: Crop) -> Result<Edited, Diagnostic> {
    let lines = plan.lines.clone().unwrap_or_else(LineWork::usual);
    let lines = LineWork { picture: picture.to_owned(), crop, ..lines };
    sound(plan, Plan { lines: Some(lines), ..plan.clone() })
}

/// Takes the lines out.
#[must_use]
pub fn remove_lines(plan: &Plan) -> Edited {
    Edited::of(Plan { lines: None, ..plan.clone() })
}
