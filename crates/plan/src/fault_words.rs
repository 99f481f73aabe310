//! What is to be known of each fault, in words: how it looks, what it is taken for, how it is avoided and mended.

use crate::fault_steps::{FaultMend, FaultStep};
use crate::faults::{FaultKind, FaultPlace};
use crate::full_size::FullSize;
use crate::sentence::Sentence;
use serde::Serialize;

/// A fault, as page and native program tell of it.
#[derive(Clone, Debug, Serialize, ts_rs::TS)]
pub struct FaultInfo {
    /// Which.
    pub kind: FaultKind,
    /// How one calls it, within a sentence.
    pub name: &'static str,
    /// The step in which it happens.
    pub step: FaultStep,
    /// Where it lies.
    pub place: FaultPlace,
    /// It begins at its place and runs straight down, as far as its radius.
    pub runs_down: bool,
    /// It matters before which bite it comes.
    pub has_bite: bool,
    /// What happens, and how it prints.
    pub happens: &'static str,
    /// What the full size, 1, stands for, in a sentence.
    pub full_size: Sentence,
    /// The same as a number, with what a shop may meet.
    pub full: FullSize,
    /// What it is mistaken for.
    pub mistaken_for: &'static str,
    /// How it is avoided.
    pub avoid: &'static str,
    /// How it is mended.
    pub mend: &'static str,
    /// What does that once the plate is bitten.
    pub mended_by: FaultMend,
    /// Which state of the plate does it.
    pub mended_in: &'static str,
    /// Where that comes from.
    pub source: &'static str,
}

const PRACTICE: &str = "common practice, no source";

/// In the order of the texts: what happens, what it is mistaken for, how it is avoided, how it is mended.
const fn told(kind: FaultKind, texts: [&'static str; 4]) -> (FaultKind, [&'static str; 4]) {
    (kind, texts)
}

const WORDS: [(FaultKind, [&str; 4]); 17] = [
    told(
        FaultKind::Draught,
        [
            "Moving air carries dust past part of the plate in tongues. Less resin lies there, so that the copper opens wide and prints uneven, first too dark and in the deep values too pale.",
            "A bath that bites unevenly.",
            "Keep doors and windows shut, lay the plate in the middle of the box, and close the flap gently.",
            "Before the bake: wipe all the dust off and dust again. After the bite: a new ground over the place.",
        ],
    ),
    told(
        FaultKind::Jolt,
        [
            "A knock on the way to the hot plate makes dust slide off in patches with clear borders. The bare copper bites open, holds little ink and prints a pale grey.",
            "Grease on the plate, or varnish that lifted.",
            "Carry the plate level with both hands, set it down without a knock, and bake it near the box.",
            "Before the bake: wipe and dust again. After the bite: a new ground over the patches.",
        ],
    ),
    told(
        FaultKind::Fingerprint,
        [
            "Where a finger touched the degreased copper neither rosin nor varnish holds. The ridges of the finger bite open, in pale places as well, and print as a dark print of the finger.",
            "Pinholes, or a dirty cloth at wiping.",
            "Degrease last of all, rinse until water runs off in an unbroken film, and hold the plate by its edges.",
            "Scrape and burnish the ridges; where they are deep, a new ground over the place.",
        ],
    ),
    told(
        FaultKind::HotSpot,
        [
            "The hot plate is hotter in one place, and the resin there runs wider. Less copper stays open, so that the place prints too pale.",
            "Too much dust.",
            "Let the hot plate warm through, turn the copper while it bakes, and try the plate with strips of paper first.",
            "Before the bite: take the ground off with spirit and lay it again. After it: longer bites of that place alone.",
        ],
    ),
    told(
        FaultKind::UnderBaked,
        [
            "A corner hangs over the hot plate or lies near a draught and stays cooler. The grains stand as balls or only stick at a point; they float off in the bath, and the corner bites open.",
            "Too little dust in the corner.",
            "Lay the whole plate on the heat and watch the corners: the dust must turn clear everywhere.",
            "Before the bite: bake again, the corner over the heat. After it: a new ground over the corner.",
        ],
    ),
    told(
        FaultKind::GroundPinholes,
        [
            "Specks of dirt or water leave small holes in the resin. Each bites as an open pit: a dark speck in middle values, hardly seen in those bitten for a short time or among coarse grain.",
            "Specks in the paper, or dirt in the ink.",
            "Work in a clean box, sieve the rosin, and let no drop of water fall on the dusted plate.",
            "Stop the holes out as soon as they are seen; later scrape and burnish each.",
        ],
    ),
    told(
        FaultKind::VarnishPinholes,
        [
            "Varnish laid too thin or not yet dry leaves holes, through which the bath goes on biting places that were stopped out: foul biting, dark specks in the lights.",
            "Pinholes in the ground; those show in places that are bitten as well.",
            "Two thin coats, each dry before the next, and a look against the light before the plate goes back.",
            "Rinse, dry and stop out again at once; later scrape and burnish each speck.",
        ],
    ),
    told(
        FaultKind::VarnishLifting,
        [
            "Varnish lets go of the copper at its edge, and the bath creeps in under it. Beside the borders of values what was stopped out is bitten on along a ragged front, which prints as a dark fringe.",
            "A border painted unevenly, or bath that ran under a splinter of resin.",
            "Degrease before painting, let each coat dry through, paint a little over the border, and keep the bite after it short.",
            "Rinse, dry and paint the edge anew before the next bite; later scrape and burnish the fringe.",
        ],
    ),
    told(
        FaultKind::Sediment,
        [
            "Mud of spent bath settles on a plate that lies face up, and keeps fresh bath away. The bite is shallower in patches, and they print too pale.",
            "A bath that has tired.",
            "Bite face down or on edge, rock the tray, brush the plate with a feather, and draw the bath off its mud.",
            "Bite the place again with all else stopped out.",
        ],
    ),
    told(
        FaultKind::DrainingStreak,
        [
            "Bath that runs off a lifted plate goes on biting along its way. A streak prints darker, straight down from where it began.",
            "A streak of the wiping.",
            "Flood the plate with water as it leaves the bath, and turn it while it drains.",
            "Burnish the streak down to the tone beside it.",
        ],
    ),
    told(
        FaultKind::BareBack,
        [
            "The back lies in the bath uncovered and dissolves as well. The copper that it gives tires the bath, and later bites come out shallower than planned: much in a small bath, hardly in a large one.",
            "A bath that was weaker than its reading.",
            "Cover back and edges with varnish or film, and look at it between bites.",
            "Replace or refresh the bath, and time the bites that are left anew.",
        ],
    ),
    told(
        FaultKind::Drip,
        [
            "A drip falls from the brush on copper that was still to bite. It is stopped out from that bite on, and prints as a paler spot with a sharp border.",
            "A bubble that sat on the plate, or grease.",
            "Keep the brush over what is covered already, and wipe it off at the rim of the cup.",
            "Take it off with spirit before the next bite if the ground bears it; later bite the spot again by spit-bite.",
        ],
    ),
    told(
        FaultKind::UnevenWiping,
        [
            "The cloth leaves more ink here than there: soft clouds of grey over lights and darks, another on each print.",
            "A plate bitten unevenly; a second print from the same plate tells.",
            "Wipe in circles with a cloth folded flat, turn it often, and end with light strokes one way.",
            "Ink and wipe again.",
        ],
    ),
    told(
        FaultKind::EdgeTone,
        [
            "Ink stays along the edges, where the cloth lifts. The print has a grey border that fades inwards.",
            "Bath that crept under the varnish at the edges.",
            "Wipe towards the edges and over them, and clean bevel and border with a rag and whiting.",
            "Ink and wipe again.",
        ],
    ),
    told(
        FaultKind::DryPaper,
        [
            "Dry paper neither bends into the pits nor takes up the ink: the print is pale and grainy there.",
            "A bite that was too shallow.",
            "Damp all sheets alike, leave them overnight under a weight, and cover those that wait.",
            "Damp the paper anew and print again.",
        ],
    ),
    told(
        FaultKind::WetPaper,
        [
            "Water that stands on the sheet keeps the oily ink away: pale blots with soft borders.",
            "Oil or grease on the plate, or a plate wiped too hard.",
            "Blot each sheet until no place of it shines.",
            "Blot, or hang the sheet for some minutes, and print again.",
        ],
    ),
    told(
        FaultKind::MissingBlanket,
        [
            "With a blanket fewer and the rollers left as they were, the paper is pressed less: the whole print is paler, the deep values most.",
            "A plate bitten too short, or ink too thin.",
            "Count the blankets before each run, and set the pressure by a first sheet.",
            "Put the blanket back or set the pressure anew, and print again.",
        ],
    ),
];

