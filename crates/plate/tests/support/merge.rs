//! A plain fall, melt and merge of grains on a small field without borders, as slow as it is
//! simple: an independent check of the bake's steps and of its closed forms.

use plate::bake::Baked;
use plate::dust::LandedDust;

/// One dome: place in µm, volume in µm³, footprint radius in µm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Drop {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) volume: f64,
    pub(crate) radius: f64,
}

/// Evenly spread numbers in 0..1 (SplitMix64), good enough for a check and the same everywhere.
pub(crate) struct Chance(pub(crate) u64);

impl Chance {
    pub(crate) fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }
}

/// Grains of landed dust on a square field, unmelted: radius 0.
pub(crate) fn fall(dust: &LandedDust, side_um: f64, chance: &mut Chance) -> Vec<Drop> {
    let mut drops = Vec::new();
    for class in &dust.classes {
        let wanted = class.grains_per_mm2 * side_um * side_um * 1e-6;
        let mut count = wanted as usize;
        if chance.next() < wanted - count as f64 {
            count += 1;
        }
        for _ in 0..count {
            let d =
                class.from_um * libm::exp(chance.next() * libm::log(class.to_um / class.from_um));
            let volume = dust.solid_share * core::f64::consts::PI / 6.0 * d * d * d;
            drops.push(Drop {
                x: chance.next() * side_um,
                y: chance.next() * side_um,
                volume,
                radius: 0.0,
            });
        }
    }
    drops
}

/// Shortest way between two places on a field without borders.
fn wrapped(d: f64, side: f64) -> f64 {
    d - side * (d / side).round()
}

/// Merges all that touch, (1 − pinning)·(a₁ + a₂) apart or nearer, at the volume centroid, in rounds:
/// in each, the pairs that overlap most first, every drop once. Pairs whose radii together exceed
/// `limit` stay apart.
pub(crate) fn merge(
    drops: &mut Vec<Drop>,
    side: f64,
    pinning: f64,
    limit: f64,
    radius: &dyn Fn(f64) -> f64,
) {
    loop {
        for drop in drops.iter_mut() {
            drop.radius = radius(drop.volume);
        }
        let mut pairs = touching(drops, side, pinning, limit);
        if pairs.is_empty() {
            return;
        }
        pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut done = vec![false; drops.len()];
        for (_, i, j) in pairs {
            if done[i] || done[j] {
                continue;
            }
            (done[i], done[j]) = (true, true);
            let (one, other) = (drops[i], drops[j]);
            let volume = one.volume + other.volume;
            let share = other.volume / volume;
            let x = (one.x - wrapped(one.x - other.x, side) * share).rem_euclid(side);
            let y = (one.y - wrapped(one.y - other.y, side) * share).rem_euclid(side);
            drops[i] = Drop { x, y, volume, radius: 0.0 };
            drops[j].volume = 0.0;
        }
        drops.retain(|drop| drop.volume > 0.0);
    }
}

/// All pairs that touch, with their distance over the sum of their radii. Sorts the drops from left
/// to right, so that each need only look as far as the widest pair reaches.
fn touching(drops: &mut [Drop], side: f64, pinning: f64, limit: f64) -> Vec<(f64, usize, usize)> {
    drops.sort_by(|a, b| a.x.total_cmp(&b.x));
    let widest = drops.iter().map(|drop| 2.0 * drop.radius).fold(0.0, f64::max).min(0.49 * side);
    let mut pairs = Vec::new();
    for (i, one) in drops.iter().enumerate() {
        for j in (i + 1..drops.len()).chain(0..i) {
            let other = drops[j];
            let dx = (other.x - one.x).rem_euclid(side);
            if dx > widest {
                break;
            }
            let reach = one.radius + other.radius;
            let dy = wrapped(one.y - other.y, side);
            let near = (1.0 - pinning) * reach;
            if reach < limit && dx * dx + dy * dy < near * near {
                pairs.push((libm::sqrt(dx * dx + dy * dy) / reach, i, j));
            }
        }
    }
    pairs
}

/// Share of the field under discs, counted on pixels of `px` µm.
pub(crate) fn cover(drops: &[Drop], side: f64, px: f64) -> f64 {
    let n = (side / px) as i64;
    let mut hidden = vec![false; (n * n) as usize];
    for drop in drops {
        let reach = (drop.radius / px) as i64 + 1;
        let (cx, cy) = ((drop.x / px) as i64, (drop.y / px) as i64);
        for y in cy - reach..=cy + reach {
            for x in cx - reach..=cx + reach {
                let (dx, dy) = ((x as f64 + 0.5) * px - drop.x, (y as f64 + 0.5) * px - drop.y);
                if dx * dx + dy * dy < drop.radius * drop.radius {
                    hidden[(y.rem_euclid(n) * n + x.rem_euclid(n)) as usize] = true;
                }
            }
        }
    }
    hidden.iter().filter(|&&h| h).count() as f64 / hidden.len() as f64
}

/// Dust melted through all steps of a bake; domes at or above `hold_deg` are taken off.
pub(crate) fn melt(
    dust: &LandedDust,
    baked: &Baked,
    side: f64,
    hold_deg: f64,
    seed: u64,
) -> Vec<Drop> {
    let mut drops = fall(dust, side, &mut Chance(seed));
    for step in &baked.steps {
        let radius = |volume: f64| step.footprint.of_volume(volume).0;
        merge(&mut drops, side, step.pinning, step.merge_limit_um, &radius);
    }
    let last = &baked.steps[baked.steps.len() - 1];
    drops.retain(|drop| last.footprint.of_volume(drop.volume).1 < hold_deg);
    drops
}
