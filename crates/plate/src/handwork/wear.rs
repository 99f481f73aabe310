//! Wear: what wiping and printing take off the lands.

use super::WorkConstants;

/// Copper under the wiping hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wear {
    /// Bare copper.
    Bare,
    /// Steel-faced copper.
    SteelFaced,
}

/// Places of the histogram to a µm.
const PER_UM: f64 = 20.0;

/// How far the lands of one value are worn down after each of these numbers of impressions
/// (rising), µm below the plane.
///
/// `below_um` is how deep each pixel of a sample lies below the plane. Each impression takes off a
/// fixed volume: dw/dN = rate ÷ share of the copper at or above the worn level (Archard's law, load
/// shared by what bears it).
#[must_use]
pub fn worn_um(below_um: &[f32], wear: Wear, impressions: &[u32], c: &WorkConstants) -> Vec<f64> {
    let rate = match wear {
        Wear::Bare => c.wear_um_per_impression,
        Wear::SteelFaced => c.wear_um_per_impression * c.steel_share,
    };
    let deepest = below_um.iter().fold(0.0_f32, |a, &b| a.max(b));
    let mut counts = vec![0_u32; (f64::from(deepest) * PER_UM) as usize + 2];
    for &below in below_um {
        counts[(f64::from(below.max(0.0)) * PER_UM) as usize] += 1;
    }
    // Volume that must go before the level reaches each step, µm of the whole area.
    let n = below_um.len().max(1) as f64;
    let (mut bearing, mut volume) = (0.0, 0.0);
    let mut answers = Vec::with_capacity(impressions.len());
    let mut next = impressions.iter();
    let mut wanted = next.next();
    for (step, &count) in counts.iter().enumerate() {
        bearing += f64::from(count) / n;
        let after = volume + bearing / PER_UM;
        while let Some(&number) = wanted {
            let gone = rate * f64::from(number);
            if gone > after {
                break;
            }
            let part = if after > volume { (gone - volume) / (after - volume) } else { 0.0 };
            answers.push((step as f64 + part.max(0.0)) / PER_UM);
            wanted = next.next();
        }
        volume = after;
    }
    // Worn to the bottom of the deepest pit: from there on all of it goes down evenly.
    while let Some(&number) = wanted {
        let more = rate * f64::from(number) - volume;
        answers.push(counts.len() as f64 / PER_UM + more.max(0.0));
        wanted = next.next();
    }
    answers
}
