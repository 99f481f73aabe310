//! The sheets as SVG: one unit is one millimetre.

use super::frame::{BEFORE, JOIN, NOW, about, begin, foot, head, joins, key, label, words_at};
use super::hatch::{Piece, hatching};
use super::layout::{FOOT, Layout, MARGIN, Place};
use super::{GuideFace, GuideWish, Soft, Step};
use crate::areas::StopOut;
use crate::outline::Ring;
use plan::Plan;
use std::fmt::Write as _;

/// Corners of the plate are drawn with so many sides each.
const CORNER_SIDES: usize = 12;

/// Something drawn on the plate, and the rectangle it lies in.
struct Mark {
    path: String,
    bounds: [f64; 4],
}

/// A step ready to be drawn on any of its sheets.
pub(super) struct Drawn {
    pub(super) name: String,
    pub(super) when: String,
    pub(super) after_bites: usize,
    pub(super) file: String,
    about: String,
    wish: GuideWish,
    plate: Copper,
    covered: Vec<Mark>,
    cover: Vec<Mark>,
    hatch: Vec<Piece>,
    soft: Vec<(Mark, String)>,
}

/// The plate's outline.
#[derive(Clone, Copy)]
struct Copper {
    width: f64,
    height: f64,
    bevel: f64,
    corner: f64,
}

impl Drawn {
    pub(super) fn new(
        plan: &Plan,
        wish: GuideWish,
        layout: &Layout,
        step: Step,
        rings: StopOut,
        soft: Vec<Soft>,
    ) -> Self {
        let plate = Copper::new(plan);
        let (width, _) = layout.plate_mm;
        let turned = |rings: &[Ring]| -> Vec<Vec<[f64; 2]>> {
            rings
                .iter()
                .map(|ring| match wish.face {
                    GuideFace::Paper => ring.points_mm.clone(),
                    GuideFace::Copper => {
                        ring.points_mm.iter().map(|[x, y]| [width - x, *y]).collect()
                    }
                })
                .collect()
        };
        let marks = |rings: &[Vec<[f64; 2]>]| rings.iter().map(|ring| Mark::new(ring)).collect();
        let (covered, cover) = (turned(&rings.covered), turned(&rings.cover));
        let soft = soft.into_iter().flat_map(|soft| {
            let rings = turned(&soft.rings);
            // The words stand once, at the first outline.
            rings
                .iter()
                .enumerate()
                .map(|(i, ring)| {
                    (Mark::new(ring), if i == 0 { soft.words.clone() } else { String::new() })
                })
                .collect::<Vec<_>>()
        });
        Self {
            after_bites: step.after_bites(),
            name: step.name,
            when: step.when,
            file: step.file,
            about: about(plan, wish.units),
            wish,
            plate,
            hatch: hatching(&cover, &plate.outline(0.0)),
            covered: marks(&covered),
            cover: marks(&cover),
            soft: soft.collect(),
        }
    }

    /// One sheet of the step.
    pub(super) fn sheet(&self, layout: &Layout, place: Place) -> String {
        let mut text = begin(layout, &format!("{}, {}", self.name, self.when));
        let part = layout.is_tiled().then(|| place.name());
        head(&mut text, &self.name, &self.when, &self.about, self.wish.face);
        self.legend(&mut text);
        if let Some(name) = &part {
            key(&mut text, layout, place, name);
        }
        let (left, top) = layout.tile_on_page();
        let (x, y) = layout.tile_at(place);
        let (w, h) = layout.tile_mm;
        let _ = writeln!(
            text,
            "<svg x=\"{left:.3}\" y=\"{top:.3}\" width=\"{w:.3}\" height=\"{h:.3}\" viewBox=\"{x:.3} {y:.3} {w:.3} {h:.3}\" fill=\"none\">"
        );
        let id = format!("plate-{}-{}", self.file, place.name());
        self.plate_part(&mut text, &id, [x, y, x + w, y + h]);
        joins(&mut text, layout, Some(place));
        text.push_str("</svg>\n");
        foot(&mut text, layout, self.wish.units);
        text.push_str("</svg>\n");
        text
    }

