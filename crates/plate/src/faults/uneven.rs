//! The unevenness that every plate has: dust falls a little thicker here than there and thinner by the box's walls, and a
//! hot plate is warmer in its middle. Functions of place and seed like all faults; at nought there is none.

use super::noise::smooth;
use crate::bake::BakeConstants;
use crate::dust::DustConstants;

/// Length on which the fall of dust changes, µm; plausible 20 000–150 000. Common practice, no source.
const FALL_UM: f64 = 50_000.0;

/// How uneven a shop's box and hot plate are, on copper of one size.
#[derive(Clone, Debug, PartialEq)]
pub struct Uneven {
    /// How much more dust falls in the thickest places than on the mean, and less in the thinnest, as a share.
    dust_share: f64,
    wall_loss: f64,
    wall_reach_um: f64,
    /// How much cooler the edges are than the middle, °C.
    pub(super) edge_cooler_c: f64,
    /// Width and height of the copper, µm.
    size_um: [f64; 2],
    seed: u32,
}

impl Uneven {
    /// That of a shop with these constants; `None` where all is even.
    #[must_use]
    pub fn of(
        (dust, bake): (&DustConstants, &BakeConstants),
        size_mm: [f64; 2],
        seed: u32,
    ) -> Option<Self> {
        let even = dust.uneven_share == 0.0 && dust.wall_loss == 0.0 && bake.edge_cooler_c == 0.0;
        (!even).then(|| Self {
            dust_share: dust.uneven_share,
            wall_loss: dust.wall_loss,
            wall_reach_um: dust.wall_reach_mm * 1000.0,
            edge_cooler_c: bake.edge_cooler_c,
            size_um: size_mm.map(|mm| mm * 1000.0),
            seed,
        })
    }

    /// The dust falls unevenly.
    pub(crate) fn dusts(&self) -> bool {
        self.dust_share > 0.0 || self.wall_loss > 0.0
    }

    /// Grains beyond the mean that the thickest places can have, as a share.
    pub(crate) fn most_beyond(&self) -> f64 {
        self.dust_share
    }

    /// How many times as many grains as on the mean fall at a place.
    pub(crate) fn fall(&self, x_um: f64, y_um: f64) -> f64 {
        let thick = 2.0 * smooth(self.seed ^ 0x00d0_57ed, x_um / FALL_UM, y_um / FALL_UM) - 1.0;
        let near = |um: f64, size_um: f64| um.min(size_um - um).max(0.0);
        let in_um = near(x_um, self.size_um[0]).min(near(y_um, self.size_um[1]));
        let by_wall = (1.0 - in_um / self.wall_reach_um).max(0.0);
        (1.0 + self.dust_share * thick) * (1.0 - self.wall_loss * by_wall * by_wall)
    }

    /// How near a place is to the edges: 0 in the plate's middle, 1 all along them.
    pub(super) fn edges(&self, x_um: f64, y_um: f64) -> f64 {
        let off = |um: f64, size_um: f64| (2.0 * um / size_um - 1.0).clamp(-1.0, 1.0);
        let (u, v) = (off(x_um, self.size_um[0]), off(y_um, self.size_um[1]));
        1.0 - (1.0 - u * u) * (1.0 - v * v)
    }
}
