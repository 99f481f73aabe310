//! The tools that a plate is worked with after its first proof.

use crate::states::Tool;
use serde::Serialize;

/// A tool, as the page offers it.
#[derive(Clone, Copy, Debug, Serialize, ts_rs::TS)]
pub struct ToolInfo {
    /// The tool.
    pub tool: Tool,
    /// How one calls it, within a sentence.
    pub name: &'static str,
    /// What it does to the copper, in a sentence or two.
    pub does: &'static str,
    /// Width of the stroke it is taken up with, mm.
    pub width_mm: f64,
    /// How far it goes when it is taken up, µm.
    pub take_um: f64,
    /// Key of the constant that says how far one even pass goes, where its work is counted in passes.
    pub pass: Option<&'static str>,
}

/// Every tool, in the order in which they are offered.
pub const TOOLS: &[ToolInfo] = &[
    ToolInfo {
        tool: Tool::Scraper,
        name: "scraper",
        does: "Shaves the lands down, so that the pits hold less. It leaves faint furrows that hold a little ink.",
        width_mm: 6.0,
        take_um: 1.0,
        pass: Some("work.scraper_um_per_pass"),
    },
    ToolInfo {
        tool: Tool::Point,
        name: "scraper’s point",
        does: "The scraper’s point takes copper off in a narrow line: lights, a sail’s edge.",
        width_mm: 0.3,
        take_um: 1.0,
        pass: Some("work.scraper_um_per_pass"),
    },
    ToolInfo {
        tool: Tool::Burnisher,
        name: "burnisher",
        does: "Presses the lands down and closes the pits; takes furrows out. The copper only moves.",
        width_mm: 3.0,
        take_um: 1.0,
        pass: Some("work.burnisher_um_per_pass"),
    },
    ToolInfo {
        tool: Tool::Polish,
        name: "charcoal",
        does: "Charcoal and polish take copper off slowly and evenly, without furrows.",
        width_mm: 12.0,
        take_um: 1.0,
        pass: Some("work.polish_um_per_pass"),
    },
    ToolInfo {
        tool: Tool::Hammer,
        name: "hammer from the back",
        does: "Knocks a scraped hollow up until its face is level again, so that its rim gathers no ink. Lands and pits rise together; whatever then stands above the face is taken off with charcoal.",
        width_mm: 6.0,
        take_um: crate::states::TAKE_UM.1,
        pass: None,
    },
];

impl Tool {
    /// What is known of the tool.
    #[must_use]
    pub fn info(self) -> &'static ToolInfo {
        TOOLS.iter().find(|info| info.tool == self).unwrap_or(&TOOLS[0])
    }
}

#[cfg(test)]
mod tests {
    use super::TOOLS;
    use crate::states::{TAKE_UM, TOOL_WIDTH_MM};

    #[test]
    fn every_tool_is_known_once_and_taken_up_within_its_ranges() {
        for info in TOOLS {
            assert_eq!(info.tool.info().name, info.name, "found by itself");
            assert!((TOOL_WIDTH_MM.0..=TOOL_WIDTH_MM.1).contains(&info.width_mm), "{}", info.name);
            assert!((TAKE_UM.0..=TAKE_UM.1).contains(&info.take_um), "{}", info.name);
            assert!(info.does.ends_with('.'), "{}: a sentence", info.name);
        }
    }
}
