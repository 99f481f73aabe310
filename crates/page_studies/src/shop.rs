//! What a shop's own plates and pictures tell: readings of a step plate, photographs of it, of dust and of grounds.

use crate::studies::{Studies, checked, sound_plan};
use js_sys::Uint8Array;
use page::crossing::{Answer, give, take, words};
use plan::{Diagnostic, Plan};
use plate::light::reflectance_of_lightness;
use serde::{Deserialize, Serialize};
use study::calibration::{
    Black, Covers, Fit, Forward, GroundPhoto, GroundReading, GroundShot, Kind, Photo, RosinTone,
    Scale, Shot, design, fit, fit_covers, fit_ground, in_lightness, layout, read_ground,
    read_photo, step_plate, unfitted,
};
use ts_rs::TS;
use wasm_bindgen::prelude::*;

/// What was read off a step plate, L*, and what it tells.
#[derive(Serialize, TS)]
pub(crate) struct Calibrated {
    read_l: Vec<Option<f64>>,
    fit: Fit,
}

/// A step plate as it was bitten and read; `null` is a step that was not read.
#[derive(Deserialize, TS)]
pub(crate) struct CoverPlate {
    #[serde(deserialize_with = "page::crossing::plan_within")]
    plan: Plan,
    bite_min: Vec<f64>,
    kind: Kind,
    readings: Vec<Option<f64>>,
}

/// What a picture of dust or of a melted ground tells ([`study::calibration::GroundMeasures`]), and what was taken for
/// rosin.
#[derive(Serialize, TS)]
pub(crate) struct GroundSeen {
    cover: f64,
    cover_low: f64,
    cover_high: f64,
    islands: f64,
    seen_per_mm2: f64,
    islands_per_mm2: f64,
    median_width_um: Option<f64>,
    px_um: f64,
    rosin_lighter: bool,
    warnings: Vec<Diagnostic>,
    /// Left upper corner of what was read, pixels of the picture, and pixels in a row of it.
    left: usize,
    top: usize,
    wide: usize,
    /// A byte a pixel of what was read, row by row: 1 is rosin.
    #[serde(with = "serde_wasm_bindgen::preserve")]
    #[ts(type = "Uint8Array<ArrayBuffer>")]
    rosin: Uint8Array,
}

#[wasm_bindgen]
impl Studies {
    /// A step plate of so many steps for a plan.
    #[wasm_bindgen(unchecked_return_type = "T.StepPlate")]
    pub fn step_plate(
        &self,
        #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
        steps: usize,
    ) -> Answer {
        give(&design(&sound_plan(&plan)?, steps).map_err(words)?)
    }

    /// Reads a step plate's print off a picture (8-bit sRGB with alpha). `corners` are x, y of four,
    /// `black` x, y and L* of a known black or nothing.
    #[wasm_bindgen(unchecked_return_type = "T.PhotoReading")]
    pub fn read_step_photo(
        &self,
        rgba: &[u8],
        width: usize,
        steps: usize,
        corners: &[f64],
        black: &[f64],
        paper_reflectance: f64,
    ) -> Answer {
        let height = rgba.len() / 4 / width.max(1);
        let photo = Photo::from_rgba(rgba, width, height).map_err(|wrong| wrong.to_string())?;
        let corners: [f64; 8] = corners.try_into().map_err(|_| "There must be four corners.")?;
        let black = match *black {
            [x, y, l] => Some(Black { at: (x, y), reflectance: reflectance_of_lightness(l) }),
            _ => None,
        };
        let corners = [0, 2, 4, 6].map(|i| (corners[i], corners[i + 1]));
        let shot = Shot { corners, paper_reflectance, black };
        give(&read_photo(&photo, &layout(steps), &shot).map_err(words)?)
    }

    /// Calculates beforehand what [`Self::calibrate`] takes longest over, while the readings are typed.
    pub fn ready_to_calibrate(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
        bite_min: &[f64],
    ) -> Result<(), String> {
        self.forward_of(sound_plan(&plan)?, bite_min).map(|_| ())
    }

    /// The constants that a step plate tells: what was read as L*, and the fit. `null` is a reading not
    /// taken.
    #[wasm_bindgen(unchecked_return_type = "T.Calibrated")]
    pub fn calibrate(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
        bite_min: &[f64],
        #[wasm_bindgen(unchecked_param_type = "T.ReadingKind")] kind: JsValue,
        #[wasm_bindgen(unchecked_param_type = "(number | null)[]")] readings: JsValue,
    ) -> Answer {
        let plan = sound_plan(&plan)?;
        let readings: Vec<Option<f64>> = take(readings)?;
        let read_l =
            in_lightness(take::<Kind>(kind)?, &readings, plan.paper.reflectance).map_err(words)?;
        let forward = self.forward_of(plan, bite_min)?;
        let fit = fit(forward, &read_l).map_err(words)?;
        give(&Calibrated { read_l, fit })
    }

