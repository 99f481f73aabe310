//! A link as a QR code (ISO/IEC 18004).

use super::LinkError;
use qrcodegen::{QrCode, QrCodeEcc};

/// Most characters put in a QR code: 89 modules a side, which a phone still reads from a bench
/// sheet at 0.4 mm a module (39 mm with its quiet zone).
pub const QR_MOST_CHARS: usize = 700;
/// Up to this length level M (15 % may be spoiled) is asked for, above it L (7 %): a longer code
/// gains more from larger modules than from more of them. Common practice, no source.
const MEDIUM_MOST_CHARS: usize = 300;

/// A QR code: square, dark and light modules.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Qr {
    /// Modules along a side, 21–89, without the quiet zone: draw four light modules all round.
    pub side: usize,
    /// Row by row from the top left; true is dark.
    pub dark: Vec<bool>,
}

/// A whole address as a QR code, with the strongest error correction that its size has room for.
///
/// # Errors
/// [`LinkError::TooLongForQr`] above [`QR_MOST_CHARS`].
pub fn qr(address: &str) -> Result<Qr, LinkError> {
    let chars = address.chars().count();
    let too_long = LinkError::TooLongForQr { chars, most: QR_MOST_CHARS };
    // Bytes, too: an address in another script has fewer characters than bytes.
    if address.len() > QR_MOST_CHARS {
        return Err(too_long);
    }
    let level = if chars <= MEDIUM_MOST_CHARS { QrCodeEcc::Medium } else { QrCodeEcc::Low };
    let code = QrCode::encode_text(address, level).map_err(|_| too_long)?;
    let side = code.size();
    let dark = (0..side).flat_map(|y| (0..side).map(move |x| (x, y)));
    let dark = dark.map(|(x, y)| code.get_module(x, y)).collect();
    Ok(Qr { side: side.unsigned_abs() as usize, dark })
}
