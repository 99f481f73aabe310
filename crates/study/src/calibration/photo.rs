//! Readings from a picture of the print: squared up, evened, brought to reflectance, patch by patch.
//!
//! 1. The four corners of the plate in the picture give the projection of the plate into it.
//! 2. The paper round the plate tells how the light falls: ln of its brightness as a parabola of place,
//!    from small cells all round, those that do not go with the others left out.
//! 3. Brightness against the paper's is reflectance; what known greys tell of the camera is taken off, and what they leave open is
//!    handed on ([`Camera`]).
//! 4. Each patch is read in small cells. Within a cell light is averaged as light, grains and all; the
//!    patch is the mean of the cells that lie near their median, so that specks do not count.

mod homography;
mod paper;

pub use homography::Homography;
use plan::{Diagnostic, Unit, quantity, sentence};

use crate::calibration::camera::{Camera, Grey};
use crate::calibration::design::{Layout, Patch};
use paper::Paper;
use plate::light;
use serde::Serialize;

/// Luminance of linear sRGB light (IEC 61966-2-1:1999).
const RED: f32 = 0.2126;
const GREEN: f32 = 0.7152;
const BLUE: f32 = 0.0722;

/// Side of the cells that a patch is read in, mm: many grains wide.
const CELL_MM: f64 = 1.5;
/// The outer part of a patch is not read: varnish creeps, ink gathers, mm.
const INSET_MM: f64 = 1.5;
/// Cells farther than this many deviations from the median are specks.
const SPECK: f64 = 3.0;
/// A median absolute deviation of a normal distribution is this part of its deviation.
const MAD: f64 = 0.6745;
/// Fewest pixels across the plate, and down it.
const FEWEST_PX: f64 = 240.0;
/// Radius of the spot read at a known grey, mm.
const GREY_MM: f64 = 1.5;
/// Greys that differ by less, as shares of the paper's light, may look the other way round.
const CROSSED: f64 = 0.01;
/// A known black brighter than this share of the paper is none.
const BLACKEST: f64 = 0.5;

/// A picture in linear light, 0–1.
#[derive(Clone, Debug, PartialEq)]
pub struct Photo {
    width: usize,
    height: usize,
    linear: Vec<f32>,
}

/// A place of the picture with a known reflectance: a step read otherwise, a black card, a patch of a grey scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnownGrey {
    /// Place in the picture, pixels.
    pub at: (f64, f64),
    /// Its reflectance, 0–1.
    pub reflectance: f64,
}

/// How the print lies in the picture, and what is known of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Shot {
    /// The plate mark's corners in the picture, pixels: top left of the print as the guide shows it,
    /// then clockwise.
    pub corners: [(f64, f64); 4],
    /// Reflectance of the paper, 0–1.
    pub paper_reflectance: f64,
    /// Known greys: one must be dark and tells the haze, two and more tell the tone curve as well.
    pub greys: Vec<KnownGrey>,
}

/// One patch as it was read.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct PatchReading {
    /// CIE L*.
    pub lightness: f64,
    /// Standard deviation of its cells, L*.
    pub spread_l: f64,
    /// Cells used.
    pub cells: usize,
    /// Cells left out as specks.
    pub specks: usize,
}

/// What a picture of the print tells.
#[derive(Clone, Debug, PartialEq, Serialize, ts_rs::TS)]
pub struct PhotoReading {
    /// Every patch, palest first.
    pub patches: Vec<PatchReading>,
    /// How unevenly the light fell on the plate: its darkest place is so much darker than its
    /// brightest, 0–1. It has been evened.
    pub uneven: f64,
    /// What the camera was found to do, and what of it stays open.
    pub camera: Camera,
    /// Whether the steps run from dark to light, as they do in a picture that lies upside down.
    pub turned: bool,
    /// What deserves a look, in sentences.
    pub warnings: Vec<String>,
}

impl Photo {
    /// From 8-bit sRGB with alpha, which is not looked at.
    ///
    /// # Errors
    /// A sentence when the size and the pixels do not agree or there is nothing.
    pub fn from_rgba(rgba: &[u8], width: usize, height: usize) -> Result<Self, Diagnostic> {
        if width == 0
            || height == 0
            || width.checked_mul(height).and_then(|n| n.checked_mul(4)) != Some(rgba.len())
        {
            return Err(wrong(
                "photo.broken",
                "This picture is empty or broken.",
                "Save it anew as PNG or JPEG.",
            ));
        }
        let of_code: Vec<f32> =
            (0..256).map(|code| light::linear_of_srgb(f64::from(code) / 255.0) as f32).collect();
        let linear = rgba
            .chunks_exact(4)
            .map(|p| {
                let [r, g, b] = [p[0], p[1], p[2]].map(|code| of_code[usize::from(code)]);
                RED * r + GREEN * g + BLUE * b
            })
            .collect();
        Ok(Self { width, height, linear })
    }

