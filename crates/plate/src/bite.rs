//! Bite: how fast the bath works, how long each value lies in it, and how deep it goes.
//!
//! In the order of the bench:
//!
//! | part | from | to |
//! |---|---|---|
//! | [`strength`] | hydrometer reading | specific gravity, weight %, mol/L |
//! | [`rate`] | the bath | µm of open copper per minute |
//! | [`mod@session`] | bath and bites | cumulative bite of every value, copper in the bath |
//! | [`spit`] | etchant brushed on | its bite on open copper |
//! | [`profile`] | a sample of the ground | mean depth and land left, quickly |
//! | [`depth`] | distance under the resin | depth at a pixel of one value |
//! | [`book`] | a bath between plates | its speed, its reading, when to replace it |
//! | [`creep`] | stop-out borders | depth under the varnish beside a deeper value |
//! | [`again`] | copper already bitten, a new ground | depth after the bites under it |
//!
//! A *bite* or *dose* is the depth, in µm, to which copper lying open all the while would have gone.

use crate::stage_constants;

pub mod again;
pub mod book;
pub mod creep;
pub mod depth;
pub mod profile;
pub mod rate;
pub mod session;
pub mod spit;
pub mod strength;

pub use again::{AgainScratch, bite_again};
pub use book::{BathState, bath_state, mixed_be};
pub(crate) use creep::Creep;
pub use creep::{CreepScratch, creep_under_varnish};
pub(crate) use depth::depths;
pub use depth::{DepthCurve, depth_at_um, depth_field};
pub use profile::ResistProfile;
pub use rate::{HALF_OPEN, Tiredness, line_dose_um, minutes_to_dose, rate_um_per_min, tiredness};
pub use session::{InBath, Session, session};
pub use spit::spit_dose_um;

stage_constants! {
    /// Constants of bath and bite.
    BiteConstants "bite" {
        rate_um_per_min: 1.0, "µm/min", 0.5..=2.0, Estimated,
            "rate of the bite at 40 °Bé and 20 °C, fresh, tray rocked, half-covered plate", "fitted on the joined chain, dust to print, to Mitjà, Heliogravure VIII, 2017 (deep black at 24 min, 20 °C, just before the open bite); calibrate with your own step plate";
        open_share_power: 0.3, "", 0.0..=1.0, Estimated,
            "how much faster a plate bites that lies less open: power of half over the ground's open share", "direction from printed-circuit practice (more open copper etches slower), 1 were diffusion all; size estimated: calibrate with two step plates of unlike cover";
        etch_factor: 1.0, "", 1.0..=3.0, Estimated,
            "depth gained for each µm of undercut", "definition: Allen, Horne & Stevens, J. PCMI, January 1982; value estimated for a rocked tray: calibrate with your own step plate";
        activation_kj_per_mol: 22.0, "kJ/mol", 15.0..=35.0, Published,
            "apparent activation energy of the bite", "calculated for a diffusion-held tray at 40 °Bé; 20.5 overall from the constants of Bryce & Berk, Ind. Eng. Chem. Res. 34 (1995) 1412";
        strength_at_40: 0.9981, "", 0.95..=1.05, Published,
            "factor of strength at 40 °Bé, the cubic's constant term", "cubic fitted to C(T/η)^⅔ν^−⅙ with viscosities of Laliberté 2009; peak agrees with Bryce & Berk 1995";
        strength_slope: -0.2434, "1/(10 °Bé)", -0.35..=-0.15, Published,
            "factor of strength, the cubic's first power of (°Bé − 40)/10", "same fit as strength_at_40";
        strength_bend: -0.0743, "1/(10 °Bé)²", -0.12..=-0.03, Published,
            "factor of strength, the cubic's second power", "same fit as strength_at_40";
        strength_twist: 0.0140, "1/(10 °Bé)³", -0.02..=0.04, Published,
            "factor of strength, the cubic's third power", "same fit as strength_at_40";
        still_face_up: 0.5, "", 0.2..=0.8, Estimated,
            "rate in a still bath, face up, against a rocked tray", "estimated: calibrate with your own step plate";
        still_face_down: 0.8, "", 0.5..=1.0, Estimated,
            "rate in a still bath, on edge or face down, against a rocked tray", "estimated: calibrate with your own step plate";
        feathered: 1.3, "", 1.0..=2.0, Estimated,
            "rate under a feather against a rocked tray", "estimated: calibrate with your own step plate";
        bubbled: 2.0, "", 1.2..=5.0, Estimated,
            "rate in a bubbled tank against a rocked tray", "estimated: calibrate with your own step plate";
        spit_brushed: 0.8, "", 0.3..=1.3, Estimated,
            "rate of etchant brushed on (spit-bite) against a rocked tray", "estimated, between a still and a feathered bath: calibrate with your own step plate";
        spit_film_mm: 0.8, "mm", 0.2..=2.5, Estimated,
            "depth of the etchant brushed on, which tires as copper goes into it", "estimated from a drop lying on copper: calibrate with your own step plate";
        sprayed: 16.0, "", 8.0..=40.0, Estimated,
            "rate in a spray machine against a rocked tray", "trade figures of 30–35 µm/min warm (process notes of circuit makers); calibrate with your own step plate";
        still_layer_um_per_root_min: 1.2, "µm/√min", 0.8..=1.7, Estimated,
            "deepest bite of one unmoved immersion face up after one minute, growing with its root, at 40 °Bé and 20 °C", "Cottrell's law for a diffusion constant of 0.7–3×10⁻¹⁰ m²/s; calibrate with your own step plate";
        cooling_per_h: 0.0, "1/h", 0.0..=3.0, Estimated,
            "how fast a bath that is not kept warm comes to the room's temperature: share of the difference an hour, at first", "Newton's law of cooling; off at nought; common practice, no source: read a thermometer in your tray twice";
        between_bites_min: 10.0, "min", 0.0..=60.0, Estimated,
            "time from one bite to the next for rinsing, drying and stopping out, in which an unheated bath cools on", "common practice, no source";
        hydrometer_modulus: 145.0, "°Bé", 144.0..=146.8, Published,
            "modulus of the hydrometer: SG = m/(m − °Bé) at 60 °F", "Perry's Chemical Engineers' Handbook, 8th ed., 2008, table 1-13";
        chloride_density_c0: -14.929_941_777_192_2, "kg/m³", -15.7..=-14.2, Published,
            "c0 of the density of ferric chloride in water", "Laliberté, J. Chem. Eng. Data 54 (2009) 1725";
        chloride_density_c1: 63.316_879_903_312_2, "kg/m³", 60.0..=67.0, Published,
            "c1 of the density of ferric chloride in water", "Laliberté, J. Chem. Eng. Data 54 (2009) 1725";
        chloride_density_c2: 1.158_851_326_650_07, "", 1.1..=1.22, Published,
            "c2 of the density of ferric chloride in water", "Laliberté, J. Chem. Eng. Data 54 (2009) 1725";
        chloride_density_c3: 0.010_482_083_889_017_5, "1/°C", 0.0099..=0.0111, Published,
            "c3 of the density of ferric chloride in water", "Laliberté, J. Chem. Eng. Data 54 (2009) 1725";
        chloride_density_c4: 2_163.058_052_840_03, "°C", 2050.0..=2280.0, Published,
            "c4 of the density of ferric chloride in water", "Laliberté, J. Chem. Eng. Data 54 (2009) 1725";
        copper_g_per_cm3: 8.96, "g/cm³", 8.89..=8.96, Published,
            "density of copper", "CRC Handbook of Chemistry and Physics (from memory)";
    }
}
