//! Boats: luggers at their moorings, a rowing boat, a sail far out.

use super::brush::{Canvas, Point, VALUE_L, hanging, rough, smooth};
use super::noise::noise;

/// A decked fishing boat seen from the side.
pub(super) struct Boat {
    /// Middle of its waterline.
    pub(super) at: Point,
    /// Units for each metre.
    pub(super) scale: f32,
    /// 1 when the bow points right, −1 left.
    pub(super) bow: f32,
    /// Values of hull, its lit strake, sails and spars.
    pub(super) values: [usize; 4],
    pub(super) seed: u32,
}

impl Boat {
    /// From metres along the boat (towards its bow) and above the water.
    fn p(&self, along: f32, up: f32) -> Point {
        (self.at.0 + self.bow * self.scale * along, self.at.1 - self.scale * up)
    }

    fn shape(&self, points: &[Point]) -> Vec<Point> {
        points.iter().map(|(along, up)| self.p(*along, *up)).collect()
    }

    pub(super) fn draw(&self, canvas: &mut Canvas) {
        let [hull, strake, sail, spar] = self.values.map(|value| VALUE_L[value]);
        let shade = VALUE_L[self.values[2] + 2];
        let s = self.scale;
        let thin = (0.045 * s).max(1.1);
        // Masts, raked a little aft; main forward, mizzen aft.
        let (main_foot, main_top) = (self.p(1.3, 0.6), self.p(0.95, 9.6));
        let (mizzen_foot, mizzen_top) = (self.p(-3.5, 0.6), self.p(-3.75, 6.4));
        let bowsprit = self.p(7.6, 2.35);
        canvas.line(self.p(3.8, 1.55), bowsprit, 0.13 * s, spar);
        canvas.stroke(&[main_foot, main_top], 0.26 * s, 0.13 * s, spar);
        canvas.stroke(&[mizzen_foot, mizzen_top], 0.2 * s, 0.1 * s, spar);
        // Standing rigging.
        for (from, to) in [
            (self.p(1.0, 8.7), bowsprit),
            (self.p(1.02, 7.6), self.p(5.0, 1.75)),
            (self.p(1.0, 8.2), self.p(0.1, 1.1)),
            (self.p(1.0, 8.2), self.p(2.2, 1.15)),
            (self.p(-3.7, 5.6), self.p(-4.6, 1.3)),
            (self.p(-3.7, 5.6), self.p(-2.6, 1.1)),
            (self.p(0.95, 9.3), self.p(-3.73, 6.1)),
        ] {
            canvas.stroke(&hanging(from, to, 0.03 * s), thin, thin, spar);
        }
        self.furled(canvas, (1.15, 1.95), (-3.0, 2.35), 0.34, sail);
        self.furled(canvas, (-3.6, 2.0), (-6.4, 2.3), 0.24, sail);
        // Gaff lowered half way, its sail hanging in a loose bag to dry.
        let drying = smooth(&[(1.1, 6.9), (0.2, 7.35), (-1.2, 8.0), (-2.35, 8.45)]);
        let slack = smooth(&[
            (-2.35, 8.45),
            (-2.1, 7.0),
            (-1.6, 5.2),
            (-0.7, 4.1),
            (0.1, 4.5),
            (0.7, 3.5),
            (1.12, 3.2),
        ]);
        let bag: Vec<Point> = drying.iter().chain(&slack).copied().collect();
        canvas.fill(&rough(&self.shape(&bag), 0.06 * s, 0.9 * s, self.seed), sail);
        // Folds in the slack canvas.
        for (top, foot) in
            [((-0.4, 7.4), (-0.9, 4.5)), ((-1.3, 7.8), (-1.75, 5.0)), ((0.5, 7.0), (0.15, 4.1))]
        {
            let fold = hanging(self.p(top.0, top.1), self.p(foot.0, foot.1), 0.0);
            canvas.stroke(&fold, 0.04 * s, 0.26 * s, shade);
        }
        canvas.line(self.p(1.15, 6.85), self.p(-2.5, 8.5), 0.14 * s, spar);
        // Wheelhouse aft of the main mast.
        canvas.fill(&self.shape(&[(-2.6, 0.9), (-2.5, 2.15), (-1.1, 2.2), (-1.0, 0.9)]), hull);
        canvas.fill(&self.shape(&[(-2.8, 2.12), (-2.7, 2.3), (-0.95, 2.34), (-0.9, 2.16)]), strake);
        canvas.fill(
            &self.shape(&[(-1.75, 1.5), (-1.75, 1.95), (-1.3, 1.95), (-1.3, 1.5)]),
            VALUE_L[0],
        );
        canvas.fill(
            &self.shape(&[(-2.35, 1.5), (-2.35, 1.95), (-1.95, 1.95), (-1.95, 1.5)]),
            VALUE_L[0],
        );
        // Hull: sheer rising to the bow, upright stem, counter stern.
        let sheer =
            smooth(&[(-5.6, 1.42), (-3.6, 1.1), (-1.0, 1.0), (1.6, 1.2), (3.6, 1.62), (5.15, 2.2)]);
        let keel = [(5.0, 1.2), (4.75, 0.2), (4.6, -0.06), (-4.5, -0.06), (-5.0, 0.35)];
        let whole: Vec<Point> = sheer.iter().chain(&keel).copied().collect();
        canvas.fill(&self.shape(&whole), hull);
        let rail: Vec<Point> = self.shape(&sheer);
        canvas.stroke(&rail, 0.1 * s, 0.13 * s, strake);
        let lower: Vec<Point> =
            sheer.iter().map(|(along, up)| (along * 0.985, up - 0.36)).collect();
        canvas.stroke(&self.shape(&lower), 0.07 * s, 0.05 * s, strake);
        // Weed and wet shine where the hull meets the water.
        let wet: Vec<Point> = (0..=24)
            .map(|i| {
                let along = -4.4 + 9.0 * i as f32 / 24.0;
                (along, 0.05 + 0.05 * noise(along * 1.7, 0.0, self.seed))
            })
            .collect();
        canvas.stroke(&self.shape(&wet), 0.06 * s, 0.08 * s, strake);
    }

