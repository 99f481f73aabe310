//! Depth at a pixel, from its distance under the resin and the dose its value has had.

use crate::grid::make_room;
use crate::order::{larger, smaller};

/// Depth at a point `under_um` under the resin (0 or less in the open), µm, after a bite of `dose_um`
/// on open copper: R in the open, EF·√(ρ² − s²) down to the undercut ρ = R/EF, then 0.
///
/// A quarter ellipse under the resin's edge; at etch factor 1 a circle, Huygens' construction. The
/// etch factor is depth over undercut (Allen, Horne & Stevens, J. PCMI, January 1982).
#[must_use]
pub fn depth_at_um(dose_um: f64, etch_factor: f64, under_um: f64) -> f64 {
    let undercut = dose_um / etch_factor;
    let under = under_um.max(0.0);
    etch_factor * (undercut * undercut - under * under).max(0.0).sqrt()
}

/// Mean of the bitten profile over one pixel, as a function of the distance s under the resin.
///
/// A pixel on the resin's edge is part open, part covered, so the profile ([`depth_at_um`]) is
/// averaged over s ± ½ pixel in closed form:
/// D̄ = {EF·[I(b) − I(a)] + R·clip(−a, 0, px)}/px with a, b = s ∓ px/2 and
/// I(s) = ½[s√(ρ² − s²) + ρ² asin(s/ρ)], s clipped to 0…ρ.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DepthCurve {
    dose_um: f32,
    /// 1/ρ.
    per_undercut: f32,
    /// 1 + px/2ρ and 1 − px/2ρ: the pixel's two edges in the variable 1 − s/ρ.
    near_edge: f32,
    far_edge: f32,
    /// EF·ρ²/px.
    gain: f32,
}

/// Polynomial Q in ∫₀ᶻ√(u(2−u))du = z·√(z·Q(z)), 0 ≤ z ≤ 1: the area of the circle's segment.
/// Fitted so that its slope, on which depths hang, is right to 1.7e-5, and the area to 2e-6: a depth is
/// then right to as much of the undercut, a thousandth of a µm. With a power less tones of a plate
/// bitten to 60 µm and wiped hard shift by 0.04 L*.
const SEGMENT: [f32; 4] = [0.889_063_2, -0.267_882_47, -0.001_147_998, -0.003_182_989_8];

/// Area of a unit circle's quarter beyond 1 − z.
#[inline(always)]
fn segment(z: f32) -> f32 {
    let [q0, q1, q2, q3] = SEGMENT;
    z * (z * (q0 + z * (q1 + z * (q2 + z * q3)))).sqrt()
}

impl DepthCurve {
    /// The profile of one value: its cumulative bite R in µm (0 for paper), the etch factor
    /// (1 or more) and the pixel's size in µm.
    #[must_use]
    pub fn new(dose_um: f64, etch_factor: f64, px_um: f32) -> Self {
        let px = f64::from(px_um);
        // A dose of nothing, or next to nothing, bites nothing.
        let dose = if dose_um > 1e-6 { dose_um } else { 0.0 };
        let undercut = dose / etch_factor;
        let per_undercut = if undercut > 0.0 { 1.0 / undercut } else { 0.0 };
        Self {
            dose_um: dose as f32,
            per_undercut: per_undercut as f32,
            near_edge: (1.0 + 0.5 * px * per_undercut) as f32,
            far_edge: (1.0 - 0.5 * px * per_undercut) as f32,
            gain: (etch_factor * undercut * undercut / px) as f32,
        }
    }

    /// Cumulative bite of the value, µm.
    #[must_use]
    pub fn dose_um(&self) -> f32 {
        self.dose_um
    }

    /// Mean depth over a pixel whose centre lies `under_um` under the resin (negative in the
    /// open), µm: from 0 to the dose, falling with distance.
    #[inline(always)]
    #[must_use]
    pub fn depth_um(&self, under_um: f32) -> f32 {
        let reached = under_um * self.per_undercut;
        let to_near_edge = larger(self.near_edge - reached, 0.0);
        let near = smaller(to_near_edge, 1.0);
        let far = smaller(larger(self.far_edge - reached, 0.0), 1.0);
        // What lies before the resin's edge is open, a pixel of it at most.
        let open = to_near_edge - near;
        smaller(self.gain * (segment(near) - segment(far) + open), self.dose_um)
    }
}

/// Depth of every pixel, µm, each by its own value's curve.
///
/// `under_um` is the distance under the resin, `value` the index of each pixel's value into
/// `curves` (0 paper). Both have the same length; `out` is made to fit.
///
/// # Panics
/// When the lengths differ or a value has no curve.
pub fn depth_field(under_um: &[f32], value: &[u8], curves: &[DepthCurve], out: &mut Vec<f32>) {
    make_room(out, under_um.len());
    out.resize(under_um.len(), 0.0);
    depths(under_um, value, curves, out);
}

/// The same of a part of a field, into as long a part of another.
pub(crate) fn depths(under_um: &[f32], value: &[u8], curves: &[DepthCurve], out: &mut [f32]) {
    assert_eq!(under_um.len(), value.len(), "one value per pixel");
    let mut from = 0;
    // Values lie in areas, so equal neighbours make long runs, each with one curve.
    while from < value.len() {
        let this = value[from];
        let until = from + run_length(&value[from..], this);
        let curve = curves[usize::from(this)];
        if curve.dose_um > 0.0 {
            for (depth, &s) in out[from..until].iter_mut().zip(&under_um[from..until]) {
                *depth = curve.depth_um(s);
            }
        } else {
            out[from..until].fill(0.0);
        }
        from = until;
    }
}

/// How many of the first pixels have this value.
fn run_length(value: &[u8], this: u8) -> usize {
    const BLOCK: usize = 32;
    let mut length = 0;
    for block in value.chunks_exact(BLOCK) {
        if !block.iter().fold(true, |same, &v| same & (v == this)) {
            break;
        }
        length += BLOCK;
    }
    length + value[length..].iter().take_while(|&&v| v == this).count()
}
