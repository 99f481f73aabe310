//! What a camera does to the tones of a print, and how much of it is known.
//!
//! Seen against the paper, which is 1 in both, a place that throws back the share s looks like f·((1 − h)·s + h)^γ: light that strays
//! into the darks (haze h), a tone curve that is not the standard's (γ), and paper burnt out to white (f, only where it is).
//!
//! What the picture itself does not tell stays open. It goes into the fit as unknowns with the priors below, and so widens
//! the limits.

use crate::calibration::solve::Sought;
use nalgebra::{DMatrix, DVector, Matrix2, Vector2};
use plate::light;
use serde::{Deserialize, Serialize};

/// Tone curves of cameras whose makers brighten or deepen the middle: 0.85 to 1.2 hold 95 of 100 (common practice, no source).
const GAMMA: (f64, f64) = (0.85, 1.2);
/// Haze of a clean lens, and of one that looks into a lamp: 0 to 2 % of the paper's light hold 95 of 100 (common practice,
/// no source).
const HAZE: f64 = 0.02;
/// Burnt-out paper lay above white by less than this in 95 of 100, as ln of light: a third of a stop (common practice, no source).
const BURNT_LN: f64 = 0.25;
/// A patch of a grey scale is read and known to this, L* (standard deviation; common practice, no source).
const PATCH_L: f64 = 0.8;
/// Mean and deviation of one side of a normal distribution of deviation 1.
const HALF_NORMAL: (f64, f64) = (0.797_885, 0.602_810);
/// Farther than so many deviations nothing is sought.
const FARTHEST: f64 = 4.0;
/// The least light that counts as seen.
const LEAST: f64 = 1e-5;

/// What in the picture tells of the camera.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum Yardstick {
    /// Nothing but the paper.
    Paper,
    /// The paper and one known black.
    Black,
    /// The paper and two or more greys.
    Scale,
}

/// A camera: what has been taken off the readings, and how far that may be off.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ts_rs::TS)]
pub struct Camera {
    /// By what it is known.
    pub by: Yardstick,
    /// ln of the exponent γ, as taken off.
    pub ln_gamma: f64,
    /// Haze as taken off, share of the paper's light.
    pub haze: f64,
    /// Were two numbers normal with deviation 1, ln γ would be off by the first times `factor[0]`, and the haze by the first
    /// times `factor[1]` and the second times `factor[2]`.
    pub factor: [f64; 3],
    /// Whether the paper is burnt out.
    pub burnt: bool,
}

/// A grey in the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grey {
    /// Its share of the paper's light.
    pub is: f64,
    /// The share it looks like.
    pub seen: f64,
}

fn gamma_ln() -> f64 {
    0.25 * libm::log(GAMMA.1 / GAMMA.0)
}

fn seen(share: f64, ln_gamma: f64, haze: f64) -> f64 {
    libm::pow(((1.0 - haze) * share + haze).max(LEAST), libm::exp(ln_gamma))
}

fn true_share(seen: f64, ln_gamma: f64, haze: f64) -> f64 {
    (libm::pow(seen.max(LEAST), libm::exp(-ln_gamma)) - haze) / (1.0 - haze)
}

impl Camera {
    /// Of a picture in which nothing but the paper is known.
    #[must_use]
    pub fn unknown(burnt: bool) -> Self {
        let factor = [gamma_ln(), 0.0, 0.5 * HAZE];
        Self { by: Yardstick::Paper, ln_gamma: 0.0, haze: 0.0, factor, burnt }
    }

    /// From the greys in the picture: none leaves it unknown, one tells the haze, two and more the curve as well.
    #[must_use]
    pub fn by_greys(greys: &[Grey], burnt: bool, paper_reflectance: f64) -> Self {
        match greys {
            [] => Self::unknown(burnt),
            [black] => Self::by_black(*black, burnt, paper_reflectance),
            _ => Self::by_scale(greys, burnt, paper_reflectance),
        }
    }

    /// The haze that makes the black look as it does; whatever the curve, it goes on doing so.
    fn by_black(black: Grey, burnt: bool, paper: f64) -> Self {
        let haze = |ln_gamma: f64| {
            let light = libm::pow(black.seen.max(LEAST), libm::exp(-ln_gamma));
            (light - black.is) / (1.0 - black.is)
        };
        let step = 0.01;
        let slope = (haze(step) - haze(-step)) / (2.0 * step);
        let own = PATCH_L / lightness_slope(black.is, paper);
        let factor = [gamma_ln(), slope * gamma_ln(), own];
        Self { by: Yardstick::Black, ln_gamma: 0.0, haze: haze(0.0), factor, burnt }
    }

