//! Bite: how fast the bath works, how long each value lies in it, and how deep it goes.

use crate::constants;

constants! {
    /// Constants of bath and bite.
    BiteConstants "bite" {
        rate_um_per_min: 0.80, "µm/min", 0.3..=2.5, Estimated,
            "rate of the bite at 40 °Bé and 20 °C, fresh, tray rocked, half-covered plate", "fitted to Mitjà, Heliogravure VIII, 2017 (24 min to black); calibrate with your own step plate";
        etch_factor: 1.0, "", 1.0..=3.0, Estimated,
            "depth gained for each µm of undercut", "definition: Allen, Horne & Stevens, J. PCMI, January 1982; value estimated for a rocked tray: calibrate with your own step plate";
    }
}
