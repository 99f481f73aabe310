//! The proof as a PNG file (ISO/IEC 15948:2004), written here because the page weighs every kilobyte:
//! the `png` crate, which the native program uses, would be an eighth of it. The browser itself
//! packs the rows between [`rows`] and [`file`]. The tests read the file back with that crate.

use crc::{CRC_32_ISO_HDLC, Crc, Table};
/// Grey 8-bit sRGB bytes, `width × height` of them, as the rows of a PNG file, each filtered so that
/// it packs well. `None` when the bytes are not that many, or there are none.
pub(crate) fn rows(grey: &[u8], width: u32, height: u32) -> Option<Vec<u8>> {
    if grey.is_empty() || (width as usize).checked_mul(height as usize) != Some(grey.len()) {
        return None;
    }
    Some(filtered(grey, width as usize))
}

/// Rows packed in zlib's format (RFC 1950) as a PNG file whose pixels are `px_um` wide.
pub(crate) fn file(packed: &[u8], width: u32, height: u32, px_um: f64) -> Vec<u8> {
    let mut header = [width.to_be_bytes(), height.to_be_bytes()].concat();
    // Eight bits, grey, the one compression and filter method, not interlaced (§11.2.2).
    header.extend([8, 0, 0, 0, 0]);
    let per_metre = ((1e6 / px_um + 0.5) as u32).to_be_bytes();
    let mut file = b"\x89PNG\r\n\x1a\n".to_vec();
    chunk(&mut file, b"IHDR", &header);
    // Relative colorimetric, as the page shows it (§11.3.3.5).
    chunk(&mut file, b"sRGB", &[1]);
    chunk(&mut file, b"pHYs", &[&per_metre[..], &per_metre, &[1]].concat());
    chunk(&mut file, b"IDAT", packed);
    chunk(&mut file, b"IEND", &[]);
    file
}

/// Each row with the filter in front that leaves the smallest differences (§12.8).
fn filtered(grey: &[u8], width: usize) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(grey.len() + grey.len() / width);
    let mut above = vec![0; width];
    for row in grey.chunks_exact(width) {
        let left = std::iter::once(&0).chain(row);
        let candidates: [Vec<u8>; 3] = [
            row.to_vec(),
            row.iter().zip(left).map(|(x, a)| x.wrapping_sub(*a)).collect(),
            row.iter().zip(&above).map(|(x, b)| x.wrapping_sub(*b)).collect(),
        ];
        let size =
            |row: &[u8]| row.iter().map(|x| u64::from(x.cast_signed().unsigned_abs())).sum::<u64>();
        let sizes = candidates.each_ref().map(|row| size(row));
        let best = (0..candidates.len()).min_by_key(|i| sizes[*i]).unwrap_or(0);
        bytes.push(best as u8);
        bytes.extend(&candidates[best]);
        above.copy_from_slice(row);
    }
    bytes
}

/// The CRC-32 of the PNG specification (annex D).
const CRC: Crc<u32, Table<1>> = Crc::<u32, Table<1>>::new(&CRC_32_ISO_HDLC);

/// Length, type, data, and the checksum of type and data (§5.3).
fn chunk(file: &mut Vec<u8>, kind: &[u8; 4], data: &[u8]) {
    file.extend((data.len() as u32).to_be_bytes());
    let from = file.len();
    file.extend(kind);
    file.extend(data);
    let sum = CRC.checksum(&file[from..]);
    file.extend(sum.to_be_bytes());
}

#[cfg(test)]
mod tests {
    use super::*;

    /// As the page does it, with another packer than the browser's.
    fn grey8(grey: &[u8], width: u32, height: u32, px_um: f64) -> Option<Vec<u8>> {
        let rows = rows(grey, width, height)?;
        let packed = miniz_oxide::deflate::compress_to_vec_zlib(&rows, 5);
        Some(file(&packed, width, height, px_um))
    }

    fn read(file: &[u8]) -> (Vec<u8>, png::Info<'static>) {
        let mut reader = png::Decoder::new(std::io::Cursor::new(file)).read_info().unwrap();
        let mut grey = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut grey).unwrap();
        (grey, reader.info().clone())
    }

    #[test]
    fn the_png_crate_reads_back_every_grey_and_the_size() {
        let grey: Vec<u8> =
            (0..301_u32 * 97).map(|i| (i.wrapping_mul(2_654_435_761) >> 20) as u8 & 63).collect();
        let (back, info) = read(&grey8(&grey, 301, 97, 50.0).unwrap());
        assert!(back == grey, "every grey comes back");
        assert_eq!((info.width, info.height), (301, 97), "the shape comes back");
        let size = info.pixel_dims.unwrap();
        assert_eq!(
            (size.xppu, size.yppu, size.unit),
            (20_000, 20_000, png::Unit::Meter),
            "508 dpi"
        );
        assert!(info.srgb.is_some(), "the greys are named as sRGB");
    }

    #[test]
    fn each_kind_of_row_is_read_back() {
        let flat = vec![200; 64];
        let slope: Vec<u8> = (0..64).map(|i| i * 3).collect();
        let grey = [flat.clone(), slope.clone(), slope, flat].concat();
        assert!(read(&grey8(&grey, 64, 4, 5.0).unwrap()).0 == grey, "filters undo themselves");
    }

    #[test]
    fn a_wrong_number_of_bytes_is_refused() {
        assert!(grey8(&[1, 2, 3], 2, 2, 5.0).is_none(), "three bytes are not two by two");
        assert!(grey8(&[], 0, 0, 5.0).is_none(), "nothing is no picture");
    }

    #[test]
    fn checksum_of_the_well_known_digits() {
        assert_eq!(CRC.checksum(b"123456789"), 0xcbf4_3926, "check value of CRC-32, ISO 3309");
    }
}
