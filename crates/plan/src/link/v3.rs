//! Version 3 of a plan in a link: what its picture is like, then version 2's bytes. **Frozen** like them.
//!
//! This part stands first, since version 2's last part fills whatever is left. It begins with a byte:
//! bit 0 the picture is described, bit 1 another stands in for it. Then, if so, varints of its width and
//! height and a byte for each cell's lightness in halves; then, if so, the part that stands in for it.
//!
//! A plan that says nothing of its picture is still written in an older version.

use super::v1::{self, Millionths, Number};
use super::{v2, varint};
use crate::made_for::{LIKENESS_CELLS, MadeFor};
use crate::types::{Crop, Plan};

/// Flag: the picture is described.
const DESCRIBED: u8 = 1;
/// Flag: another picture stands in for it.
const STAND_IN: u8 = 2;

/// The plan in version 3's bytes; `None` when an older version can say all of it.
pub(super) fn to_bytes(plan: &Plan) -> Option<Vec<u8>> {
    let mut bytes = vec![0];
    if let Some((size, cells)) = plan.picture.made_for.parts() {
        bytes[0] |= DESCRIBED;
        for side in size {
            varint::push(side as usize, &mut bytes);
        }
        bytes.extend(cells.iter().map(|lightness| (2.0 * lightness) as u8));
    }
    if let Some(Crop { left, top, width, height }) = plan.picture.stand_in {
        bytes[0] |= STAND_IN;
        let part: [Millionths; 4] = [left, top, width, height].map(Number);
        bytes.extend(postcard::to_allocvec(&part).unwrap_or_default());
    }
    if bytes[0] == 0 {
        return None;
    }
    bytes.extend(v1::to_bytes(plan));
    bytes.extend(v2::later_bytes(plan));
    Some(bytes)
}

/// A plan from version 3's bytes, unchecked; `None` when they hold none, or more than one.
pub(super) fn from_bytes(bytes: &[u8]) -> Option<Plan> {
    let (flags, mut rest) = bytes.split_first()?;
    if flags & !(DESCRIBED | STAND_IN) != 0 {
        return None;
    }
    let mut made_for = MadeFor::default();
    if flags & DESCRIBED != 0 {
        for _ in 0..2 {
            made_for.0.push(varint::take(&mut rest)? as f64);
        }
        let (cells, after) = rest.split_at_checked(LIKENESS_CELLS)?;
        made_for.0.extend(cells.iter().map(|half| f64::from(*half) / 2.0));
        rest = after;
    }
    let mut stand_in = None;
    if flags & STAND_IN != 0 {
        let (part, after) = postcard::take_from_bytes::<[Millionths; 4]>(rest).ok()?;
        let [left, top, width, height] = part.map(|number| number.0);
        stand_in = Some(Crop { left, top, width, height });
        rest = after;
    }
    let mut plan = v2::from_bytes(rest)?;
    plan.picture.made_for = made_for;
    plan.picture.stand_in = stand_in;
    Some(plan)
}
