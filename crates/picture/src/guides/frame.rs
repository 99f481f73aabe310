//! What stands on every sheet round the plate: words, the ruler, the marks by which sheets join.

use super::GuideFace;
use super::layout::{LAP, Layout, MARGIN, Place};
use plan::{Plan, Unit, Units, quantity};
use std::fmt::Write as _;

/// Colours by what they mean. Each is told apart by its form, too, where a printer knows only black.
pub(super) const NOW: &str = "#8a3d16";
pub(super) const BEFORE: &str = "#d4d4d4";
pub(super) const JOIN: &str = "#1f5fa8";
const FONT: &str = "font-family=\"Alegreya Sans, Helvetica, Arial, sans-serif\"";
/// Longest title on a sheet, characters.
const TITLE_CHARS: usize = 48;
/// A ruler printed beside the guide, to measure it by.
struct Ruler {
    /// Length, mm.
    length_mm: f64,
    /// Divisions of its whole length.
    divisions: usize,
    /// Every so many divisions, the longest first, a line of this length, mm.
    lines: &'static [(usize, f64)],
    /// Words at parts of its length.
    words: &'static [(f64, &'static str)],
    /// What it must measure.
    measure: &'static str,
}

const CENTIMETRES: Ruler = Ruler {
    length_mm: 100.0,
    divisions: 100,
    lines: &[(10, 4.0), (5, 2.8), (1, 1.8)],
    words: &[(0.0, "0"), (0.5, "50"), (1.0, "100 mm")],
    measure: "The ruler must measure 100 mm, or the guide is off.",
};
/// An inch is 25.4 mm by definition.
const INCHES: Ruler = Ruler {
    length_mm: 4.0 * 25.4,
    divisions: 64,
    lines: &[(16, 4.0), (8, 3.2), (4, 2.6), (2, 2.1), (1, 1.5)],
    words: &[(0.0, "0"), (0.25, "1"), (0.5, "2"), (0.75, "3"), (1.0, "4 in")],
    measure: "The ruler must measure 4 in, or the guide is off.",
};
/// Arm of a registration mark, mm: it stands whole in the overlap.
const ARM: f64 = LAP / 2.0 - 0.5;

/// Minutes, or another number, without needless zeros.
pub(super) fn minutes(of: f64) -> String {
    let text = format!("{of:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

pub(super) fn about(plan: &Plan, units: Units) -> String {
    let title = match plan.title.trim() {
        "" => "Untitled plate".to_owned(),
        long if long.chars().count() > TITLE_CHARS => {
            format!("{}…", long.chars().take(TITLE_CHARS).collect::<String>())
        }
        title => title.to_owned(),
    };
    let wide = quantity(plan.plate.width_mm, Unit::Mm, 1).number(units);
    let high = quantity(plan.plate.height_mm, Unit::Mm, 1).in_units(units);
    format!("{title} · copper {wide} × {high}")
}

pub(super) fn begin(layout: &Layout, title: &str) -> String {
    let (width, height) = layout.page_mm;
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.3}mm\" height=\"{height:.3}mm\" viewBox=\"0 0 {width:.3} {height:.3}\" {FONT} fill=\"#000\">\n<title>{}</title>\n",
        escaped(title)
    )
}

pub(super) fn head(text: &mut String, name: &str, when: &str, about: &str, face: GuideFace) {
    let bold = "font-weight=\"bold\"";
    words_at(text, (MARGIN, MARGIN + 5.0), 5.4, bold, name);
    words_at(text, (MARGIN, MARGIN + 10.2), 3.6, "", &format!("{when} · {about}"));
    let face = match face {
        GuideFace::Copper => {
            "Mirrored, for the copper: as you look at the plate’s bitten face. The print is its mirror image."
        }
        GuideFace::Paper => {
            "Right way round, as printed: to lie beside the proof, or face down for a transfer. The copper is its mirror image."
        }
    };
    words_at(text, (MARGIN, MARGIN + 15.2), 3.4, bold, face);
}

/// Which sheet this is, and where it lies among the others.
pub(super) fn key(text: &mut String, layout: &Layout, place: Place, name: &str) {
    let shown = (layout.plate_mm.0, layout.plate_mm.1);
    let scale = 15.0 / shown.0.max(shown.1);
    let (w, h) = layout.tile_mm;
    let right = layout.page_mm.0 - MARGIN;
    let _ = writeln!(
        text,
        "<g transform=\"translate({:.3} {:.3}) scale({scale:.5})\" stroke=\"{JOIN}\" stroke-width=\"{:.3}\">",
        right - shown.0 * scale,
        MARGIN + 0.5,
        0.2 / scale
    );
    for other in layout.places() {
        let (x, y) = layout.tile_at(other);
        let fill = if other == place { JOIN } else { "none" };
        let _ = writeln!(
            text,
            "<rect x=\"{x:.2}\" y=\"{y:.2}\" width=\"{w:.2}\" height=\"{h:.2}\" fill=\"{fill}\" fill-opacity=\".25\"/>"
        );
    }
    text.push_str("</g>\n");
    let end = format!("text-anchor=\"end\" font-weight=\"bold\" fill=\"{JOIN}\"");
    words_at(text, (right - shown.0 * scale - 2.5, MARGIN + 5.0), 5.4, &end, name);
}

