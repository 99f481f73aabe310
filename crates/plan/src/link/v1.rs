//! Version 1 of a plan in a link. **Frozen**: the order of fields and variants *is* the format, so
//! nothing here may change, not even when the plan does. A later plan gets its own module.
//!
//! The structs are written in postcard's wire format (postcard 1.x, documented and stable). Nothing
//! is left out, defaults included: a default that changes one day must not change an old link.

mod areas;

use crate::types as now;
use serde::de::{Error, SeqAccess, Visitor};
use serde::ser::SerializeTuple;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::collections::BTreeMap;
use std::fmt;

/// What the squeezer has read before a plan: words that notes are made of, then bytes like those of a
/// common plan. Frozen as the rest.
pub const PRIMER: &[u8] = b"Harbour at dusk, second proof: the sky is too dark, so stop out the \
clouds after the first bite and leave the water and the light on the quay. Wait thirty seconds, then dust for two \
minutes. Bake it on the hot plate until the grain is clear and shining, with paper between. Bath is fresh, rocked \
gently; old bath bites slowly when it is cold. Rinse, dry, varnish the highlights, the figures and the edges. Print on damp \
paper, hand wipe, softer tarlatan, a little oil in the ink, warm the plate. Blacks need one more bite of four minutes. \
For the class: coarse ground, five values, test strip, deep bite, foul biting, burnish and scrape the lighter tones. ";

/// The plan in version 1's bytes.
pub(crate) fn to_bytes(plan: &now::Plan) -> Vec<u8> {
    // Strings, numbers and lists of them always serialise; an empty result would not be read back.
    postcard::to_allocvec(&Plan::from(plan)).unwrap_or_default()
}

/// A plan from version 1's bytes, unchecked, and the bytes after it; `None` when they hold none.
pub(crate) fn from_bytes(bytes: &[u8]) -> Option<(now::Plan, &[u8])> {
    let (plan, rest) = postcard::take_from_bytes::<Plan>(bytes).ok()?;
    Some((plan.into_plan()?, rest))
}

/// A number: whole `1/PER_UNIT`ths of its unit where that is exact, otherwise all its 64 bits.
///
/// The units are those of hand-typed numbers or finer. Whatever is not a whole number of them (a
/// crop of one third, say) takes nine bytes instead of one to three, and still comes back exactly.
///
/// On the wire: a varint, even for twice the whole number, or 1 and then the `f64`, little end
/// first.
#[derive(Clone, Copy)]
pub(super) struct Number<const PER_UNIT: u32>(pub(super) f64);

/// Largest whole number of units written as such; `f64` still tells it from its neighbours.
const MOST_UNITS: f64 = 4_503_599_627_370_496.0;

impl<const PER_UNIT: u32> Number<PER_UNIT> {
    fn whole_units(self) -> Option<u64> {
        let units = (self.0 * f64::from(PER_UNIT)).round();
        if !(0.0..=MOST_UNITS).contains(&units) {
            return None;
        }
        // The quotient is correctly rounded, hence the same f64 as the decimal number's own.
        let back = units / f64::from(PER_UNIT);
        (back.to_bits() == self.0.to_bits()).then_some(units as u64)
    }
}

impl<const PER_UNIT: u32> Serialize for Number<PER_UNIT> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        // Tuples have no length on the wire: their parts just follow one another.
        let mut parts = serializer.serialize_tuple(2)?;
        match self.whole_units() {
            Some(units) => parts.serialize_element(&(units * 2))?,
            None => {
                parts.serialize_element(&1_u64)?;
                parts.serialize_element(&self.0)?;
            }
        }
        parts.end()
    }
}

impl<'de, const PER_UNIT: u32> Deserialize<'de> for Number<PER_UNIT> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Parts<const PER_UNIT: u32>;
        impl<'de, const PER_UNIT: u32> Visitor<'de> for Parts<PER_UNIT> {
            type Value = Number<PER_UNIT>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a number")
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut parts: A) -> Result<Self::Value, A::Error> {
                let short = || A::Error::custom("a number is cut off");
                let head: u64 = parts.next_element()?.ok_or_else(short)?;
                let value = if head.is_multiple_of(2) {
                    (head / 2) as f64 / f64::from(PER_UNIT)
                } else if head == 1 {
                    parts.next_element()?.ok_or_else(short)?
                } else {
                    return Err(A::Error::custom("no number begins so"));
                };
                Ok(Number(value))
            }
        }
        deserializer.deserialize_tuple(2, Parts::<PER_UNIT>)
    }
}

