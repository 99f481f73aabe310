//! Rate of the bite: strength, temperature, movement and the copper already dissolved.
//!
//! v = v₀ · A · F_B(°Bé) · F_T(T) · F_Cu · (0.5 / open share)^m. A tray bites at a few per cent of the speed of the bare
//! reaction (Bryce & Berk 1995): fresh solution has to come to the copper, so movement and
//! viscosity decide, and a ground that leaves less copper open leaves more of the bath to each part of it.

use super::{BiteConstants, strength};
use plan::{Agitation, Bath};

/// Molar gas constant, J/(mol·K) (CODATA 2018, exact).
const GAS_J_PER_MOL_K: f64 = 8.314_462_618;
/// 0 °C in K.
const ZERO_C_IN_K: f64 = 273.15;
/// Temperature to which the rate constant belongs, °C.
const BASE_C: f64 = 20.0;
/// Strength to which the rate constant belongs, °Bé.
const BASE_BE: f64 = 40.0;

/// Open share of the ground to which the rate constant belongs.
pub const HALF_OPEN: f64 = 0.5;
/// A ground's open share counts as no less and no more than these: with hardly anything open the grain,
/// not the plate, decides how the bath comes to it.
const OPEN_SHARES: (f64, f64) = (0.1, 1.0);

/// Below this share of its fresh speed a bath is tired: about 25 g/L of copper at 40 °Bé.
/// Common practice, no source.
pub const TIRED_BELOW: f64 = 0.75;
/// At this share of its fresh speed or below a bath is due to be replaced: times have doubled
/// (trade advice; Sharpe & Garn discarded theirs at 60 g/L of copper in 3.75 mol/L).
pub const REPLACE_AT: f64 = 0.5;

/// At this share of its fresh speed or below a bath no longer bites: what took a minute takes hours.
/// Common practice, no source.
pub const DEAD_AT: f64 = 0.01;

/// Whether a bath mixed at `be` °Bé with this much copper dissolved in it (g/L) no longer bites.
#[must_use]
pub fn is_dead(be: f64, copper_g_per_l: f64, constants: &BiteConstants) -> bool {
    copper_factor(be, copper_g_per_l, constants) <= DEAD_AT
}

/// How far a bath is spent.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Tiredness {
    /// At least three quarters of its fresh speed.
    Fresh,
    /// Slower than three quarters of its fresh speed.
    Tired,
    /// Half its fresh speed or less: due to be replaced.
    Spent,
}

/// Factor of strength, 1 at 40 °Bé. Fitted over 20–46 °Bé.
#[must_use]
pub fn strength_factor(be: f64, constants: &BiteConstants) -> f64 {
    let y = (be - BASE_BE) / 10.0;
    constants.strength_at_40
        + y * (constants.strength_slope
            + y * (constants.strength_bend + y * constants.strength_twist))
}

/// Factor of temperature, 1 at 20 °C (Arrhenius). Meant for 10–35 °C.
#[must_use]
pub fn temperature_factor(temp_c: f64, constants: &BiteConstants) -> f64 {
    let colder = 1.0 / (temp_c + ZERO_C_IN_K) - 1.0 / (BASE_C + ZERO_C_IN_K);
    libm::exp(-constants.activation_kj_per_mol * 1000.0 / GAS_J_PER_MOL_K * colder)
}

/// Loss of speed per g/L of dissolved copper, in a bath mixed at `be` °Bé: two ferric ions are
/// spent on each copper atom.
#[must_use]
pub fn loss_per_copper(be: f64, constants: &BiteConstants) -> f64 {
    2.0 / (strength::COPPER_G_PER_MOL * strength::mol_per_l(be, constants))
}

/// Factor of dissolved copper: the share of ferric iron not yet spent, 1 when fresh, 0 when used up.
#[must_use]
pub fn copper_factor(be: f64, copper_g_per_l: f64, constants: &BiteConstants) -> f64 {
    (1.0 - loss_per_copper(be, constants) * copper_g_per_l).max(0.0)
}

/// Factor of movement against a rocked tray.
#[must_use]
pub fn agitation_factor(agitation: Agitation, constants: &BiteConstants) -> f64 {
    match agitation {
        Agitation::StillFaceUp => constants.still_face_up,
        Agitation::StillFaceDown => constants.still_face_down,
        Agitation::Rocked => 1.0,
        Agitation::Feathered => constants.feathered,
        Agitation::Bubbled => constants.bubbled,
        Agitation::Sprayed => constants.sprayed,
    }
}

