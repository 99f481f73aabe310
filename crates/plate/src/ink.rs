//! Ink: what the pits hold after wiping, what the paper takes, and the light it throws back.

use crate::constants;

constants! {
    /// Constants of ink, wiping, press and paper.
    InkConstants "ink" {
        absorption_per_um: 0.85, "1/µm", 0.6..=1.2, Estimated,
            "double-pass absorption of neat etching black", "estimated: calibrate with your own step plate";
    }
}