    /// Least squares of what the greys look like, with the usual camera as prior.
    fn by_scale(greys: &[Grey], burnt: bool, paper: f64) -> Self {
        // Haze has little to hold it here: its prior is wide.
        let usual = Vector2::new(gamma_ln(), HAZE);
        let look = |at: Vector2<f64>, grey: &Grey| {
            light::lightness(paper * seen(grey.is, at[0] * usual[0], at[1] * usual[1]))
        };
        let (rows, step) = (greys.len(), 1e-3);
        let mut at = Vector2::new(0.0, 0.0);
        let mut known = Matrix2::identity();
        for _ in 0..12 {
            let mut slopes = DMatrix::zeros(rows, 2);
            let mut misses = DVector::zeros(rows);
            for (row, grey) in greys.iter().enumerate() {
                misses[row] = (light::lightness(paper * grey.seen) - look(at, grey)) / PATCH_L;
                for column in 0..2 {
                    let (mut more, mut less) = (at, at);
                    more[column] += step;
                    less[column] -= step;
                    slopes[(row, column)] =
                        (look(more, grey) - look(less, grey)) / (2.0 * step * PATCH_L);
                }
            }
            let data = slopes.transpose() * &slopes;
            known = Matrix2::identity()
                + Matrix2::new(data[(0, 0)], data[(0, 1)], data[(1, 0)], data[(1, 1)]);
            let pull = slopes.transpose() * misses;
            let pull = Vector2::new(pull[0], pull[1]) - at;
            let Some(by) = known.try_inverse().map(|inverse| inverse * pull) else { break };
            at += by;
        }
        let covariance = known.try_inverse().unwrap_or_else(Matrix2::identity);
        let low = covariance.cholesky().map_or_else(Matrix2::identity, |root| root.l());
        let factor = [usual[0] * low[(0, 0)], usual[1] * low[(1, 0)], usual[1] * low[(1, 1)]];
        Self {
            by: Yardstick::Scale,
            ln_gamma: at[0] * usual[0],
            haze: at[1] * usual[1],
            factor,
            burnt,
        }
    }

    /// The reading of a place that looks like this share of the paper's light: the share it is.
    pub(crate) fn taken_off(&self, seen: f64) -> f64 {
        true_share(seen, self.ln_gamma, self.haze)
    }

    /// The same where the usual haze has been taken off, and may have been more or less. The likeliest haze of a picture is none, but many
    /// pictures have some: whoever adds them up must not take each for the likeliest.
    pub(crate) fn of_usual_haze(self) -> Self {
        if self.by != Yardstick::Paper {
            return self;
        }
        let [curve, _, haze] = self.factor;
        let (mean, deviation) = HALF_NORMAL;
        let factor = [curve, 0.0, deviation * haze];
        Self { by: Yardstick::Scale, haze: self.haze + mean * haze, factor, ..self }
    }

    /// What another camera's reading, L*, is as this one's, which takes off something else.
    #[must_use]
    pub fn reread(&self, read_l: f64, of: &Self, paper: f64) -> f64 {
        let share = light::reflectance_of_lightness(read_l) / paper;
        let looks = seen(share, of.ln_gamma, of.haze);
        light::lightness((paper * self.taken_off(looks)).max(0.0))
    }

    /// What of it is open, as it is sought: curve, haze and, where the paper is burnt out, by how much.
    pub(crate) fn sought(&self) -> Vec<Sought> {
        let least = if self.by == Yardstick::Paper { 0.0 } else { -FARTHEST };
        let mut all = vec![
            Sought::even("curve", 0.0, 1.0, (-FARTHEST, FARTHEST)),
            Sought::even("haze", 0.0, 1.0, (least, FARTHEST)),
        ];
        if self.burnt {
            all.push(Sought::even("burnt", 0.0, 1.0, (0.0, FARTHEST)));
        }
        all
    }

    /// γ and haze, and ln of what burnt-out paper adds, with these unknowns.
    fn with(&self, unknown: &[f64]) -> (f64, f64, f64) {
        let at = |i: usize| unknown.get(i).copied().unwrap_or(0.0);
        let second = if self.by == Yardstick::Paper { at(1).max(0.0) } else { at(1) };
        (
            self.ln_gamma + self.factor[0] * at(0),
            self.haze + self.factor[1] * at(0) + self.factor[2] * second,
            0.5 * BURNT_LN * at(2).max(0.0),
        )
    }

    /// L* read of a print's L*, what is taken off taken off, with these unknowns.
    pub(crate) fn reads(&self, printed_l: f64, paper: f64, unknown: &[f64]) -> f64 {
        let (ln_gamma, haze, burnt) = self.with(unknown);
        let share = light::reflectance_of_lightness(printed_l) / paper;
        let seen = seen(share, ln_gamma, haze) * libm::exp(burnt);
        light::lightness((paper * self.taken_off(seen)).max(0.0))
    }