    /// What lies within a rectangle of the plate.
    fn plate_part(&self, text: &mut String, id: &str, part: [f64; 4]) {
        let here = |marks: &[Mark]| -> String {
            marks
                .iter()
                .filter(|mark| meets(mark.bounds, part))
                .map(|mark| mark.path.as_str())
                .collect()
        };
        let _ = writeln!(text, "<clipPath id=\"{id}\">{}</clipPath>", self.plate.rect(0.0, ""));
        let _ = writeln!(text, "<g clip-path=\"url(#{id})\">");
        let _ = writeln!(
            text,
            "<path fill=\"{BEFORE}\" fill-rule=\"evenodd\" d=\"{}\"/>",
            here(&self.covered)
        );
        let mut lines = String::new();
        for [x0, y0, x1, y1] in &self.hatch {
            if meets([x0.min(*x1), y0.min(*y1), x0.max(*x1), y0.max(*y1)], part) {
                let _ = write!(lines, "M{x0:.2} {y0:.2}L{x1:.2} {y1:.2}");
            }
        }
        let _ = writeln!(text, "<path stroke=\"{NOW}\" stroke-width=\".18\" d=\"{lines}\"/>");
        let _ = writeln!(
            text,
            "<path stroke=\"{NOW}\" stroke-width=\".28\" stroke-linejoin=\"round\" d=\"{}\"/>",
            here(&self.cover)
        );
        text.push_str("</g>\n");
        for (mark, words) in self.soft.iter().filter(|(mark, _)| meets(mark.bounds, part)) {
            let _ = writeln!(
                text,
                "<path stroke=\"{NOW}\" stroke-width=\".4\" stroke-linecap=\"round\" stroke-dasharray=\".01 1.2\" d=\"{}\"/>",
                mark.path
            );
            let [left, top, right, bottom] = mark.bounds;
            label(text, ((left + right) / 2.0, (top + bottom) / 2.0), 3.0, NOW, words);
        }
        let _ = writeln!(text, "{}", self.plate.rect(0.0, "stroke=\"#000\" stroke-width=\".25\""));
        if self.plate.bevel > 0.0 {
            let dashed = "stroke=\"#000\" stroke-width=\".15\" stroke-dasharray=\"1.6 1\"";
            let _ = writeln!(text, "{}", self.plate.rect(self.plate.bevel, dashed));
        }
    }

    /// What the tones and lines mean.
    fn legend(&self, text: &mut String) {
        let y = MARGIN + 20.5;
        let box_at =
            |x: f64| format!("x=\"{x:.2}\" y=\"{:.2}\" width=\"6\" height=\"3.6\"", y - 3.0);
        let mut x = MARGIN;
        let mut entry = |text: &mut String, drawn: String, words: &str| {
            text.push_str(&drawn);
            words_at(text, (x + 7.5, y), 3.2, "", words);
            // Letters are about half as wide as they are high.
            x += 12.5 + words.chars().count() as f64 * 1.48;
            x
        };
        let square = [
            [MARGIN, y - 3.0],
            [MARGIN + 6.0, y - 3.0],
            [MARGIN + 6.0, y + 0.6],
            [MARGIN, y + 0.6],
        ];
        let mut swatch = format!(
            "<rect {} fill=\"none\" stroke=\"{NOW}\" stroke-width=\".28\"/>",
            box_at(MARGIN)
        );
        for [x0, y0, x1, y1] in hatching(&[square.to_vec()], &square) {
            let _ = write!(
                swatch,
                "<path stroke=\"{NOW}\" stroke-width=\".18\" d=\"M{x0:.2} {y0:.2}L{x1:.2} {y1:.2}\"/>"
            );
        }
        let mut next = MARGIN;
        if !self.cover.is_empty() {
            next = entry(text, swatch, "cover now");
        }
        if !self.covered.is_empty() {
            let grey = format!("<rect {} fill=\"{BEFORE}\"/>", box_at(next));
            next = entry(text, grey, "varnished already: only mend what has chipped");
        }
        if !self.soft.is_empty() {
            let dots = format!(
                "<path fill=\"none\" stroke=\"{NOW}\" stroke-width=\".4\" stroke-linecap=\"round\" stroke-dasharray=\".01 1.2\" d=\"M{next:.2} {:.2}h6\"/>",
                y - 1.2
            );
            next = entry(text, dots, "soft work");
        }
        if self.plate.bevel > 0.0 {
            let dashes = format!(
                "<path stroke=\"#000\" stroke-width=\".15\" stroke-dasharray=\"1.6 1\" d=\"M{next:.2} {:.2}h6\"/>",
                y - 1.2
            );
            entry(text, dashes, "bevel");
        }
    }
}