/// Whole quarters of a minute.
pub(super) type Quarters = Number<4>;
pub(super) type Tenths = Number<10>;
pub(super) type Hundredths = Number<100>;
pub(super) type Millionths = Number<1_000_000>;

#[derive(Serialize, Deserialize)]
struct Plan {
    title: String,
    notes: String,
    seed: u32,
    plate_width_mm: Tenths,
    plate_height_mm: Tenths,
    plate_thickness_mm: Hundredths,
    paper_reflectance: Hundredths,
    paper_margin_mm: Tenths,
    picture: Source,
    crop_left: Millionths,
    crop_top: Millionths,
    crop_width: Millionths,
    crop_height: Millionths,
    thresholds_l: Vec<Tenths>,
    dust_median_um: Tenths,
    dust_spread_gsd: Hundredths,
    dustings: Hundredths,
    dust_powder_g_per_m2: Tenths,
    dust_box_height_m: Hundredths,
    dust_wait_s: Tenths,
    dusting_min: Hundredths,
    dust_settling: Settling,
    hot_plate_c: Tenths,
    bake_min: Hundredths,
    paper_between: bool,
    room_c: Tenths,
    bath_strength_be: Tenths,
    bath_temperature_c: Tenths,
    bath_agitation: Agitation,
    bath_volume_l: Tenths,
    bath_copper_g_per_l: Tenths,
    bites_min: Vec<Quarters>,
    ink_base_parts: Tenths,
    ink_reducer_parts: Tenths,
    ink_wipe: Wipe,
    ink_press: Press,
    calibration: Vec<(String, Millionths)>,
    plate_bevel_mm: Tenths,
    plate_corner_radius_mm: Tenths,
    picture_smallest_mm: Tenths,
    areas: Vec<areas::Area>,
}

#[derive(Serialize, Deserialize)]
enum Source {
    Harbour,
    File(String),
}

/// A frozen enum and the way to and from today's of the same name.
macro_rules! frozen {
    ($name:ident: $($variant:ident),+) => {
        #[derive(Serialize, Deserialize)]
        pub(super) enum $name { $($variant),+ }

        impl From<now::$name> for $name {
            fn from(now: now::$name) -> Self {
                match now { $(now::$name::$variant => Self::$variant),+ }
            }
        }

        impl From<$name> for now::$name {
            fn from(then: $name) -> Self {
                match then { $($name::$variant => Self::$variant),+ }
            }
        }
    };
}

pub(super) use frozen;

frozen!(Settling: Stirred, Still);
frozen!(Agitation: StillFaceUp, StillFaceDown, Rocked, Feathered, Bubbled, Sprayed);
frozen!(Wipe: Tarlatan, Hand, Hard);
frozen!(Press: Light, Normal, Heavy);

impl From<&now::Plan> for Plan {
    fn from(plan: &now::Plan) -> Self {
        let now::Plan { picture, dust, bake, bath, ink, .. } = plan;
        Self {
            title: plan.title.clone(),
            notes: plan.notes.clone(),
            seed: plan.seed,
            plate_width_mm: Number(plan.plate.width_mm),
            plate_height_mm: Number(plan.plate.height_mm),
            plate_thickness_mm: Number(plan.plate.thickness_mm),
            paper_reflectance: Number(plan.paper.reflectance),
            paper_margin_mm: Number(plan.paper.margin_mm),
            picture: match &picture.source {
                now::PictureSource::Harbour => Source::Harbour,
                now::PictureSource::File(name) => Source::File(name.clone()),
            },
            crop_left: Number(picture.crop.left),
            crop_top: Number(picture.crop.top),
            crop_width: Number(picture.crop.width),
            crop_height: Number(picture.crop.height),
            thresholds_l: picture.thresholds_l.iter().copied().map(Number).collect(),
            dust_median_um: Number(dust.median_um),
            dust_spread_gsd: Number(dust.spread_gsd),
            dustings: Number(dust.dustings),
            dust_powder_g_per_m2: Number(dust.powder_g_per_m2),
            dust_box_height_m: Number(dust.box_height_m),
            dust_wait_s: Number(dust.wait_s),
            dusting_min: Number(dust.dusting_min),
            dust_settling: dust.settling.into(),
            hot_plate_c: Number(bake.hot_plate_c),
            bake_min: Number(bake.bake_min),
            paper_between: bake.paper_between,
            room_c: Number(bake.room_c),
            bath_strength_be: Number(bath.strength_be),
            bath_temperature_c: Number(bath.temperature_c),
            bath_agitation: bath.agitation.into(),
            bath_volume_l: Number(bath.volume_l),
            bath_copper_g_per_l: Number(bath.copper_g_per_l),
            bites_min: plan.bites.iter().map(|bite| Number(bite.bite_min)).collect(),
            ink_base_parts: Number(ink.base_parts),
            ink_reducer_parts: Number(ink.reducer_parts),
            ink_wipe: ink.wipe.into(),
            ink_press: ink.press.into(),
            calibration: plan.calibration.iter().map(|(k, v)| (k.clone(), Number(*v))).collect(),
            plate_bevel_mm: Number(plan.plate.bevel_mm),
            plate_corner_radius_mm: Number(plan.plate.corner_radius_mm),
            picture_smallest_mm: Number(picture.smallest_mm),
            areas: plan.areas.iter().map(areas::Area::from).collect(),
        }
    }
}