/// Every kind of fault, in the order of the bench.
#[must_use]
pub fn faults_in_words() -> Vec<FaultInfo> {
    WORDS
        .iter()
        .map(|&(kind, [happens, mistaken_for, avoid, mend])| FaultInfo {
            kind,
            name: kind.name(),
            step: kind.step(),
            place: kind.place(),
            runs_down: kind.runs_down(),
            has_bite: kind.has_bite(),
            happens,
            full_size: kind.full_size().said(),
            full: kind.full_size(),
            mistaken_for,
            avoid,
            mend,
            mended_by: kind.mended_by(),
            mended_in: kind.mended_by().sentence(),
            source: PRACTICE,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::faults_in_words;
    use crate::faults::{FAULT_KINDS, FaultKind};
    use crate::sentence::Units;

    #[test]
    fn every_fault_is_told_once_in_whole_sentences() {
        let all = faults_in_words();
        for kind in FAULT_KINDS {
            assert_eq!(all.iter().filter(|info| info.kind == kind).count(), 1, "{kind:?} once");
        }
        assert_eq!(all.len(), FAULT_KINDS.len(), "and no other");
        for info in all {
            let full_size = info.full_size.in_units(Units::Metric);
            let full_size = full_size.as_str();
            for text in [info.happens, full_size, info.mistaken_for, info.avoid, info.mend] {
                assert!(text.ends_with('.') && text.len() > 10, "{}: {text}", info.name);
            }
            assert!(full_size.starts_with("At 1,") && !full_size.contains('{'), "{full_size}");
            let full = info.full;
            assert!(full.min <= full.amount && full.amount <= full.max, "{full:?}");
            assert!(full_size.contains(&format!("{} {}", full.amount, full.unit)), "{full_size}");
        }
    }

    #[test]
    fn who_reads_in_us_units_is_told_in_them() {
        for info in faults_in_words() {
            let us = info.full_size.in_units(Units::Us);
            assert!(!us.contains("°C") && !us.contains(" mm"), "{us}");
        }
        let hot = FaultKind::HotSpot.full_size().said().in_units(Units::Us);
        assert!(hot.contains("54 °F hotter"), "a difference, without the 32: {hot}");
    }
}
