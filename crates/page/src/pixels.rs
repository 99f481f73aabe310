//! Fields as screen pixels.

use plate::chain::CopperWindow;
use plate::light::Srgb8Table;
use study::timeline::Moment;

/// Reflectances as opaque grey RGBA.
pub(crate) fn grey_rgba(reflectance: &[f32]) -> Vec<u8> {
    Srgb8Table::shared().grey_rgba(reflectance)
}

/// Greys (8-bit sRGB) as opaque RGBA.
pub(crate) fn of_greys(grey: &[u8]) -> Vec<u8> {
    opaque(grey.len(), |at, _| grey[at])
}

/// Linear-light colours of the copper seen from above. Drawn for the eye, not measured.
const BRIGHT_COPPER: [f32; 3] = [0.74, 0.40, 0.24];
const DEEP_COPPER: [f32; 3] = [0.10, 0.040, 0.025];
const RESIN: [f32; 3] = [0.62, 0.36, 0.06];
/// Depth at which bitten copper looks half as bright, µm.
const HALF_BRIGHT_UM: f32 = 6.0;

/// Copper and resin from above: bitten copper darkens with depth, resin is amber.
pub(crate) fn copper_rgba(copper: &CopperWindow) -> Vec<u8> {
    let encode = Srgb8Table::shared();
    opaque(copper.depth_um.len(), |at, i| {
        encode.encode(toward(metal(copper.depth_um[at], i), RESIN[i], 0.8 * copper.cover[at]))
    })
}

/// So many opaque pixels, each channel of each as `channel` says.
fn opaque(pixels: usize, channel: impl Fn(usize, usize) -> u8) -> Vec<u8> {
    let mut rgba = vec![255; 4 * pixels];
    for (at, pixel) in rgba.chunks_exact_mut(4).enumerate() {
        for (i, code) in pixel[..3].iter_mut().enumerate() {
            *code = channel(at, i);
        }
    }
    rgba
}

/// One colour of copper bitten to a depth.
fn metal(depth_um: f32, i: usize) -> f32 {
    toward(DEEP_COPPER[i], BRIGHT_COPPER[i], HALF_BRIGHT_UM / (HALF_BRIGHT_UM + depth_um))
}

fn toward(from: f32, to: f32, share: f32) -> f32 {
    from + (to - from) * share
}

/// Further colours of a place that is watched: loose dust, stop-out varnish, ink.
const DUST: [f32; 3] = [0.80, 0.72, 0.52];
const VARNISH: [f32; 3] = [0.16, 0.07, 0.03];
const INK: [f32; 3] = [0.012, 0.011, 0.010];
/// Ink this thick hides half of what lies under it, µm.
const HALF_HIDDEN_UM: f32 = 0.9;

/// A place of the plate at a moment of the work, from above; the sheet where it is turned up.
pub(crate) fn moment_rgba(moment: &Moment) -> Vec<u8> {
    let encode = Srgb8Table::shared();
    opaque(moment.depth_um.len(), |at, i| {
        let sheet = moment.sheet[at];
        if !sheet.is_nan() {
            return encode.encode(sheet);
        }
        let varnish = if moment.stopped[at] { 0.6 } else { 0.0 };
        let hidden = moment.ink_um[at] / (moment.ink_um[at] + HALF_HIDDEN_UM);
        let resin = toward(metal(moment.depth_um[at], i), RESIN[i], 0.8 * moment.resin[at]);
        let dusty = toward(resin, DUST[i], 0.85 * moment.loose[at]);
        encode.encode(toward(toward(dusty, VARNISH[i], varnish), INK[i], hidden))
    })
}