impl Plan {
    /// The plan of today; `None` when a constant is calibrated twice.
    fn into_plan(self) -> Option<now::Plan> {
        let mut calibration = BTreeMap::new();
        for (key, value) in self.calibration {
            if calibration.insert(key, value.0).is_some() {
                return None;
            }
        }
        Some(now::Plan {
            platewright: crate::FORMAT_VERSION,
            title: self.title,
            notes: self.notes,
            seed: self.seed,
            plate: now::Copper {
                width_mm: self.plate_width_mm.0,
                height_mm: self.plate_height_mm.0,
                thickness_mm: self.plate_thickness_mm.0,
                bevel_mm: self.plate_bevel_mm.0,
                corner_radius_mm: self.plate_corner_radius_mm.0,
            },
            paper: now::Paper {
                reflectance: self.paper_reflectance.0,
                margin_mm: self.paper_margin_mm.0,
            },
            picture: now::Picture {
                source: match self.picture {
                    Source::Harbour => now::PictureSource::Harbour,
                    Source::File(name) => now::PictureSource::File(name),
                },
                crop: now::Crop {
                    left: self.crop_left.0,
                    top: self.crop_top.0,
                    width: self.crop_width.0,
                    height: self.crop_height.0,
                },
                thresholds_l: self.thresholds_l.iter().map(|level| level.0).collect(),
                smallest_mm: self.picture_smallest_mm.0,
                made_for: Default::default(),
                stand_in: None,
            },
            areas: self.areas.into_iter().map(areas::Area::into_area).collect::<Option<_>>()?,
            dust: now::Dust {
                median_um: self.dust_median_um.0,
                spread_gsd: self.dust_spread_gsd.0,
                dustings: self.dustings.0,
                powder_g_per_m2: self.dust_powder_g_per_m2.0,
                box_height_m: self.dust_box_height_m.0,
                wait_s: self.dust_wait_s.0,
                dusting_min: self.dusting_min.0,
                settling: self.dust_settling.into(),
            },
            bake: now::Bake {
                hot_plate_c: self.hot_plate_c.0,
                bake_min: self.bake_min.0,
                paper_between: self.paper_between,
                room_c: self.room_c.0,
            },
            bath: now::Bath {
                strength_be: self.bath_strength_be.0,
                temperature_c: self.bath_temperature_c.0,
                agitation: self.bath_agitation.into(),
                volume_l: self.bath_volume_l.0,
                copper_g_per_l: self.bath_copper_g_per_l.0,
            },
            bites: self.bites_min.iter().map(|b| now::Bite { bite_min: b.0 }).collect(),
            ink: now::Ink {
                base_parts: self.ink_base_parts.0,
                reducer_parts: self.ink_reducer_parts.0,
                wipe: self.ink_wipe.into(),
                press: self.ink_press.into(),
                ..super::v2::v1_ink()
            },
            lines: None,
            states: Vec::new(),
            edition: None,
            calibration,
            calibration_name: String::new(),
        })
    }
}
