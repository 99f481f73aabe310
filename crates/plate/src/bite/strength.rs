//! Strength of the bath: from the hydrometer's degrees Baumé to what is in a litre.
//!
//! The hydrometer is read at 60 °F; grams and moles per litre are given at 20 °C. The figures are
//! those of fresh, pure ferric chloride in water: trade solution carries a little acid, which adds
//! some tenths of a degree. Sound from 0 to about 48 °Bé (Laliberté's data end at 50 % by weight).

use super::BiteConstants;

/// Standard atomic mass of copper, g/mol (IUPAC 2021, abridged).
pub const COPPER_G_PER_MOL: f64 = 63.546;
/// Standard atomic mass of iron, g/mol (IUPAC 2021, abridged).
pub const IRON_G_PER_MOL: f64 = 55.845;
/// Conventional atomic mass of chlorine, g/mol (IUPAC 2021, abridged).
pub const CHLORINE_G_PER_MOL: f64 = 35.45;
/// Molar mass of ferric chloride FeCl₃, g/mol.
pub const FERRIC_CHLORIDE_G_PER_MOL: f64 = IRON_G_PER_MOL + 3.0 * CHLORINE_G_PER_MOL;
/// Copper that a gram of ferric chloride can take up, g: 2 FeCl₃ + Cu → 2 FeCl₂ + CuCl₂.
pub const COPPER_PER_CHLORIDE: f64 = COPPER_G_PER_MOL / (2.0 * FERRIC_CHLORIDE_G_PER_MOL);

/// Temperature at which the hydrometer's scale holds, 60 °F in °C.
pub(super) const HYDROMETER_C: f64 = (60.0 - 32.0) * 5.0 / 9.0;
/// Temperature at which litres are measured, °C.
const LITRE_C: f64 = 20.0;

/// Specific gravity (60 °F/60 °F) of a bath that reads `be` °Bé.
#[must_use]
pub fn specific_gravity(be: f64, constants: &BiteConstants) -> f64 {
    constants.hydrometer_modulus / (constants.hydrometer_modulus - be)
}

/// Reading in °Bé of a bath of this specific gravity (60 °F/60 °F).
#[must_use]
pub fn degrees_be(specific_gravity: f64, constants: &BiteConstants) -> f64 {
    constants.hydrometer_modulus - constants.hydrometer_modulus / specific_gravity
}

/// Density of water, kg/m³, 0–100 °C: Kell's formula as used by Laliberté & Cooper,
/// J. Chem. Eng. Data 49 (2004) 1141.
#[must_use]
pub fn water_kg_per_m3(temp_c: f64) -> f64 {
    let t = temp_c;
    let over = ((((-2.805_425_3e-10 * t + 1.055_630_2e-7) * t - 4.617_046_1e-5) * t
        - 0.007_987_040_1)
        * t
        + 16.945_176)
        * t
        + 999.839_52;
    over / (1.0 + 0.016_879_85 * t)
}

/// Density of ferric chloride in water, kg/m³, at this share by weight (0–0.5) and 0–35 °C.
///
/// Laliberté, J. Chem. Eng. Data 54 (2009) 1725: the volumes of water and of the dissolved salt
/// add up, the salt's own density depending on strength and temperature.
#[must_use]
pub fn density_kg_per_m3(weight_share: f64, temp_c: f64, constants: &BiteConstants) -> f64 {
    let warmth = temp_c + constants.chloride_density_c4;
    let salt_density = (constants.chloride_density_c0 * weight_share
        + constants.chloride_density_c1)
        * libm::exp(1e-6 * warmth * warmth)
        / (weight_share + constants.chloride_density_c2 + constants.chloride_density_c3 * temp_c);
    1.0 / ((1.0 - weight_share) / water_kg_per_m3(temp_c) + weight_share / salt_density)
}

/// Per cent by weight of ferric chloride in a bath that reads `be` °Bé.
#[must_use]
pub fn weight_percent(be: f64, constants: &BiteConstants) -> f64 {
    weight_percent_at(be, HYDROMETER_C, constants)
}

/// Per cent by weight of ferric chloride in a bath whose hydrometer reads `be` at `temp_c`.
fn weight_percent_at(be: f64, temp_c: f64, constants: &BiteConstants) -> f64 {
    let wanted = specific_gravity(be, constants) * water_kg_per_m3(HYDROMETER_C);
    let (mut weak, mut strong) = (0.0, 0.6);
    // Density rises with strength all the way, so halving finds the one answer to the last digits.
    for _ in 0..50 {
        let middle = 0.5 * (weak + strong);
        if density_kg_per_m3(middle, temp_c, constants) < wanted {
            weak = middle;
        } else {
            strong = middle;
        }
    }
    50.0 * (weak + strong)
}

/// What a bath that reads `be` °Bé at `temp_c` (0–35 °C) reads at 60 °F, where the scale holds.
#[must_use]
pub fn be_at_60_f(be: f64, temp_c: f64, constants: &BiteConstants) -> f64 {
    let share = weight_percent_at(be, temp_c, constants) / 100.0;
    let density = density_kg_per_m3(share, HYDROMETER_C, constants);
    degrees_be(density / water_kg_per_m3(HYDROMETER_C), constants)
}

/// Grams of ferric chloride per litre (at 20 °C) of a bath that reads `be` °Bé.
#[must_use]
pub fn grams_per_l(be: f64, constants: &BiteConstants) -> f64 {
    let share = weight_percent(be, constants) / 100.0;
    share * density_kg_per_m3(share, LITRE_C, constants)
}

/// Moles of ferric chloride per litre (at 20 °C) of a bath that reads `be` °Bé.
#[must_use]
pub fn mol_per_l(be: f64, constants: &BiteConstants) -> f64 {
    grams_per_l(be, constants) / FERRIC_CHLORIDE_G_PER_MOL
}

/// What the hydrometer will read, °Bé, once copper has dissolved in a bath mixed at `fresh_be`.
///
/// Dissolved copper makes the bath heavier at the same volume: a tired bath reads *stronger*.
#[must_use]
pub fn hydrometer_be(fresh_be: f64, copper_g_per_l: f64, constants: &BiteConstants) -> f64 {
    let heavier = copper_g_per_l / water_kg_per_m3(HYDROMETER_C);
    degrees_be(specific_gravity(fresh_be, constants) + heavier, constants)
}