    /// The other way: the print's L* of a reading.
    pub(crate) fn printed(&self, read_l: f64, paper: f64, unknown: &[f64]) -> f64 {
        let (ln_gamma, haze, burnt) = self.with(unknown);
        let share = light::reflectance_of_lightness(read_l) / paper;
        let looks = seen(share, self.ln_gamma, self.haze) * libm::exp(-burnt);
        light::lightness((paper * true_share(looks, ln_gamma, haze)).max(0.0))
    }

    /// By how much what stays open of it moves a reading, L* (standard deviation).
    pub(crate) fn doubt_l(&self, read_l: f64, paper: f64) -> f64 {
        let squares = (0..self.sought().len()).map(|open| {
            let mut unknown = [0.0; 3];
            unknown[open] = 1.0;
            let off = self.printed(read_l, paper, &unknown) - read_l;
            off * off
        });
        libm::sqrt(squares.sum())
    }

    /// γ and haze with these unknowns, for words.
    pub(crate) fn found(&self, unknown: &[f64]) -> (f64, f64) {
        let (ln_gamma, haze, _) = self.with(unknown);
        (libm::exp(ln_gamma), haze)
    }
}

/// L* to a share of the paper's light, at a share.
fn lightness_slope(share: f64, paper: f64) -> f64 {
    let step = 1e-3;
    (light::lightness(paper * (share + step)) - light::lightness(paper * share)) / step
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAPER: f64 = 0.85;

    fn grey(is: f64, gamma: f64, haze: f64) -> Grey {
        Grey { is, seen: seen(is, libm::log(gamma), haze) }
    }

    #[test]
    fn a_scale_of_greys_tells_curve_and_haze() {
        for (gamma, haze) in [(0.85, 0.0), (1.0, 0.02), (1.2, 0.01), (1.1, 0.0)] {
            let greys = [0.7, 0.45, 0.25, 0.12, 0.05].map(|is| grey(is, gamma, haze));
            let camera = Camera::by_greys(&greys, false, PAPER);
            assert_eq!(camera.by, Yardstick::Scale);
            // Shares between the greys are read as they are: the prior pulls by little.
            for is in [0.6, 0.35, 0.18, 0.08, 0.04] {
                let read = camera.taken_off(grey(is, gamma, haze).seen);
                let off = light::lightness(PAPER * read) - light::lightness(PAPER * is);
                assert!(off.abs() < 0.5, "γ {gamma}, haze {haze}: {is} is read {off} L* off");
            }
            let (usual, known) = (Camera::unknown(false).factor, camera.factor);
            assert!(known[0] < 0.35 * usual[0], "the curve is told: {known:?}, before {usual:?}");
        }
    }

    #[test]
    fn one_black_tells_the_haze_whatever_the_curve() {
        let black = grey(0.03, 1.0, 0.03);
        let camera = Camera::by_greys(&[black], false, PAPER);
        assert!((camera.haze - 0.03).abs() < 1e-12 && camera.ln_gamma == 0.0, "{camera:?}");
        // However the curve is bent, the black stays black.
        let l = light::lightness(PAPER * black.is);
        for unknown in [-1.0, 1.0] {
            let read = camera.reads(l, PAPER, &[unknown, 0.0]);
            assert!((read - l).abs() < 1.0, "{unknown}: {read}, not {l}");
            let middle = camera.reads(50.0, PAPER, &[unknown, 0.0]);
            assert!((middle - 50.0).abs() > 1.5, "while the middle moves: {middle}");
        }
    }

    #[test]
    fn the_usual_haze_is_taken_off_a_reading_of_a_camera_that_nobody_knows() {
        let unknown = Camera::unknown(false);
        let usual = unknown.of_usual_haze();
        assert!((usual.haze - 0.008).abs() < 1e-4, "{usual:?}");
        let read = light::lightness(PAPER * seen(0.03, 0.0, usual.haze));
        let back = usual.reread(read, &unknown, PAPER);
        assert!((back - light::lightness(PAPER * 0.03)).abs() < 1e-9, "{read} → {back}");
        let scale = Camera { by: Yardstick::Scale, ..unknown };
        assert_eq!(scale.of_usual_haze(), scale, "one that is known stays");
    }

    #[test]
    fn readings_lead_to_the_print_and_back() {
        let burnt = Camera::unknown(true);
        let scale = Camera::by_greys(&[grey(0.5, 1.1, 0.01), grey(0.04, 1.1, 0.01)], false, PAPER);
        for camera in [burnt, scale] {
            for unknown in [[0.0; 3], [1.0, 0.5, 0.8], [-1.2, 1.5, 0.0]] {
                for l in [15.0, 40.0, 75.0] {
                    let back = camera.printed(camera.reads(l, PAPER, &unknown), PAPER, &unknown);
                    assert!((back - l).abs() < 1e-6, "{l} → {back} with {unknown:?}, {camera:?}");
                }
            }
            assert!((camera.reads(33.0, PAPER, &[]) - 33.0).abs() < 1e-9, "with nothing open");
        }
    }
}
