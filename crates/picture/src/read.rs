//! Reading a picture: from the decoder's pixels to the tones that lie on the plate.
//!
//! The page and the native program decode in different ways; everything after that happens here, so
//! the same pixels give the same bits in both.
//!
//! # What is done, in this order
//! 1. **Alpha over white paper, in linear light.** Alpha is the share of a pixel that is covered; the
//!    rest is bare paper, and light from both adds up. So an edge reads the same whether its drawing
//!    program left it half clear or it is made of finer pixels. Mixed as sRGB codes, half-clear black
//!    would be L* 53 instead of 76.
//! 2. **The crop.** Only the pixels that the crop touches are looked at, with as many round them as the
//!    value map interpolates with.
//! 3. **Area means in linear light.** Where that is more than [`MOST_SIDE`] pixels along the longer side,
//!    every pixel of the map becomes the mean light of all that lies under it, parts of pixels by their
//!    part. Hatching then has the tone that it has from afar.
//! 4. **Lightness**, a byte a pixel ([`ToneMap`]).
//!
//! # Why whole numbers
//! Luminance is a whole number of 24 bits, a pixel's share in a pixel of the map is a whole number of
//! parts, and their sums fit in 64 bits. So no sum is ever rounded: order and bands do not matter, and
//! rows can come in whatever portions the page's memory has room for.

mod means;

use crate::tone::{Luminances, MAX_PIXELS, PictureError, ToneMap};
use means::{AreaMeans, Shown};
use plan::Crop;

/// Most pixels along the longer side of what lies on the plate, in the page and natively. On a plate
/// of 150 mm one is then 0.06 mm wide, finer than a bitten border or a brush can follow; and each of
/// the page's workers holds at most 6 MB of them. Smaller pictures keep their own pixels.
pub const MOST_SIDE: usize = 2400;

/// Most pixels along a side, and in all, that can be summed without a bit lost.
const LONGEST: usize = 1 << 20;
const LARGEST: usize = 1 << 31;

/// Most times one side is longer than the other: no plate is.
const LONGEST_SHAPE: usize = 30;
/// Fewest pixels of a side that show where a value begins.
const FEWEST_SIDE: usize = 16;
/// Ends every refusal of a picture that was to be taken in hand.
const KEPT: &str = "your plan and picture are as they were.";

/// Why a picture of this size can't be laid on a plate, in a sentence; nothing if it can.
#[must_use]
pub fn unfit(name: &str, width: usize, height: usize) -> Option<String> {
    let (short, long) = (width.min(height), width.max(height));
    let what = format!("“{name}” is {width} × {height} pixels");
    if long > LONGEST_SHAPE * short {
        let times = (2 * long + short) / (2 * short).max(1);
        return Some(format!(
            "{what}: one side is {times} times the other, on a plate {LONGEST_SHAPE} times at most. Cut out the part that you want to print and choose that; {KEPT}"
        ));
    }
    (short < FEWEST_SIDE).then(|| {
        format!(
            "{what}, too few to show where a value begins. Choose one with at least {FEWEST_SIDE} on each side; {KEPT}"
        )
    })
}

/// Bytes of a pixel as browsers unpack it: red, green, blue, alpha.
const UNPACKED_BYTES: usize = 4;
/// Most bytes that browsers unpack a picture to, just below 2³¹ (seen in Chromium 156: 23,150² is unpacked, 23,165²
/// is not).
const MOST_UNPACKED: f64 = 23_150.0 * 23_150.0 * UNPACKED_BYTES as f64;

/// Why a picture of this size can't be unpacked in so much memory, in a sentence; nothing if it can.
#[must_use]
pub fn too_large(name: &str, width: usize, height: usize, most_bytes: f64) -> Option<String> {
    let bytes = (width * height * UNPACKED_BYTES) as f64;
    let long = width.max(height) as f64;
    // As many as are read without being brought down, in round hundreds.
    let side = libm::sqrt(MAX_PIXELS as f64 / (width * height).max(1) as f64) * long;
    let side = libm::floor(side / 100.0) * 100.0;
    (bytes > most_bytes.min(MOST_UNPACKED)).then(|| {
        format!(
            "“{name}” is {width} × {height} pixels. Unpacked they take {:.1} GB, which is more than this device or its browser can hold. Save it smaller, with {side} pixels on the longer side, and choose that: no value can follow anything finer; {KEPT}",
            bytes / 1e9
        )
    })
}