/// Factor of the share of the copper that the ground leaves open (0–1, stop-out not counted), 1 at half:
/// (0.5 / open share)^m. A tray is held up by diffusion, so that a plate with less open copper bites
/// faster there.
#[must_use]
pub fn open_factor(open_share: f64, constants: &BiteConstants) -> f64 {
    let (least, most) = OPEN_SHARES;
    libm::pow(HALF_OPEN / open_share.clamp(least, most), constants.open_share_power)
}

/// Rate of the bite on open copper, µm/min, under a ground with this open share (0–1) and with this
/// much copper dissolved in the bath (g/L; `bath.copper_g_per_l` is not read, so that the rate can be
/// followed as the bath tires).
#[must_use]
pub fn rate_um_per_min(
    bath: &Bath,
    copper_g_per_l: f64,
    open_share: f64,
    constants: &BiteConstants,
) -> f64 {
    fresh_rate_um_per_min(bath, open_share, constants)
        * copper_factor(bath.strength_be, copper_g_per_l, constants)
}

/// Rate of the same bath without any copper in it, µm/min.
fn fresh_rate_um_per_min(bath: &Bath, open_share: f64, constants: &BiteConstants) -> f64 {
    constants.rate_um_per_min
        * open_factor(open_share, constants)
        * agitation_factor(bath.agitation, constants)
        * strength_factor(bath.strength_be, constants)
        * temperature_factor(bath.temperature_c, constants)
}

/// Bite of one immersion of `bite_min` minutes in a bath that never tires, µm.
///
/// The rate times the minutes; but in a still bath with the plate face up the spent layer stays in
/// the pits and thickens, and no bite goes deeper than k√t (Cottrell). The layer is poured off
/// with each stop-out, so every immersion starts anew. k follows strength, temperature and open share as
/// the rate does, both being fed by diffusion.
#[must_use]
pub(crate) fn untiring_bite_um(
    bath: &Bath,
    bite_min: f64,
    open_share: f64,
    constants: &BiteConstants,
) -> f64 {
    let moved = fresh_rate_um_per_min(bath, open_share, constants) * bite_min;
    match bath.agitation {
        Agitation::StillFaceUp => {
            let layer = still_layer_um_per_root_min(bath, open_share, constants);
            moved.min(layer * libm::sqrt(bite_min))
        }
        _ => moved,
    }
}

/// Depth of lines that lay in the bath for some minutes of one immersion, µm. They are so small a part of the
/// plate that the bath does not tire over them. The rate is that of a half-covered plate: how much faster
/// lines bite that lie alone in a hard ground is not modelled.
#[must_use]
pub fn line_dose_um(bath: &Bath, bite_min: f64, constants: &BiteConstants) -> f64 {
    copper_factor(bath.strength_be, bath.copper_g_per_l, constants)
        * untiring_bite_um(bath, bite_min, HALF_OPEN, constants)
}

/// k of the still layer in this bath, µm/√min.
fn still_layer_um_per_root_min(bath: &Bath, open_share: f64, constants: &BiteConstants) -> f64 {
    constants.still_layer_um_per_root_min
        * open_factor(open_share, constants)
        * strength_factor(bath.strength_be, constants)
        * temperature_factor(bath.temperature_c, constants)
}

/// Minutes of one immersion that bite `dose_um` deep under a ground with this open share (0–1) and with
/// this much copper dissolved (g/L), the copper dissolved meanwhile not counted. Infinite when the bath is
/// used up.
#[must_use]
pub fn minutes_to_dose(
    bath: &Bath,
    copper_g_per_l: f64,
    dose_um: f64,
    open_share: f64,
    constants: &BiteConstants,
) -> f64 {
    if dose_um <= 0.0 {
        return 0.0;
    }
    let moved = dose_um / rate_um_per_min(bath, copper_g_per_l, open_share, constants);
    match bath.agitation {
        Agitation::StillFaceUp => {
            let layer = still_layer_um_per_root_min(bath, open_share, constants)
                * copper_factor(bath.strength_be, copper_g_per_l, constants);
            let root = dose_um / layer;
            moved.max(root * root)
        }
        _ => moved,
    }
}

/// How far a bath mixed at `be` °Bé is spent with this much copper dissolved in it (g/L).
#[must_use]
pub fn tiredness(be: f64, copper_g_per_l: f64, constants: &BiteConstants) -> Tiredness {
    let factor = copper_factor(be, copper_g_per_l, constants);
    if factor <= REPLACE_AT {
        Tiredness::Spent
    } else if factor < TIRED_BELOW {
        Tiredness::Tired
    } else {
        Tiredness::Fresh
    }
}
