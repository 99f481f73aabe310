//! What a shop's own plates and pictures tell: readings of a step plate, photographs of it, of dust and of grounds.

use crate::studies::{Studies, checked, sound_plan};
use js_sys::Uint8Array;
use page::crossing::{Answer, give, take, words};
use page::views::ProofSquares;
use plan::{Diagnostic, Plan};
use serde::{Deserialize, Serialize};
use study::calibration::{
    Allowed, Camera, Covers, GroundPhoto, GroundReading, GroundShot, Kind, KnownGrey, Photo,
    Reading, RosinTone, Scale, Shot, Tables, design, fit_covers, fit_ground, grey_reflectance,
    in_any_order, in_lightness, layout, patches_in_picture, read_ground, read_photo, unfitted,
};
use study::proof_causes::ProofSeen;
use study::proof_reading::{ProofPrint, ProofReading, ProofShot, Raster, read};
use study::registration::{self, Expected};
use ts_rs::TS;
use wasm_bindgen::prelude::*;

/// A step plate as it was bitten and read, or with the shares of its picture a proof of the plan itself.
#[derive(Deserialize, TS)]
pub(crate) struct ProofRead {
    bite_min: Vec<f64>,
    /// Of the plate per value, paper first; empty for a step plate.
    shares: Vec<f64>,
    kind: Kind,
    /// `null` is a reading not taken, or left out.
    readings: Vec<Option<f64>>,
    /// The camera of the photograph that they were read from, or `null`.
    camera: Option<Camera>,
    /// What is found beside the constants.
    allowed: Allowed,
}

/// What a photograph of a proof tells, as it is shown, and as whoever asks for its causes hands it on.
#[derive(Serialize, TS)]
pub(crate) struct ProofFound {
    reading: ProofReading,
    seen: ProofSeen,
    /// Of the plate per value, paper first.
    shares: Vec<f64>,
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
    /// `greys` x, y and L* or density of each known grey.
    #[wasm_bindgen(unchecked_return_type = "T.PhotoReading")]
    pub fn read_step_photo(
        &self,
        rgba: &[u8],
        width: usize,
        steps: usize,
        corners: &[f64],
        greys: &[f64],
        paper_reflectance: f64,
    ) -> Answer {
        let photo = photograph(rgba, width)?;
        let shot = Shot { corners: four(corners)?, paper_reflectance, greys: known_greys(greys) };
        give(&read_photo(&photo, &layout(steps), &shot).map_err(words)?)
    }

    /// Finds a step plate's print in a picture (8-bit sRGB with alpha).
    #[wasm_bindgen(unchecked_return_type = "T.PrintFound")]
    pub fn find_step_plate(&self, rgba: &[u8], width: usize, steps: usize) -> Answer {
        let photo = photograph(rgba, width)?;
        let expected = Expected::step_plate(&layout(steps));
        give(&registration::find(&photo, &expected).map_err(|wrong| wrong.to_string())?)
    }

    /// Where the patches of a step plate lie in a picture with these corners, pixels: x, y of four places for each.
    pub fn step_patches(&self, steps: usize, corners: &[f64]) -> Result<Vec<f64>, String> {
        let patches = patches_in_picture(&layout(steps), &four(corners)?);
        Ok(patches.into_iter().flatten().flat_map(|(x, y)| [x, y]).collect())
    }

    /// Reads a photograph of a proof (8-bit sRGB with alpha), and keeps it for [`Self::squared_up`]. `corners` are x, y of four
    /// where somebody has set them, or nothing; `greys` x, y and L* or density of each known grey.
    #[wasm_bindgen(unchecked_return_type = "T.ProofFound")]
    pub fn read_proof(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.ProofSquares")] squares: JsValue,
        rgba: &[u8],
        width: usize,
        corners: &[f64],
        greys: &[f64],
    ) -> Answer {
        self.proof = None;
        let print = ProofPrint::from(take::<ProofSquares>(squares)?);
        let shares = print.shares();
        let corners = if corners.is_empty() { None } else { Some(four(corners)?) };
        let shot = ProofShot { corners, greys: known_greys(greys) };
        let (reading, seen) = read(photograph(rgba, width)?, &print, &shot).map_err(words)?;
        self.proof = Some(seen);
        give(&ProofFound { seen: ProofSeen::of(&reading), shares, reading })
    }

    /// The photograph of the proof that was read last, squared up onto the plate, its light evened: grey bytes of a place of the
    /// print, row by row.
    #[wasm_bindgen(unchecked_return_type = "Uint8Array<ArrayBuffer>")]
    pub fn squared_up(
        &self,
        #[wasm_bindgen(unchecked_param_type = "T.SquaredUpPlace")] place: JsValue,
    ) -> Result<Vec<u8>, String> {
        let seen = self
            .proof
            .as_ref()
            .ok_or("Choose the photograph anew: what was read of it is gone.")?;
        Ok(seen.window(&take::<Raster>(place)?))
    }

    /// Calculates beforehand what [`Self::calibrate`] takes longest over, while the readings are typed.
    pub fn ready_to_calibrate(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
        bite_min: &[f64],
        shares: &[f64],
    ) -> Result<(), String> {
        self.tables_of(sound_plan(&plan)?, bite_min, shares).map(|_| ())
    }

    /// The constants that a step plate or a proof tells: what was read as L*, the fit, and what may be amiss.
    #[wasm_bindgen(unchecked_return_type = "T.Calibrated")]
    pub fn calibrate(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
        #[wasm_bindgen(unchecked_param_type = "T.ProofRead")] read: JsValue,
    ) -> Answer {
        let plan = sound_plan(&plan)?;
        let ProofRead { bite_min, shares, kind, readings, camera, allowed } = take(read)?;
        let read_l = in_any_order(kind, &readings, plan.paper.reflectance).map_err(words)?;
        let reading = Reading { read_l, camera, allowed };
        let tables = self.tables_of(plan.clone(), &bite_min, &shares)?;
        give(&tables.calibrate(&plan, &reading))
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
    fn tables_of(
        &mut self,
        plan: Plan,
        bite_min: &[f64],
        shares: &[f64],
    ) -> Result<&Tables, String> {
        // Whatever a calibration says of bath and ink, the tables do not lean on it.
        let asked = (unfitted(&plan), bite_min.to_vec(), shares.to_vec());
        let known = match self.tables.take() {
            Some(known) if known.0 == asked => known,
            _ => {
                let tables = Tables::new(&asked.0, bite_min, shares).map_err(words)?;
                (asked, tables)
            }
        };
        Ok(&self.tables.insert(known).1)
    }
}

/// Greys from their numbers: x and y in pixels, and L* or density.
fn known_greys(numbers: &[f64]) -> Vec<KnownGrey> {
    let (greys, _) = numbers.as_chunks::<3>();
    let grey = |&[x, y, l]: &[f64; 3]| KnownGrey { at: (x, y), reflectance: grey_reflectance(l) };
    greys.iter().map(grey).collect()
}

/// A picture of so many columns, 8-bit sRGB with alpha.
fn photograph(rgba: &[u8], width: usize) -> Result<Photo, String> {
    let height = rgba.len() / 4 / width.max(1);
    Photo::from_rgba(rgba, width, height).map_err(|wrong| wrong.to_string())
}

/// Corners from their numbers.
fn four(corners: &[f64]) -> Result<[(f64, f64); 4], String> {
    let corners: [f64; 8] = corners.try_into().map_err(|_| "There must be four corners.")?;
    Ok([0, 2, 4, 6].map(|i| (corners[i], corners[i + 1])))
}
