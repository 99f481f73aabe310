//! Proofs and fields as PNG files that know their true size.

use png::{
    BitDepth, ColorType, Encoder, EncodingError, PixelDimensions, SrgbRenderingIntent, Unit,
};
use std::io::Write;

fn pixels_per_metre(px_um: f64) -> u32 {
    libm::round(1e6 / px_um) as u32
}

fn encoder<W: Write>(
    to: W,
    width: u32,
    height: u32,
    px_um: f64,
    depth: BitDepth,
) -> Encoder<'static, W> {
    let mut encoder = Encoder::new(to, width, height);
    encoder.set_color(ColorType::Grayscale);
    encoder.set_depth(depth);
    let per_metre = pixels_per_metre(px_um);
    encoder.set_pixel_dims(Some(PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: Unit::Meter,
    }));
    encoder
}

/// An encoder for a grey 8-bit sRGB proof whose pixels are `px_um` wide, to stream rows into.
pub fn grey8_encoder<W: Write>(to: W, width: u32, height: u32, px_um: f64) -> Encoder<'static, W> {
    let mut encoder = encoder(to, width, height, px_um, BitDepth::Eight);
    encoder.set_source_srgb(SrgbRenderingIntent::RelativeColorimetric);
    encoder
}

/// A grey 8-bit sRGB proof as a PNG file.
///
/// # Errors
/// When the bytes are not `width × height`.
pub fn grey8_png(
    grey: &[u8],
    width: u32,
    height: u32,
    px_um: f64,
) -> Result<Vec<u8>, EncodingError> {
    let mut file = Vec::new();
    let mut writer = grey8_encoder(&mut file, width, height, px_um).write_header()?;
    writer.write_image_data(grey)?;
    writer.finish()?;
    Ok(file)
}

/// A field of 16-bit numbers, linear, as a PNG file.
///
/// # Errors
/// When the numbers are not `width × height`.
pub fn grey16_png(
    field: &[u16],
    width: u32,
    height: u32,
    px_um: f64,
) -> Result<Vec<u8>, EncodingError> {
    let mut file = Vec::new();
    let mut encoder = encoder(&mut file, width, height, px_um, BitDepth::Sixteen);
    encoder.set_source_gamma(png::ScaledFloat::new(1.0));
    let mut writer = encoder.write_header()?;
    let bytes: Vec<u8> = field.iter().flat_map(|value| value.to_be_bytes()).collect();
    writer.write_image_data(&bytes)?;
    writer.finish()?;
    Ok(file)
}
