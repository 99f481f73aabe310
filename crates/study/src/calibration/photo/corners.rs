//! Whether the corners that were marked can be a plate's.

use super::{Photo, wrong};
use plan::{Diagnostic, Unit, quantity, sentence};

/// Fewest pixels across the plate, and down it.
const FEWEST_PX: f64 = 240.0;
/// Whether four corners can be a plate's.
pub(crate) fn corners_sound(
    photo: &Photo,
    corners: &[(f64, f64); 4],
) -> Result<(), Vec<Diagnostic>> {
    let one = |message: &'static str, hint: &'static str| {
        Err(vec![wrong("photo.corners", message, hint)])
    };
    if corners.iter().any(|&corner| !photo.holds(corner)) {
        return one("A corner lies outside the picture.", "Put all four on the plate’s corners.");
    }
    let turn = |i: usize| {
        let [(ax, ay), (bx, by), (cx, cy)] =
            [corners[i], corners[(i + 1) % 4], corners[(i + 2) % 4]];
        (bx - ax) * (cy - by) - (by - ay) * (cx - bx)
    };
    let turns = [turn(0), turn(1), turn(2), turn(3)];
    if turns.iter().all(|turn| *turn < 0.0) {
        return one(
            "The corners run the wrong way round.",
            "Begin at the top left of the print and go clockwise. If the picture shows the plate and not the print, mirror it first.",
        );
    }
    if !turns.iter().all(|turn| *turn > 0.0) {
        return one(
            "The corners cross, or one lies between the others.",
            "Put each on its own corner of the plate: top left, top right, bottom right, bottom left.",
        );
    }
    let length = |i: usize| {
        let ((ax, ay), (bx, by)) = (corners[i], corners[(i + 1) % 4]);
        libm::hypot(bx - ax, by - ay)
    };
    if length(0).max(length(2)) < FEWEST_PX {
        let message = sentence!(
            "The plate is only {} pixels wide in this picture; {} are needed at least.",
            quantity(length(0).max(length(2)), Unit::Count, 0),
            FEWEST_PX
        );
        return Err(vec![
            Diagnostic::error("photo", "photo.small", message)
                .hint("Go nearer, or scan more finely."),
        ]);
    }
    Ok(())
}
