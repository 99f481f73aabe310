//! Checks of the etched lines.

use super::said::{bite_time, crop_leaves, long_file_name, out_of_range};
use crate::diagnostic::Diagnostic;
use crate::lines::LINE_OPEN_L;
use crate::sentence::Unit;
use crate::types::Plan;

impl Plan {
    /// Checks the line work.
    pub(crate) fn check_lines(&self, found: &mut Vec<Diagnostic>) {
        let Some(lines) = &self.lines else { return };
        found.extend(long_file_name(
            "lines.picture",
            "file name of the lines' picture",
            &lines.picture,
        ));
        let crop = "The crop of the lines' picture";
        found.extend(crop_leaves("lines.crop", crop, "it", lines.crop));
        let begin = "Where the lines begin";
        let level = lines.open_below_l;
        found.extend(out_of_range(
            "lines.open_below_l",
            begin,
            level,
            Unit::Lightness,
            LINE_OPEN_L,
        ));
        found.extend(bite_time("lines.bite_min", "The bite of the lines", lines.bite_min));
    }
}
