//! Spit-bite: etchant brushed on in an outlined place, a film that tires as it bites.

use super::{BiteConstants, rate};
use plan::{Agitation, Bath};

/// A layer of copper 1 µm thick over 1 cm² has 1e-4 cm³; a film of etchant 1 mm deep over it holds
/// 1e-4 L. So many cm³ to the litre:
const LAYER_PER_FILM: f64 = 1.0;

/// Cumulative bite on open copper, µm, of etchant from the bath left brushed on for some minutes.
///
/// The film holds `spit_film_mm` of the bath. Copper goes into it in proportion to the bite R and the
/// share of the copper that lies open, and its rate falls with what ferric iron is left:
/// dR/dt = v·(1 − R/R₁), so R = R₁·(1 − e^(−v·t/R₁)), where R₁ is the bite that would use it up.
#[must_use]
pub fn spit_dose_um(bath: &Bath, minutes: f64, open_share: f64, constants: &BiteConstants) -> f64 {
    let rocked = Bath { agitation: Agitation::Rocked, ..bath.clone() };
    let rate_um = constants.spit_brushed
        * rate::rate_um_per_min(&rocked, bath.copper_g_per_l, open_share, constants);
    let left = 1.0 - rate::loss_per_copper(bath.strength_be, constants) * bath.copper_g_per_l;
    let copper_per_um =
        LAYER_PER_FILM * open_share * constants.copper_g_per_cm3 / constants.spit_film_mm;
    let lost_per_um = rate::loss_per_copper(bath.strength_be, constants) * copper_per_um;
    if left <= 0.0 {
        return 0.0;
    }
    let all_um = left / lost_per_um.max(1e-12);
    -all_um * libm::expm1(-rate_um * minutes.max(0.0) / all_um)
}
