//! Fields as screen pixels.

use plate::light::Srgb8Table;
use plate::proof::CopperWindow;

/// Reflectances as opaque grey RGBA.
pub(crate) fn grey_rgba(reflectance: &[f32]) -> Vec<u8> {
    let encode = Srgb8Table::new();
    reflectance
        .iter()
        .flat_map(|&r| {
            let grey = encode.encode(r);
            [grey, grey, grey, 255]
        })
        .collect()
}

/// Linear-light colours of the copper seen from above. Drawn for the eye, not measured.
const BRIGHT_COPPER: [f32; 3] = [0.74, 0.40, 0.24];
const DEEP_COPPER: [f32; 3] = [0.10, 0.040, 0.025];
const RESIN: [f32; 3] = [0.62, 0.36, 0.06];
/// Depth at which bitten copper looks half as bright, µm.
const HALF_BRIGHT_UM: f32 = 6.0;

/// Copper and resin from above: bitten copper darkens with depth, resin is amber.
pub(crate) fn copper_rgba(copper: &CopperWindow) -> Vec<u8> {
    let encode = Srgb8Table::new();
    copper
        .depth_um
        .iter()
        .zip(&copper.cover)
        .flat_map(|(&depth, &cover)| {
            let bright = HALF_BRIGHT_UM / (HALF_BRIGHT_UM + depth);
            let mix = |i: usize| {
                let metal = DEEP_COPPER[i] + (BRIGHT_COPPER[i] - DEEP_COPPER[i]) * bright;
                encode.encode(metal + (RESIN[i] - metal) * 0.8 * cover)
            };
            [mix(0), mix(1), mix(2), 255]
        })
        .collect()
}