    /// Width and height, pixels.
    #[must_use]
    pub fn size(&self) -> (usize, usize) {
        (self.width, self.height)
    }

    fn holds(&self, (x, y): (f64, f64)) -> bool {
        x >= 0.0 && y >= 0.0 && x <= self.width as f64 && y <= self.height as f64
    }

    /// Light at a place, between the four nearest pixels' middles.
    fn at(&self, (x, y): (f64, f64)) -> f64 {
        let fx = (x - 0.5).clamp(0.0, (self.width - 1) as f64);
        let fy = (y - 0.5).clamp(0.0, (self.height - 1) as f64);
        let (left, top) = (fx as usize, fy as usize);
        let (right, under) = ((left + 1).min(self.width - 1), (top + 1).min(self.height - 1));
        let (u, v) = (fx - left as f64, fy - top as f64);
        let pixel = |x: usize, y: usize| f64::from(self.linear[y * self.width + x]);
        let above = pixel(left, top) * (1.0 - u) + pixel(right, top) * u;
        let below = pixel(left, under) * (1.0 - u) + pixel(right, under) * u;
        above * (1.0 - v) + below * v
    }

    /// Mean light over a rectangle of the plate, mm, by samples about a pixel apart.
    fn mean(&self, map: &Homography, (left, top): (f64, f64), (width, height): (f64, f64)) -> f64 {
        let px_per_mm = map.px_per_mm(left + 0.5 * width, top + 0.5 * height);
        let count = |mm: f64| libm::ceil(mm * px_per_mm).clamp(3.0, 40.0) as usize;
        let (across, down) = (count(width), count(height));
        let mut sum = 0.0;
        for j in 0..down {
            for i in 0..across {
                let x = left + width * (i as f64 + 0.5) / across as f64;
                let y = top + height * (j as f64 + 0.5) / down as f64;
                sum += self.at(map.to_picture(x, y));
            }
        }
        sum / (across * down) as f64
    }
}

/// Reads all patches of a step plate off a picture of its print.
///
/// # Errors
/// What is wrong with the corners, the light or the black, and what to do.
pub fn read_photo(
    photo: &Photo,
    layout: &Layout,
    shot: &Shot,
) -> Result<PhotoReading, Vec<Diagnostic>> {
    let one = |wrong: Diagnostic| vec![wrong];
    corners_sound(photo, &shot.corners)?;
    let map =
        Homography::new(layout.width_mm, layout.height_mm, &shot.corners).ok_or_else(|| {
            one(wrong(
                "photo.corners",
                "The four corners do not make a plate.",
                "Put them on its corners, in order.",
            ))
        })?;
    let paper = Paper::find(photo, &map, layout).map_err(one)?;
    let mut warnings = paper.warnings();
    let mut greys = Vec::with_capacity(shot.greys.len());
    for grey in &shot.greys {
        let looks = looks(photo, &map, &paper, layout, grey).map_err(one)?;
        greys.push(Grey { is: grey.reflectance / shot.paper_reflectance, seen: looks });
    }
    greys_sound(&greys).map_err(one)?;
    let camera = Camera::by_greys(&greys, paper.burnt, shot.paper_reflectance);
    if greys.is_empty() {
        warnings.push("Nothing dark in the picture is known: haze, which lightens its darks, could not be taken off. The limits allow for up to 2 % of it.".to_owned());
    }
    let patches: Vec<PatchReading> = layout
        .patches
        .iter()
        .map(|patch| read_patch(photo, &map, &paper, patch, &camera, shot.paper_reflectance))
        .collect();
    for (i, patch) in patches.iter().enumerate() {
        if patch.specks * 5 > patch.cells + patch.specks {
            warnings.push(format!("Step {} is uneven or dirty: {} of its {} cells were left out. Do the corners sit on the plate’s corners?", i + 1, patch.specks, patch.cells + patch.specks));
        }
    }
    let l: Vec<f64> = patches.iter().map(|patch| patch.lightness).collect();
    let turned = super::readings::turned(&l);
    if turned {
        warnings.push("The picture lies upside down: its steps run from dark to light. Put mark 1 at the palest step’s end.".to_owned());
    }
    Ok(PhotoReading { patches, uneven: paper.uneven(layout), camera, turned, warnings })
}

