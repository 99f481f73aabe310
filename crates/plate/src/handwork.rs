//! Work on bitten copper: scraper, point, burnisher, polish, and the wear of printing.
//!
//! All of it is calculated on the copper: a field of depths and a second field, the **plane**: how far
//! tools have lowered the lands at each place, µm below the old surface. Pits are what lies deeper
//! than the plane. Rules:
//!
//! 1. A scraper takes copper off: nothing may stand above the new plane, h ← max(h, plane), and
//!    faint furrows run along the stroke. What was in the pits below is left alone, so the pits grow
//!    shallower and hold less. Copper taken off is gone.
//! 2. A burnisher presses copper down: the lands go to the new plane and what is displaced goes into the
//!    pits near by, which close in proportion. No copper is lost.
//! 3. A hammer from the back raises a hollow, lands and pits together. It stops where the face round about is level
//!    with the old surface, and what then stands above that is taken off with charcoal (common practice, no source).
//! 4. Printing wears the lands like the finest of scrapers.
//! 5. Everything is a function of place, so that every window shows the same work.

use crate::stage_constants;

mod local;
mod stroke;
mod wear;

pub use local::{LocalScratch, burnish, flow_margin_px, knock_up, scrape};
pub use stroke::{Mark, Reached};
pub use wear::{Wear, worn_um};

stage_constants! {
    /// Constants of scraping, burnishing and wear.
    WorkConstants "work" {
        furrow_depth_um: 0.6, "µm", 0.1..=3.0, Estimated,
            "depth of the deepest furrows a scraper leaves", "estimated: furrows “reduced in depth, receive less ink”, M. Lalanne, A Treatise on Etching, 1880, §53; measure on your own plate";
        furrow_pitch_um: 60.0, "µm", 15.0..=200.0, Estimated,
            "distance between a scraper's furrows", "estimated: look at your own scraped copper under a linen tester";
        scraper_um_per_pass: 0.5, "µm", 0.1..=3.0, Estimated,
            "copper that one even pass of the scraper takes down", "estimated: count the passes that clear one known bite on your own plate";
        burnisher_um_per_pass: 0.25, "µm", 0.05..=1.5, Estimated,
            "how far one even pass of the burnisher presses the lands down", "estimated: count passes on your own plate";
        polish_um_per_pass: 0.10, "µm", 0.02..=0.5, Estimated,
            "copper that one even pass of charcoal or polish takes down", "estimated: count passes on your own plate";
        flow_um: 100.0, "µm", 50.0..=300.0, Estimated,
            "how far copper pressed down by a burnisher moves sideways", "estimated: a few pits; the burnisher only displaces copper, M. Lalanne, A Treatise on Etching, 1880, §53";
        wear_um_per_impression: 0.003, "µm", 0.0005..=0.02, Estimated,
            "copper worn off the lands by one wiping and printing, were it all land", "wear in proportion to load over bearing surface: J. F. Archard, J. Appl. Phys. 24 (1953) 981; rate set against about 100 good prints of a delicate aquatint (glossary of a university library) and wear seen after half of an edition of 75 (a printmaker's notes, 2011)";
        steel_share: 0.1, "", 0.02..=0.3, Estimated,
            "wear of steel-faced copper against bare copper", "steel-faced plates: about 1000 equal prints, up to 3000–4000, M. Lalanne, A Treatise on Etching, 1880, §§98–99";
    }
}
