//! Pictures from disk, read as the page reads them.

use crate::Outcome;
use picture::{Pixels, ToneMap, Window};
use plan::Crop;
use std::path::Path;

/// A decoded picture, upright.
pub(crate) struct Picture {
    rgba: Vec<u8>,
    pub(crate) width: usize,
    pub(crate) height: usize,
}

impl Picture {
    /// Decodes a file. Deeper pixels come as eight bits a channel, as a browser would hand them over.
    pub(crate) fn decode(path: &Path) -> Outcome<Self> {
        use image::ImageDecoder;
        let refuse = |error: &dyn std::fmt::Display| {
            format!(
                "{} can't be read as a picture ({error}). Use a PNG, JPEG or WebP file.",
                path.display()
            )
        };
        let reader =
            image::ImageReader::open(path).and_then(image::ImageReader::with_guessed_format);
        let mut decoder = reader.map_err(|e| refuse(&e))?.into_decoder().map_err(|e| refuse(&e))?;
        let orientation = decoder.orientation().map_err(|e| refuse(&e))?;
        let mut picture = image::DynamicImage::from_decoder(decoder).map_err(|e| refuse(&e))?;
        picture.apply_orientation(orientation);
        let rgba = picture.into_rgba8();
        let (width, height) = (rgba.width() as usize, rgba.height() as usize);
        Ok(Self { rgba: rgba.into_raw(), width, height })
    }

    /// Its size as plans have it.
    pub(crate) fn size_px(&self) -> (f64, f64) {
        (self.width as f64, self.height as f64)
    }

    /// What lies on the plate for a crop.
    pub(crate) fn read(&self, crop: Crop) -> Outcome<ToneMap> {
        let Self { rgba, width, height } = self;
        let pixels = Pixels { width: *width, height: *height, rgba };
        picture::read(&pixels, Window::of(*width, *height, crop)).map_err(|error| error.to_string())
    }

    /// Red, green, blue, alpha; width and height.
    pub(crate) fn into_rgba(self) -> (Vec<u8>, usize, usize) {
        (self.rgba, self.width, self.height)
    }
}