/// Where the patches of a step plate lie in a picture of its print with these corners: four places each, pixels, top left of the
/// patch first, then clockwise. Nothing where the corners make no plate.
#[must_use]
pub fn patches_in_picture(layout: &Layout, corners: &[(f64, f64); 4]) -> Vec<[(f64, f64); 4]> {
    let Some(map) = Homography::new(layout.width_mm, layout.height_mm, corners) else {
        return Vec::new();
    };
    let outline = |patch: &Patch| {
        let (left, top) = (patch.left_mm + INSET_MM, patch.top_mm + INSET_MM);
        let right = patch.left_mm + patch.width_mm - INSET_MM;
        let bottom = patch.top_mm + patch.height_mm - INSET_MM;
        [(left, top), (right, top), (right, bottom), (left, bottom)]
            .map(|(x, y)| map.to_picture(x, y))
    };
    layout.patches.iter().map(outline).collect()
}

/// How a known grey looks, as a share of the paper's light.
fn looks(
    photo: &Photo,
    map: &Homography,
    paper: &Paper,
    layout: &Layout,
    grey: &KnownGrey,
) -> Result<f64, Diagnostic> {
    let place = map.to_plate(grey.at.0, grey.at.1);
    let (true, Some((x, y))) = (photo.holds(grey.at), place) else {
        return Err(wrong(
            "photo.grey",
            "A known grey lies outside the picture.",
            "Put its mark on it.",
        ));
    };
    let inside = |patch: &&Patch| {
        (patch.left_mm..=patch.left_mm + patch.width_mm).contains(&x)
            && (patch.top_mm..=patch.top_mm + patch.height_mm).contains(&y)
    };
    Ok(match layout.patches.iter().find(inside) {
        // One of the steps: the whole of it, specks left out.
        Some(patch) => patch_share(photo, map, paper, patch).0,
        None => {
            let side = 2.0 * GREY_MM;
            photo.mean(map, (x - GREY_MM, y - GREY_MM), (side, side)) / paper.light(x, y)
        }
    })
}

/// Whether the known greys can serve: one alone must be dark, and several must look as their L* has them.
fn greys_sound(greys: &[Grey]) -> Result<(), Diagnostic> {
    if greys.iter().any(|grey| !(grey.is >= 0.0 && grey.is <= 1.0)) {
        return Err(wrong(
            "photo.grey",
            "A known grey is said to be lighter than the paper.",
            "Look at its L* again, or at the paper’s reflectance in the plan.",
        ));
    }
    if let [black] = greys {
        if black.is >= BLACKEST {
            return Err(wrong(
                "photo.black",
                "One known grey alone must be much darker than the paper; this one is not.",
                "Mark a black, or a second grey.",
            ));
        }
        if black.seen > BLACKEST {
            return Err(wrong(
                "photo.black",
                "The place given for the known black is not dark in the picture.",
                "Put its mark on it.",
            ));
        }
    }
    for (i, one) in greys.iter().enumerate() {
        for other in &greys[..i] {
            if (one.is - other.is) * (one.seen - other.seen) < 0.0
                && (one.is - other.is).abs() > CROSSED
            {
                return Err(wrong(
                    "photo.grey",
                    "Two known greys look the other way round in the picture: the one that should be lighter is darker.",
                    "Is each mark on its own patch?",
                ));
            }
        }
    }
    Ok(())
}

/// Mean of a patch's cells as a share of the paper's light, the cells kept, and how many are specks.
fn patch_share(
    photo: &Photo,
    map: &Homography,
    paper: &Paper,
    patch: &Patch,
) -> (f64, Vec<f64>, usize) {
    let (width, height) = (patch.width_mm - 2.0 * INSET_MM, patch.height_mm - 2.0 * INSET_MM);
    let (across, down) = ((width / CELL_MM) as usize, (height / CELL_MM) as usize);
    let size = (width / across as f64, height / down as f64);
    let mut cells = Vec::with_capacity(across * down);
    for j in 0..down {
        for i in 0..across {
            let left = patch.left_mm + INSET_MM + size.0 * i as f64;
            let top = patch.top_mm + INSET_MM + size.1 * j as f64;
            let light = paper.light(left + 0.5 * size.0, top + 0.5 * size.1);
            cells.push(photo.mean(map, (left, top), size) / light);
        }
    }
    let median = median_of(&cells);
    let distance: Vec<f64> = cells.iter().map(|share| (share - median).abs()).collect();
    let deviation = median_of(&distance) / MAD;
    let near = |share: &f64| (share - median).abs() <= SPECK * deviation + 1e-4;
    let kept: Vec<f64> = cells.iter().copied().filter(near).collect();
    let mean = kept.iter().sum::<f64>() / kept.len() as f64;
    let specks = cells.len() - kept.len();
    (mean, kept, specks)
}

fn read_patch(
    photo: &Photo,
    map: &Homography,
    paper: &Paper,
    patch: &Patch,
    camera: &Camera,
    paper_reflectance: f64,
) -> PatchReading {
    let (mean, kept, specks) = patch_share(photo, map, paper, patch);
    let lightness =
        |share: f64| light::lightness((camera.taken_off(share) * paper_reflectance).max(0.0));
    let l = lightness(mean);
    let squares: f64 = kept
        .iter()
        .map(|&share| {
            let off = lightness(share) - l;
            off * off
        })
        .sum();
    PatchReading {
        lightness: l,
        spread_l: libm::sqrt(squares / (kept.len() as f64 - 1.0).max(1.0)),
        cells: kept.len(),
        specks,
    }
}

