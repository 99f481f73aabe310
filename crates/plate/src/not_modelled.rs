//! What the model leaves out, in words: said once, for the page and the README.

/// What of the real plate is left out, a sentence each.
pub const NOT_MODELLED: &[&str] = &[
    "Only rosin on copper in ferric chloride: no other resin, metal or mordant.",
    "Grains are round; real ones are irregular, too.",
    "Dust and heat are the same all over the plate, but for the unevenness of a shop’s own box and hot plate (constants, off at first) and for the faults that a plan names; the bath has no currents of its own and no bubbles.",
    "Ground and varnish are sound, but for the faults that a plan names.",
    "A pit bites no faster or slower for being narrow.",
    "Stop-out varnish keeps the edge it was painted with, and lifts only where a plan has that fault: the bath creeps under it.",
    "Tools leave no burr.",
    "Ink has no colour, and no body beyond its mix; the paper has no texture.",
];