    /// A sail lashed along its boom.
    fn furled(&self, canvas: &mut Canvas, from: Point, to: Point, thick: f32, tone: f32) {
        let count = 22;
        let mut upper = Vec::new();
        let mut lower = Vec::new();
        for i in 0..=count {
            let t = i as f32 / count as f32;
            let (along, up) = (from.0 + (to.0 - from.0) * t, from.1 + (to.1 - from.1) * t);
            let lashing = if i % 4 == 0 { 0.55 } else { 1.0 };
            let fat = thick * lashing * (0.35 + 0.65 * libm::sqrtf(1.0 - t));
            upper.push((along, up + fat * (1.0 + 0.25 * noise(t * 9.0, 0.0, self.seed))));
            lower.push((along, up - 0.1 * fat));
        }
        lower.reverse();
        upper.extend(lower);
        canvas.fill(&self.shape(&upper), tone);
        canvas.line(
            self.p(from.0, from.1),
            self.p(to.0 + 0.1 * (to.0 - from.0), to.1),
            0.13 * self.scale,
            VALUE_L[self.values[3]],
        );
    }
}

/// A rowing boat at its painter, seen a little from above.
/// `whole` adds what its own reflection can't show.
pub(super) fn dinghy(canvas: &mut Canvas, at: Point, s: f32, whole: bool) {
    let p = |x: f32, y: f32| (at.0 + s * x, at.1 + s * y);
    let shape = |points: &[Point]| -> Vec<Point> { points.iter().map(|q| p(q.0, q.1)).collect() };
    let rim = smooth(&[(-2.1, -0.72), (-1.0, -0.82), (0.6, -0.9), (1.7, -0.98), (2.5, -1.12)]);
    let near = smooth(&[(2.5, -1.12), (1.6, -0.62), (0.2, -0.36), (-1.2, -0.36), (-2.15, -0.5)]);
    let inside: Vec<Point> = rim.iter().chain(&near).copied().collect();
    let side = smooth(&[
        (-2.15, -0.5),
        (-2.0, -0.1),
        (-1.2, 0.06),
        (0.4, 0.06),
        (1.7, -0.14),
        (2.3, -0.6),
        (2.5, -1.12),
    ]);
    let hull: Vec<Point> = near.iter().chain(&side).copied().collect();
    canvas.fill(&shape(&inside), VALUE_L[5]);
    canvas.fill(&shape(&hull), VALUE_L[7]);
    if !whole {
        return;
    }
    for x in [-1.25, 0.1, 1.25] {
        canvas.fill(
            &shape(&[(x - 0.18, -0.42), (x - 0.05, -0.82), (x + 0.2, -0.84), (x + 0.12, -0.42)]),
            VALUE_L[2],
        );
    }
    canvas.stroke(&shape(&near), 0.07 * s, 0.07 * s, VALUE_L[1]);
    canvas.stroke(&shape(&rim), 0.05 * s, 0.06 * s, VALUE_L[7]);
    canvas.fill(&shape(&[(-2.1, -0.72), (-2.15, -0.5), (-2.0, -0.1), (-1.95, -0.5)]), VALUE_L[6]);
    // Shipped oars.
    canvas.line(p(-1.5, -0.66), p(1.9, -0.86), 0.07 * s, VALUE_L[3]);
    canvas.line(p(-1.6, -0.56), p(1.7, -0.74), 0.07 * s, VALUE_L[3]);
}

/// A sail far out on the water.
pub(super) fn far_sail(canvas: &mut Canvas, at: Point, s: f32, value: usize) {
    let p = |x: f32, y: f32| (at.0 + s * x, at.1 - s * y);
    canvas.fill(&[p(-0.9, 0.9), p(0.05, 4.6), p(0.15, 0.8)], VALUE_L[value]);
    canvas.fill(&[p(0.3, 0.8), p(0.2, 3.9), p(1.25, 0.7)], VALUE_L[value]);
    canvas.fill(&[p(-1.3, 0.55), p(1.6, 0.65), p(1.2, 0.0), p(-1.0, 0.0)], VALUE_L[value + 1]);
}