/// Middle of an unsorted list; 0 of none.
fn median_of(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    let half = sorted.len() / 2;
    match sorted.len() {
        0 => 0.0,
        n if n % 2 == 1 => sorted[half],
        _ => 0.5 * (sorted[half - 1] + sorted[half]),
    }
}

/// Something wrong with the photograph, and what to do.
fn wrong(code: &'static str, message: &'static str, hint: &'static str) -> Diagnostic {
    Diagnostic::error("photo", code, message).hint(hint)
}

/// Whether four corners can be a plate's.
fn corners_sound(photo: &Photo, corners: &[(f64, f64); 4]) -> Result<(), Vec<Diagnostic>> {
    let one = |message: &'static str, hint: &'static str| {
        Err(vec![wrong("photo.corners", message, hint)])
    };
    if corners.iter().any(|&corner| !photo.holds(corner)) {
        return one("A corner lies outside the picture.", "Put all four on the plate’s corners.");
    }
    let turn = |i: usize| {
        let [(ax, ay), (bx, by), (cx, cy)] =
            [corners[i], corners[(i + 1) % 4], corners[(i + 2) % 4]];
        (bx - ax) * (cy - by) - (by - ay) * (cx - bx)
    };
    let turns = [turn(0), turn(1), turn(2), turn(3)];
    if turns.iter().all(|turn| *turn < 0.0) {
        return one(
            "The corners run the wrong way round.",
            "Begin at the top left of the print and go clockwise. If the picture shows the plate and not the print, mirror it first.",
        );
    }
    if !turns.iter().all(|turn| *turn > 0.0) {
        return one(
            "The corners cross, or one lies between the others.",
            "Put each on its own corner of the plate: top left, top right, bottom right, bottom left.",
        );
    }
    let length = |i: usize| {
        let ((ax, ay), (bx, by)) = (corners[i], corners[(i + 1) % 4]);
        libm::hypot(bx - ax, by - ay)
    };
    if length(0).max(length(2)) < FEWEST_PX {
        let message = sentence!(
            "The plate is only {} pixels wide in this picture; {} are needed at least.",
            quantity(length(0).max(length(2)), Unit::Count, 0),
            FEWEST_PX
        );
        return Err(vec![
            Diagnostic::error("photo", "photo.small", message)
                .hint("Go nearer, or scan more finely."),
        ]);
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::{Homography, Photo};

    /// Closed form: light that changes evenly has its mean over a rectangle in the rectangle's middle.
    #[test]
    fn the_mean_over_a_rectangle_is_the_light_in_its_middle() {
        let (width, height) = (80, 60);
        let light = |x: f64, y: f64| 0.1 + 0.008 * x + 0.004 * y;
        let middles = (0..width * height)
            .map(|i| light((i % width) as f64 + 0.5, (i / width) as f64 + 0.5) as f32);
        let photo = Photo { width, height, linear: middles.collect() };
        // A plate of 12 by 9 mm, turned, 4 and 5 pixels a mm.
        let corner = |x: f64, y: f64| (30.0 + 3.2 * x - 3.0 * y, 5.0 + 2.4 * x + 4.0 * y);
        let corners = [corner(0.0, 0.0), corner(12.0, 0.0), corner(12.0, 9.0), corner(0.0, 9.0)];
        let map = Homography::new(12.0, 9.0, &corners).expect("a plate");
        for (left, top, wide, high) in
            [(0.5, 0.5, 1.5, 1.5), (7.0, 3.0, 4.0, 2.0), (2.0, 4.0, 0.3, 4.5), (4.0, 1.0, 5.0, 0.2)]
        {
            let (x, y) = corner(left + 0.5 * wide, top + 0.5 * high);
            let (found, expected) = (photo.mean(&map, (left, top), (wide, high)), light(x, y));
            assert!((found - expected).abs() < 1e-6, "{found}, not {expected}, at {left}, {top}");
        }
        // Beyond the outermost pixels' middles it is theirs.
        let ends = [(0.0, 0.0), (1e3, 0.0), (0.0, 1e3), (1e3, 1e3)];
        for ((x, y), (right, bottom)) in ends.into_iter().zip([(0, 0), (1, 0), (0, 1), (1, 1)]) {
            let (column, row) = (right * (width - 1), bottom * (height - 1));
            assert_eq!(photo.at((x, y)), f64::from(photo.linear[row * width + column]), "{x}, {y}");
        }
    }
}