/// The sheet that shows how the others join: the plate with every sheet's part of it.
pub(super) fn overview(plan: &Plan, wish: GuideWish, layout: &Layout, steps: &[Drawn]) -> String {
    let count = layout.places().count();
    let mut text = begin(layout, "How the sheets join");
    let when = format!("{} steps of {count} sheets each", steps.len());
    head(&mut text, "How the sheets join", &when, &about(plan, wish.units), wish.face);
    words_at(&mut text, (MARGIN, MARGIN + 20.5), 3.2, "", JOINING);
    let (width, height) = layout.plate_mm;
    let (wide, high) =
        (layout.page_mm.0 - 2.0 * MARGIN, layout.page_mm.1 - 2.0 * MARGIN - FOOT - 40.0);
    let scale = ((wide - 2.0) / width).min((high - 2.0) / height).min(0.9);
    let (w, h) = (width * scale, height * scale);
    let (x, y) = ((layout.page_mm.0 - w) / 2.0, MARGIN + 32.0);
    let _ = writeln!(
        text,
        "<g transform=\"translate({x:.3} {y:.3}) scale({scale:.5})\" fill=\"none\">"
    );
    // Half of the work done, so that one sees which way the plate lies.
    if let Some(step) = steps.get(steps.len() / 2) {
        step.plate_part(&mut text, "plate-overview", [0.0, 0.0, width, height]);
    }
    joins(&mut text, layout, None);
    for place in layout.places() {
        let (left, top) = layout.tile_at(place);
        let middle = (left + layout.tile_mm.0 / 2.0, top + layout.tile_mm.1 / 2.0);
        label(&mut text, middle, 14.0, JOIN, &place.name());
    }
    text.push_str("</g>\n");
    let small = format!("The plate at {:.0} % of its size", scale * 100.0);
    words_at(&mut text, (MARGIN, y + h + 6.0), 3.2, "", &small);
    foot(&mut text, layout, wish.units);
    text.push_str("</svg>\n");
    text
}

const JOINING: &str = "Cut one of two neighbours along its blue line, lay cross on cross against a window, and tape them together.";

impl Copper {
    fn new(plan: &Plan) -> Self {
        let (width, height) = (plan.plate.width_mm, plan.plate.height_mm);
        let corner = plan.plate.corner_radius_mm.clamp(0.0, width.min(height) / 2.0);
        Self { width, height, bevel: plan.plate.bevel_mm, corner }
    }

    /// The plate's outline, so far inside its edge.
    fn rect(&self, inset: f64, look: &str) -> String {
        let corner = (self.corner - inset).max(0.0);
        format!(
            "<rect x=\"{inset:.2}\" y=\"{inset:.2}\" width=\"{:.2}\" height=\"{:.2}\" rx=\"{corner:.2}\" {look}/>",
            (self.width - 2.0 * inset).max(0.0),
            (self.height - 2.0 * inset).max(0.0)
        )
    }

    /// The same as points.
    fn outline(&self, inset: f64) -> Vec<[f64; 2]> {
        let radius = (self.corner - inset).max(0.0);
        let (right, bottom) = (self.width - inset, self.height - inset);
        if radius <= 0.0 {
            return vec![[inset, inset], [right, inset], [right, bottom], [inset, bottom]];
        }
        let mut points = Vec::new();
        let (near, far_x, far_y) = (inset + radius, right - radius, bottom - radius);
        for (quarter, (x, y)) in
            [(near, near), (far_x, near), (far_x, far_y), (near, far_y)].into_iter().enumerate()
        {
            for side in 0..=CORNER_SIDES {
                let turn = quarter as f64 + side as f64 / CORNER_SIDES as f64 - 2.0;
                let angle = turn * std::f64::consts::FRAC_PI_2;
                points.push([x + radius * libm::cos(angle), y + radius * libm::sin(angle)]);
            }
        }
        points
    }
}

impl Mark {
    fn new(points: &[[f64; 2]]) -> Self {
        let mut path = String::with_capacity(12 * points.len());
        let mut bounds = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
        for (i, [x, y]) in points.iter().enumerate() {
            let _ = write!(path, "{}{x:.2} {y:.2}", if i == 0 { "M" } else { "L" });
            bounds = [bounds[0].min(*x), bounds[1].min(*y), bounds[2].max(*x), bounds[3].max(*y)];
        }
        path.push('Z');
        Self { path, bounds }
    }
}

fn meets(a: [f64; 4], b: [f64; 4]) -> bool {
    a[0] <= b[2] && b[0] <= a[2] && a[1] <= b[3] && b[1] <= a[3]
}