/// What is said of a picture larger than [`MAX_PIXELS`] that was read with fewer; nothing of others.
#[must_use]
pub fn brought_down(name: &str, width: usize, height: usize) -> Option<String> {
    let Window { columns, rows, .. } = Window::whole(width.max(1), height.max(1));
    let million = 1_000_000;
    let megapixels = (width * height + million / 2) / million;
    (width * height > MAX_PIXELS).then(|| {
        format!(
            "“{name}” has {megapixels} megapixels; it was scaled to {columns} × {rows} pixels, which is finer than any value can follow."
        )
    })
}

/// A decoded picture: sRGB, eight bits a channel, upright.
///
/// Deeper pixels are brought to eight bits by their decoder: a browser hands over no others, and a
/// picture must not read otherwise in the native program.
#[derive(Clone, Copy, Debug)]
pub struct Pixels<'a> {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Red, green, blue, alpha (not premultiplied), row by row from the top left.
    pub rgba: &'a [u8],
}

/// Which pixels of a picture are read for a crop, and onto how many they are brought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Window {
    /// First column of the picture.
    pub left: usize,
    /// First row of the picture.
    pub top: usize,
    /// Columns of the picture.
    pub width: usize,
    /// Rows of the picture.
    pub height: usize,
    /// Columns of the map, at most `width`.
    pub columns: usize,
    /// Rows of the map, at most `height`.
    pub rows: usize,
}

impl Window {
    /// What is read of a picture of `width` × `height` pixels (at least 1 × 1) for a crop.
    ///
    /// The whole picture, wherever it can be had as fine as the crop: a picture of at most
    /// [`MOST_SIDE`] pixels is read once for every crop, and so is one whose crop takes all of its
    /// longer side.
    #[must_use]
    pub fn of(width: usize, height: usize, crop: Crop) -> Self {
        let (left, right) = touched(crop.left, crop.width, width);
        let (top, bottom) = touched(crop.top, crop.height, height);
        let coarseness = (right - left).max(bottom - top).max(MOST_SIDE);
        if coarseness == width.max(height).max(MOST_SIDE) {
            return Self::scaled(0, 0, width, height, coarseness);
        }
        // One pixel of the map more on every side: the value map interpolates with it.
        let margin = coarseness.div_ceil(MOST_SIDE);
        let (left, top) = (left.saturating_sub(margin), top.saturating_sub(margin));
        let (right, bottom) = ((right + margin).min(width), (bottom + margin).min(height));
        Self::scaled(left, top, right - left, bottom - top, coarseness)
    }

    /// What is read of the whole of a picture.
    #[must_use]
    pub fn whole(width: usize, height: usize) -> Self {
        Self::of(width, height, Crop::default())
    }

    /// `coarseness` pixels of the picture become [`MOST_SIDE`] of the map.
    fn scaled(left: usize, top: usize, width: usize, height: usize, coarseness: usize) -> Self {
        let side =
            |pixels: usize| ((2 * pixels * MOST_SIDE + coarseness) / (2 * coarseness)).max(1);
        Self { left, top, width, height, columns: side(width), rows: side(height) }
    }

    /// The same as a part of a picture of `width` × `height` pixels.
    fn part(&self, width: usize, height: usize) -> Crop {
        let (across, down) = (width as f64, height as f64);
        Crop {
            left: self.left as f64 / across,
            top: self.top as f64 / down,
            width: self.width as f64 / across,
            height: self.height as f64 / down,
        }
    }
}

/// First and last-but-one pixel of a side that a part of it touches; at least one, whatever the numbers.
fn touched(from: f64, size: f64, pixels: usize) -> (usize, usize) {
    let edge = |at: f64| (at * pixels as f64).clamp(0.0, pixels as f64);
    let first = (libm::floor(edge(from)) as usize).min(pixels - 1);
    (first, (libm::ceil(edge(from + size)) as usize).clamp(first + 1, pixels))
}

/// A picture being read, row by row.
///
/// ```
/// use picture::{Reading, Window};
/// // A half-clear black row under a white one.
/// let mut reading = Reading::new(1, 2, Window::whole(1, 2))?;
/// reading.rows(&[255, 255, 255, 255])?;
/// reading.rows(&[0, 0, 0, 128])?;
/// assert_eq!(reading.finish()?.lightness, [255, 194]);
/// # Ok::<(), picture::PictureError>(())
/// ```
#[derive(Clone)]
pub struct Reading {
    size: (usize, usize),
    window: Window,
    luminances: Luminances,
    light: AreaMeans,
    lightness: Vec<u8>,
    shown: Option<Shown>,
}

