//! Smooth random fields: the same number at the same place, whoever asks.

/// A word in which every bit of seed and place has had its say (the finalizer of SplitMix64, as in
/// [`crate::ground::grains`]).
pub(super) fn word(seed: u32, ix: i64, iy: i64) -> u64 {
    let place = (u64::from(ix as u32) << 32) | u64::from(iy as u32);
    let mut z = mix(u64::from(seed) ^ 0x6661_756c_7400_0000) ^ place;
    z = mix(z);
    z
}

pub(super) fn mix(word: u64) -> u64 {
    let mut z = word.wrapping_add(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// A word as a number from 0 up to 1.
pub(super) fn part(word: u64) -> f64 {
    (word >> 11) as f64 / 9_007_199_254_740_992.0
}

/// A smooth field from 0 to 1: random numbers a unit apart, and smooth steps between them. Half its places lie between 0.36 and 0.64.
#[inline(never)] // keeps the page small
pub(super) fn smooth(seed: u32, x: f64, y: f64) -> f64 {
    Smooth::new(seed).at(x, y)
}

/// The same, with the four numbers about the place that was asked for last.
pub(super) struct Smooth {
    seed: u32,
    from: (f64, f64),
    corners: [f64; 4],
}

impl Smooth {
    pub(super) fn new(seed: u32) -> Self {
        Self { seed, from: (f64::NAN, f64::NAN), corners: [0.0; 4] }
    }

    #[inline(never)] // keeps the page small
    pub(super) fn at(&mut self, x: f64, y: f64) -> f64 {
        // Neighbours mostly lie between the same four.
        let within = |at: f64, from: f64| at >= from && at < from + 1.0;
        if !(within(x, self.from.0) && within(y, self.from.1)) {
            let from = (libm::floor(x), libm::floor(y));
            let (ix, iy) = (from.0 as i64, from.1 as i64);
            let at = |(dx, dy): (i64, i64)| part(word(self.seed, ix + dx, iy + dy));
            self.corners = [(0, 0), (1, 0), (0, 1), (1, 1)].map(at);
            self.from = from;
        }
        let [a, b, c, d] = self.corners;
        let (tx, ty) = (step(x - self.from.0), step(y - self.from.1));
        let (above, below) = (a + tx * (b - a), c + tx * (d - c));
        above + ty * (below - above)
    }
}

/// A smooth step from 0 to 1 for `t` from 0 to 1.
#[inline(never)] // keeps the page small
pub(super) fn step(t: f64) -> f64 {
    let t = t.clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}