/// Where the sheets join, and their registration marks.
pub(super) fn joins(text: &mut String, layout: &Layout, place: Option<Place>) {
    let (across, down) = layout.joins();
    let dashed = format!("stroke=\"{JOIN}\" stroke-width=\".2\" stroke-dasharray=\"3 1.5\"");
    let (left, top, right, bottom) = (-9.0, -9.0, layout.plate_mm.0 + 9.0, layout.plate_mm.1 + 9.0);
    for x in &across {
        let _ = writeln!(text, "<path {dashed} d=\"M{x:.3} {top:.2}V{bottom:.2}\"/>");
    }
    for y in &down {
        let _ = writeln!(text, "<path {dashed} d=\"M{left:.2} {y:.3}H{right:.2}\"/>");
    }
    for (x, y) in layout.marks() {
        let arms = format!(
            "M{:.3} {y:.3}h{:.2}M{x:.3} {:.3}v{:.2}",
            x - ARM,
            2.0 * ARM,
            y - ARM,
            2.0 * ARM
        );
        for (colour, wide) in [("#fff", 1.0), (JOIN, 0.2)] {
            let _ = writeln!(
                text,
                "<g stroke=\"{colour}\" stroke-width=\"{wide}\"><circle cx=\"{x:.3}\" cy=\"{y:.3}\" r=\"2\"/><path d=\"{arms}\"/></g>"
            );
        }
    }
    let Some(place) = place else { return };
    // Which sheet comes next, beside the joins in the middle of their length.
    let (tile_left, tile_top) = layout.tile_at(place);
    let (middle_x, middle_y) =
        (tile_left + layout.tile_mm.0 / 2.0, tile_top + layout.tile_mm.1 / 2.0);
    let inner = LAP / 2.0 + 3.0;
    let next_to = |column: usize, row: usize| format!("{} →", Place { column, row }.name());
    if place.column < across.len() {
        let x = tile_left + layout.tile_mm.0 - inner;
        label(text, (x - 4.0, middle_y), 3.4, JOIN, &next_to(place.column + 1, place.row));
    }
    if place.row < down.len() {
        let words = format!("↓ {}", Place { column: place.column, row: place.row + 1 }.name());
        label(text, (middle_x, tile_top + layout.tile_mm.1 - inner), 3.4, JOIN, &words);
    }
}

/// The ruler, and how to print.
pub(super) fn foot(text: &mut String, layout: &Layout, units: Units) {
    let ruler = match units {
        Units::Metric => CENTIMETRES,
        Units::Us => INCHES,
    };
    let (left, y) = (MARGIN, layout.page_mm.1 - MARGIN - 5.0);
    let _ = writeln!(
        text,
        "<path fill=\"none\" stroke=\"#000\" stroke-width=\".2\" d=\"M{left} {y:.2}h{:.1}\"/>",
        ruler.length_mm
    );
    let mut ticks = String::new();
    for at in 0..=ruler.divisions {
        let line = ruler.lines.iter().find(|(every, _)| at % every == 0);
        let high = line.map_or(0.0, |(_, high)| *high);
        let along = ruler.length_mm * at as f64 / ruler.divisions as f64;
        let _ = write!(ticks, "M{:.4} {y:.2}v-{high}", left + along);
    }
    let _ =
        writeln!(text, "<path fill=\"none\" stroke=\"#000\" stroke-width=\".12\" d=\"{ticks}\"/>");
    for (part, words) in ruler.words {
        let x = left + part * ruler.length_mm;
        words_at(text, (x, y + 4.2), 3.2, "text-anchor=\"middle\"", words);
    }
    let right = left + ruler.length_mm + 11.0;
    words_at(
        text,
        (right, y - 1.0),
        3.4,
        "font-weight=\"bold\"",
        "Print at 100 %: “actual size”, not fitted.",
    );
    words_at(text, (right, y + 3.4), 3.2, "", ruler.measure);
}

pub(super) fn words_at(text: &mut String, (x, y): (f64, f64), size: f64, look: &str, words: &str) {
    let _ = writeln!(
        text,
        "<text x=\"{x:.2}\" y=\"{y:.2}\" font-size=\"{size}\" {look}>{}</text>",
        escaped(words)
    );
}

/// Words over the drawing, kept legible by a white edge.
pub(super) fn label(text: &mut String, (x, y): (f64, f64), size: f64, colour: &str, words: &str) {
    if !words.is_empty() {
        let look = format!(
            "fill=\"{colour}\" stroke=\"#fff\" stroke-width=\"{:.2}\" stroke-linejoin=\"round\" paint-order=\"stroke\" text-anchor=\"middle\" font-weight=\"bold\"",
            size / 3.5
        );
        words_at(text, (x, y + size / 3.0), size, &look, words);
    }
}

/// Words as they may stand in SVG.
pub(super) fn escaped(words: &str) -> String {
    let mut text = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '&' => text.push_str("&amp;"),
            '<' => text.push_str("&lt;"),
            '>' => text.push_str("&gt;"),
            '"' => text.push_str("&quot;"),
            // XML knows no other control characters.
            control if control.is_control() => text.push(' '),
            letter => text.push(letter),
        }
    }
    text
}