    /// Reads a picture of dust or, `melted`, of a melted ground (8-bit sRGB with alpha), and keeps what was found for
    /// [`Self::fit_ground`]. `scale` is the copper across the picture, mm; or the size of a pixel of the file, µm, and
    /// how many of them are in one of this picture; or x, y of two marks on a ruler, pixels, the length between
    /// them, mm, and 1 where the ruler lies in this picture, 0 where it has one of its own. `frame` is left,
    /// top, right and bottom of the part that is read, or nothing. `rosin_lighter` says which tone the rosin has, if it is
    /// not to be found out; `nudge` moves the level towards more rosin, in shares of the distance of the two tones.
    #[wasm_bindgen(unchecked_return_type = "T.GroundSeen")]
    #[allow(clippy::too_many_arguments, reason = "what crosses is numbers")]
    pub fn read_ground_photo(
        &mut self,
        melted: bool,
        rgba: &[u8],
        width: usize,
        scale: &[f64],
        frame: &[f64],
        rosin_lighter: Option<bool>,
        nudge: f64,
    ) -> Answer {
        let refused = |wrong: Diagnostic| wrong.to_string();
        let kept = &mut self.grounds[usize::from(melted)];
        *kept = None;
        let height = rgba.len() / 4 / width.max(1);
        let photo = GroundPhoto::from_rgba(rgba, width, height).map_err(refused)?;
        let rosin = match rosin_lighter {
            None => RosinTone::Found,
            Some(true) => RosinTone::Lighter,
            Some(false) => RosinTone::Darker,
        };
        let scale = match *scale {
            [mm] => Scale::Across(mm),
            [um, times] => Scale::Pixel(um * times),
            [ax, ay, bx, by, mm, within] => {
                Scale::Ruler { marks: [(ax, ay), (bx, by)], mm, within: within > 0.0 }
            }
            _ => return Err("There must be a scale.".to_owned()),
        };
        let shot = GroundShot { scale, frame: frame.try_into().ok(), rosin, nudge };
        let (GroundReading { found, rosin_lighter, warnings, .. }, mask) =
            read_ground(&photo, &shot).map_err(refused)?;
        *kept = Some(found);
        let bytes: Vec<u8> = mask.rosin.into_iter().map(u8::from).collect();
        give(&GroundSeen {
            cover: found.cover,
            cover_low: found.cover_low,
            cover_high: found.cover_high,
            islands: found.islands,
            seen_per_mm2: found.seen_per_mm2,
            islands_per_mm2: found.islands_per_mm2,
            median_width_um: found.median_width_um,
            px_um: found.px_um,
            rosin_lighter,
            warnings,
            left: mask.corner.0,
            top: mask.corner.1,
            wide: mask.width,
            rosin: Uint8Array::from(&bytes[..]),
        })
    }

    /// How much powder lands and how firmly edges hold, from the dust and the ground that were read.
    #[wasm_bindgen(unchecked_return_type = "T.GroundFit")]
    pub fn fit_ground(
        &self,
        #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
    ) -> Answer {
        let [Some(dust), Some(melted)] = &self.grounds else {
            return Err("Choose both pictures anew: what was read of them is gone.".to_owned());
        };
        give(&fit_ground(&sound_plan(&plan)?, dust, melted).map_err(words)?)
    }

    /// How the open share counts, and the constants of bath and ink, from two step plates of unlike cover.
    #[wasm_bindgen(unchecked_return_type = "T.CoversFit")]
    pub fn fit_covers(
        &self,
        #[wasm_bindgen(unchecked_param_type = "[T.CoverPlate, T.CoverPlate]")] plates: JsValue,
    ) -> Answer {
        let [first, second]: [CoverPlate; 2] = take(plates)?;
        let read = |one: &CoverPlate| {
            checked(&one.plan)?;
            in_lightness(one.kind, &one.readings, one.plan.paper.reflectance).map_err(words)
        };
        let read_l = [read(&first)?, read(&second)?];
        let asked = [(&first.plan, &first.bite_min[..]), (&second.plan, &second.bite_min[..])];
        let covers = Covers::new(asked).map_err(words)?;
        give(&fit_covers(&covers, [&read_l[0], &read_l[1]]).map_err(words)?)
    }
}

impl Studies {
    fn forward_of(&mut self, plan: Plan, bite_min: &[f64]) -> Result<&Forward, String> {
        let asked = (plan, bite_min.to_vec());
        let known = match self.forward.take() {
            Some(known) if known.0 == asked => known,
            _ => {
                let plate = step_plate(&unfitted(&asked.0), bite_min).map_err(words)?;
                (asked, Forward::new(&plate)?)
            }
        };
        Ok(&self.forward.insert(known).1)
    }
}
