//! The line work in version 2's bytes. **Frozen** like the rest.

use crate::lines as now;
use crate::link::v1::{Millionths, Number, Quarters, Tenths};
use crate::types::{Crop, Plan};
use serde::{Deserialize, Serialize};

#[derive(Serialize, Deserialize)]
struct LineWork {
    picture: String,
    crop: [Millionths; 4],
    open_below_l: Tenths,
    bite_min: Quarters,
}

/// Adds a plan's line work to its bytes; nothing where there is none.
pub(super) fn push(plan: &Plan, bytes: &mut Vec<u8>) {
    if let Some(lines) = &plan.lines {
        bytes.extend(postcard::to_allocvec(&LineWork::from(lines)).unwrap_or_default());
    }
}

/// The line work in what is left of a plan's bytes; `None` when they hold something else.
pub(super) fn from_bytes(bytes: &[u8]) -> Option<Option<now::LineWork>> {
    if bytes.is_empty() {
        return Some(None);
    }
    let (lines, rest) = postcard::take_from_bytes::<LineWork>(bytes).ok()?;
    rest.is_empty().then(|| Some(lines.into()))
}

impl From<&now::LineWork> for LineWork {
    fn from(lines: &now::LineWork) -> Self {
        let Crop { left, top, width, height } = lines.crop;
        Self {
            picture: lines.picture.clone(),
            crop: [left, top, width, height].map(Number),
            open_below_l: Number(lines.open_below_l),
            bite_min: Number(lines.bite_min),
        }
    }
}

impl From<LineWork> for now::LineWork {
    fn from(lines: LineWork) -> Self {
        let [left, top, width, height] = lines.crop.map(|number| number.0);
        Self {
            picture: lines.picture,
            crop: Crop { left, top, width, height },
            open_below_l: lines.open_below_l.0,
            bite_min: lines.bite_min.0,
        }
    }
}