impl Reading {
    /// Begins to read a window of a picture of `width` × `height` pixels.
    ///
    /// # Errors
    /// A sentence for the user when a side is zero, or the picture is larger than any that is printed
    /// from: a million pixels along a side, or two thousand million in all.
    pub fn new(width: usize, height: usize, window: Window) -> Result<Self, PictureError> {
        if width == 0 || height == 0 {
            return Err(PictureError::Empty { width, height });
        }
        if width > LONGEST || height > LONGEST || width * height > LARGEST {
            return Err(PictureError::TooLarge { width, height });
        }
        Ok(Self {
            size: (width, height),
            window,
            luminances: Luminances::new(),
            light: AreaMeans::new((window.width, window.height), (window.columns, window.rows)),
            lightness: Vec::with_capacity(window.columns * window.rows),
            shown: None,
        })
    }

    /// Has the window brought to a picture in colour, too, of at most its own size, for
    /// [`Self::shown`]. Call it before the first rows.
    pub fn show(&mut self, columns: usize, rows: usize) {
        let Window { width, height, .. } = self.window;
        let size = (columns.clamp(1, width), rows.clamp(1, height));
        self.shown = Some(Shown::new((width, height), size));
    }

    /// The picture in colour, of the rows that have been taken: RGBA bytes, opaque.
    #[must_use]
    pub fn shown(&self) -> &[u8] {
        self.shown.as_ref().map_or(&[], |shown| &shown.rgba)
    }

    /// Takes the window's next rows from the top, any number of whole ones: four bytes a pixel, as in
    /// [`Pixels`].
    ///
    /// # Errors
    /// A sentence for the user when these are no whole rows, or more than the window has.
    pub fn rows(&mut self, rgba: &[u8]) -> Result<(), PictureError> {
        let bytes = 4 * self.window.width;
        if !rgba.len().is_multiple_of(bytes)
            || self.light.read + rgba.len() / bytes > self.window.height
        {
            return Err(self.wrong_length(rgba.len()));
        }
        for row in rgba.chunks_exact(bytes) {
            self.row(row);
        }
        Ok(())
    }

    fn row(&mut self, rgba: &[u8]) {
        let (pixels, _) = rgba.as_chunks::<4>();
        let Self { luminances, lightness, .. } = self;
        let light = pixels.iter().map(|pixel| luminances.of(*pixel));
        if let Some(means) = self.light.row(light) {
            lightness.extend(means.map(|mean| luminances.lightness(mean)));
        }
        if let Some(shown) = &mut self.shown {
            shown.row(pixels);
        }
    }

    /// The tones, once all rows have been taken.
    ///
    /// # Errors
    /// A sentence for the user when rows are missing.
    pub fn finish(self) -> Result<ToneMap, PictureError> {
        if self.light.read < self.window.height {
            return Err(self.wrong_length(0));
        }
        let (width, height) = self.size;
        Ok(ToneMap {
            width: self.window.columns,
            height: self.window.rows,
            part: self.window.part(width, height),
            lightness: self.lightness,
        })
    }

    fn wrong_length(&self, more: usize) -> PictureError {
        let Window { width, height, .. } = self.window;
        let expected = 4 * width * height;
        PictureError::WrongLength {
            width,
            height,
            bytes: 4 * width * self.light.read + more,
            expected,
        }
    }
}

/// Reads a window of a picture that is there as a whole.
///
/// # Errors
/// As [`Reading::new`], and when the bytes don't fit the size.
pub fn read(pixels: &Pixels<'_>, window: Window) -> Result<ToneMap, PictureError> {
    let Pixels { width, height, rgba } = *pixels;
    let mut reading = Reading::new(width, height, window)?;
    if rgba.len() != 4 * width * height {
        let (bytes, expected) = (rgba.len(), 4 * width * height);
        return Err(PictureError::WrongLength { width, height, bytes, expected });
    }
    for row in rgba.chunks_exact(4 * width).skip(window.top).take(window.height) {
        reading.rows(&row[4 * window.left..][..4 * window.width])?;
    }
    reading.finish()
}

impl ToneMap {
    /// The map as a grey picture that fits a room of so many pixels, never larger than itself: each pixel is the
    /// mean light of all that lies under it. Opaque RGBA bytes, width and height.
    #[must_use]
    pub fn shown(&self, wide: f64, high: f64) -> (Vec<u8>, usize, usize) {
        let (width, height) = (self.width as f64, self.height as f64);
        let scale = (wide / width).min(high / height).clamp(0.0, 1.0);
        let side = |pixels: f64| (libm::round(pixels * scale) as usize).max(1);
        let (columns, rows) = (side(width), side(height));
        let mut shown = Shown::new((self.width, self.height), (columns, rows));
        for row in self.to_rgba().chunks_exact(4 * self.width) {
            shown.row(row.as_chunks::<4>().0);
        }
        (shown.rgba, columns, rows)
    }
}

