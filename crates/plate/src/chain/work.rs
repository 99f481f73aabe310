//! Tools on the copper of a window.

use crate::constants::Constants;
use crate::grid::Grid;
use crate::handwork::{self as work, LocalScratch, Mark};
use plan::Tool;

/// The work on copper in a window, in place.
pub struct WorkedCopper<'a> {
    /// The window's raster.
    pub grid: &'a Grid,
    /// Depth of copper gone, µm, one number per pixel.
    pub depth_um: &'a mut [f32],
    /// How far tools have lowered the lands, µm, one number per pixel.
    pub plane_um: &'a mut [f32],
}

/// Something done to the copper of a sample after everything else.
pub type Then<'a> = &'a mut dyn FnMut(&mut WorkedCopper<'_>);

/// A mark that covers any sample wholly; `seed` picks its furrows.
#[must_use]
pub fn everywhere(seed: u32) -> Mark {
    let far = 1e6;
    Mark::passage(vec![[-far, -far], [far, -far], [far, far], [-far, far]], 0.0, seed)
}

/// Works one mark into the copper of a window, `take_um` µm deep in even passes; the hammer raises it by as much at most.
pub fn use_tool(
    tool: Tool,
    mark: &Mark,
    take_um: f32,
    constants: &Constants,
    scratch: &mut LocalScratch,
    copper: &mut WorkedCopper<'_>,
) {
    let c = &constants.work;
    let WorkedCopper { grid, depth_um, plane_um } = copper;
    match tool {
        Tool::Scraper => {
            // A single light pass cannot leave furrows deeper than it cuts.
            let furrow_um = (c.furrow_depth_um as f32).min(take_um);
            work::scrape(mark, take_um, furrow_um, grid, c, depth_um, plane_um);
        }
        Tool::Point | Tool::Polish => work::scrape(mark, take_um, 0.0, grid, c, depth_um, plane_um),
        Tool::Burnisher => work::burnish(mark, take_um, grid, c, scratch, depth_um, plane_um),
        Tool::Hammer => work::knock_up(mark, take_um, grid, c, scratch, depth_um, plane_um),
    }
}
