//! What is said of a picture that can't be read, or that deserves a look.

use plan::Diagnostic;

pub(crate) fn refuse(code: &'static str, message: &'static str, hint: &'static str) -> Diagnostic {
    Diagnostic::error("ground_photo", code, message).hint(hint)
}

pub(crate) fn broken() -> Diagnostic {
    refuse("photo.broken", "This picture is empty or broken.", "Save it anew as PNG or JPEG.")
}

pub(crate) fn small() -> Diagnostic {
    refuse(
        "ground_photo.small",
        "What is to be read is too small: it needs 160 pixels each way.",
        "Save the picture as it was taken, or draw the frame larger.",
    )
}

pub(crate) fn one_tone() -> Diagnostic {
    refuse(
        "ground_photo.one_tone",
        "The picture does not fall apart into two tones: rosin and copper can’t be told from each other.",
        "Light it low from one side, or head on, so that one of them shines and the other does not.",
    )
}

pub(crate) fn black_edge() -> Diagnostic {
    refuse(
        "ground_photo.black_edge",
        "Part of the picture is black: the edge of the loupe, or copper that no light falls on.",
        "Read only part of it, and draw the frame inside what is lit.",
    )
}

pub(crate) fn no_ground() -> Diagnostic {
    refuse(
        "ground_photo.no_ground",
        "This does not look like a ground: one part of it is nearly all of one tone, another nearly all of the other.",
        "Choose a picture of dust or of a melted ground, or read only the part that shows it.",
    )
}

pub(crate) fn which_tone() -> Diagnostic {
    refuse(
        "ground_photo.which_tone",
        "Which of the two tones is the rosin can’t be told, and as it looks one of them covers nearly all.",
        "Say which, or go nearer.",
    )
}

pub(crate) fn few() -> Diagnostic {
    refuse(
        "ground_photo.few",
        "Too few islands lie in the picture.",
        "Show more of the plate: a hundred islands or more.",
    )
}

pub(crate) fn fine() -> Diagnostic {
    refuse(
        "ground_photo.fine",
        "The islands are too narrow in this picture: half of them should be 8 pixels wide or more.",
        "Go nearer, take a stronger loupe, or save the picture as it was taken.",
    )
}

pub(crate) fn blurred() -> Diagnostic {
    refuse(
        "ground_photo.blurred",
        "The picture is out of focus, or it is not one of a ground.",
        "Rest loupe and camera on the plate, and take it anew.",
    )
}

/// The warnings that hold, in the order of [`WARNINGS`].
pub(crate) fn warnings(hold: [bool; WARNINGS.len()]) -> Vec<Diagnostic> {
    let said = hold.into_iter().zip(WARNINGS).filter(|(holds, _)| *holds);
    said.map(|(_, [code, message, hint])| {
        Diagnostic::warning("ground_photo", code, message).hint(hint)
    })
    .collect()
}

/// Code, message and hint of each warning. (Without numbers in them, sentences are half the room in the page.)
const WARNINGS: [[&str; 3]; 7] = [
    [
        "ground_photo.soft",
        "The outlines are soft: small islands may be lost, and the cover may be off.",
        "A sharper picture tells more.",
    ],
    [
        "ground_photo.tones_near",
        "Rosin and copper differ little in tone.",
        "Compare what was taken for rosin with the picture, and move the level.",
    ],
    [
        "ground_photo.which_tone",
        "Which of the two tones is the rosin can’t be told for certain.",
        "Say which.",
    ],
    [
        "ground_photo.few",
        "Fewer than a hundred islands were counted: their number is not good to a fifth.",
        "Show more of the plate, unless the ground has nearly closed.",
    ],
    [
        "ground_photo.uneven",
        "The light falls off by more than half over the picture; it was evened.",
        "Read only the evenly lit part if the tones look wrong elsewhere.",
    ],
    [
        "ground_photo.glare",
        "Part of the picture is much lighter than rosin and copper: glare, which hides what lies under it.",
        "Turn the lamp or hold thin white paper before it, or read only a part without glare.",
    ],
    [
        "ground_photo.ruler",
        "The marks lie in what is read: a ruler there is taken for rosin and copper.",
        "Read only part of the picture, and draw the frame beside the ruler. Fine lines of a loupe’s own scale do little harm.",
    ],
];