#[cfg(test)]
mod tests {
    use super::{MOST_UNPACKED, ToneMap, Window, brought_down, too_large, unfit};
    use plan::Crop;

    #[test]
    fn pictures_that_no_plate_takes_are_refused_in_a_sentence() {
        assert_eq!(
            unfit("a.png", 16, 480),
            None,
            "as long as the longest plate, and as small as can be"
        );
        let thin = unfit("thin.png", 3, 20_000).expect("refused");
        assert!(thin.contains("3 × 20000 pixels: one side is 6667 times the other"), "{thin}");
        assert!(thin.contains("Cut out") && thin.ends_with("as they were."), "{thin}");
        let small = unfit("dot.png", 5, 9).expect("refused");
        assert!(
            small.contains("5 × 9 pixels, too few") && small.contains("at least 16"),
            "{small}"
        );
        assert!(unfit("none.png", 0, 9).is_some(), "nothing in it");
        // A side of a plate is 20 to 600 mm.
        let side = plan::field("plate.width_mm").expect("a field");
        assert_eq!(side.max / side.min, super::LONGEST_SHAPE as f64, "the longest plate there is");
    }

    #[test]
    fn a_picture_that_was_brought_down_is_told() {
        assert_eq!(brought_down("a.png", 10_000, 5_000), None, "50 megapixels");
        let said = brought_down("a.png", 12_000, 9_000).expect("told");
        assert!(said.contains("108 megapixels; it was scaled to 2400 × 1800 pixels"), "{said}");
    }

    #[test]
    fn a_picture_that_no_memory_holds_is_refused_before_it_is_unpacked() {
        assert_eq!(too_large("a.png", 15_000, 15_000, MOST_UNPACKED), None, "0.9 GB");
        let said = too_large("vast.png", 30_000, 30_000, f64::INFINITY).expect("told");
        assert!(said.contains("30000 × 30000 pixels. Unpacked they take 3.6 GB"), "{said}");
        assert!(said.contains("with 7000 pixels on the longer side"), "{said}");
        assert!(too_large("a.png", 15_000, 15_000, 5e8).is_some(), "a device with little memory");
        assert_eq!(too_large("none.png", 0, 0, 1.0), None, "nothing in it: told elsewhere");
    }

    #[test]
    fn what_is_shown_small_is_the_mean_light() {
        // Hatching of black and white: half the light, whatever the size.
        let tones = ToneMap::new(8, 4, (0..32).map(|i| if i % 2 == 0 { 0 } else { 255 }).collect());
        let (rgba, columns, rows) = tones.shown(4.0, 100.0);
        assert_eq!((columns, rows), (4, 2), "in its shape");
        assert!(rgba.chunks_exact(4).all(|pixel| pixel == [188, 188, 188, 255]), "{rgba:?}");
        let (own, columns, rows) = tones.shown(100.0, 100.0);
        assert_eq!((own, columns, rows), (tones.to_rgba(), 8, 4), "a small one in its own size");
        assert_eq!(tones.shown(0.0, 0.0).1, 1, "never nothing");
    }

    #[test]
    fn the_window_is_the_crop_as_fine_as_it_can_be() {
        let window = |left, top, width, height, columns, rows| Window {
            left,
            top,
            width,
            height,
            columns,
            rows,
        };
        let of = |width, height, [left, top, right, bottom]: [f64; 4]| {
            let crop = Crop { left, top, width: right - left, height: bottom - top };
            Window::of(width, height, crop)
        };
        // Small pictures keep their own pixels, whatever the crop.
        assert_eq!(of(2400, 1600, [0.25, 0.25, 0.5, 0.5]), window(0, 0, 2400, 1600, 2400, 1600));
        assert_eq!(Window::whole(8000, 6000), window(0, 0, 8000, 6000, 2400, 1800));
        // A crop of the whole longer side is had from the whole.
        assert_eq!(of(8000, 6000, [0.0, 0.25, 1.0, 0.75]), Window::whole(8000, 6000));
        // A closer one is finer: here four pixels of the picture to one, and one more all round.
        assert_eq!(of(9600, 9600, [0.0, 0.0, 0.5, 0.5]), window(0, 0, 4802, 4802, 2401, 2401));
        assert_eq!(of(9600, 9600, [0.25, 0.0, 0.5, 0.25]), window(2399, 0, 2402, 2401, 2402, 2401));
        // Whatever a plan says, something is read.
        assert_eq!(of(8000, 6000, [1.0, 1.0, 1.0, 1.0]).width, 2, "the last pixel and its margin");
        assert_eq!(of(8000, 6000, [f64::NAN; 4]).columns, 2, "the first one");
    }
}
