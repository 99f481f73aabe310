//! Drawing tools: a canvas of tones, filled shapes, strokes, and noise for hand-made edges.

/// A point of the drawing, in its units (the picture is 900 wide and 1200 high).
pub(super) type Point = (f32, f32);

/// Tone (L*) of the paper and the seven values: the middle of what the plan's default thresholds
/// give to each, so that every flat area falls clearly into its value.
pub(super) const VALUE_L: [f32; 8] = [97.0, 85.0, 74.5, 63.5, 52.5, 42.0, 32.5, 20.0];

/// How units turn into pixels.
#[derive(Clone, Copy)]
pub(super) struct View {
    pub(super) px_per_unit: f32,
    pub(super) left: f32,
    pub(super) top: f32,
}

/// Part of the picture as tones with their cover, so that it can be laid over others and mirrored
/// in the water.
pub(super) struct Canvas {
    view: View,
    left_px: i32,
    top_px: i32,
    pub(super) width: usize,
    pub(super) height: usize,
    /// L* times cover.
    tone: Vec<f32>,
    /// Cover, 0–1.
    cover: Vec<f32>,
    scratch: Vec<f32>,
}

impl Canvas {
    /// An empty canvas over the units from the top left to the bottom right.
    pub(super) fn new(view: View, from: Point, until: Point) -> Self {
        let px = |unit: f32, edge: f32| libm::floorf((unit - edge) * view.px_per_unit) as i32;
        let (left_px, top_px) = (px(from.0, view.left), px(from.1, view.top));
        let width = (px(until.0, view.left) + 1 - left_px).max(1) as usize;
        let height = (px(until.1, view.top) + 1 - top_px).max(1) as usize;
        Self::of_pixels(view, (left_px, top_px), width, height)
    }

    /// An empty canvas of so many pixels.
    pub(super) fn of_pixels(view: View, at: (i32, i32), width: usize, height: usize) -> Self {
        let empty = || vec![0.0; width * height];
        let (left_px, top_px) = at;
        let scratch = Vec::new();
        Self { view, left_px, top_px, width, height, tone: empty(), cover: empty(), scratch }
    }

    /// Units at the middle of a pixel.
    pub(super) fn unit(&self, column: usize, row: usize) -> Point {
        let at = |index: usize, first: i32, edge: f32| {
            ((index as i32 + first) as f32 + 0.5) / self.view.px_per_unit + edge
        };
        (at(column, self.left_px, self.view.left), at(row, self.top_px, self.view.top))
    }

    /// Lays an opaque tone over one pixel.
    pub(super) fn set(&mut self, column: usize, row: usize, tone: f32) {
        self.tone[row * self.width + column] = tone;
        self.cover[row * self.width + column] = 1.0;
    }

    /// Tone times cover, and cover, of a pixel.
    pub(super) fn get(&self, column: usize, row: usize) -> (f32, f32) {
        let i = row * self.width + column;
        (self.tone[i], self.cover[i])
    }

    /// Tone times cover, and cover, between pixels; nothing outside the canvas.
    pub(super) fn sample(&self, at: Point) -> (f32, f32) {
        let x = (at.0 - self.view.left) * self.view.px_per_unit - self.left_px as f32 - 0.5;
        let y = (at.1 - self.view.top) * self.view.px_per_unit - self.top_px as f32 - 0.5;
        let (w, h) = (self.width as f32 - 1.0, self.height as f32 - 1.0);
        if !(x >= 0.0 && y >= 0.0 && x < w && y < h) {
            return (0.0, 0.0);
        }
        let (i, j) = (x as usize, y as usize);
        let (fx, fy) = (x - i as f32, y - j as f32);
        let k = j * self.width + i;
        let mix = |data: &[f32]| {
            let above = data[k] + fx * (data[k + 1] - data[k]);
            let (left, right) = (data[k + self.width], data[k + self.width + 1]);
            above + fy * (left + fx * (right - left) - above)
        };
        (mix(&self.tone), mix(&self.cover))
    }

    /// Lays another canvas over this one.
    pub(super) fn lay(&mut self, other: &Self) {
        let (dx, dy) = (other.left_px - self.left_px, other.top_px - self.top_px);
        for row in 0..other.height {
            let y = row as i32 + dy;
            if y < 0 || y >= self.height as i32 {
                continue;
            }
            for column in 0..other.width {
                let x = column as i32 + dx;
                let (tone, cover) = other.get(column, row);
                if cover > 0.0 && x >= 0 && x < self.width as i32 {
                    let i = y as usize * self.width + x as usize;
                    self.tone[i] = self.tone[i] * (1.0 - cover) + tone;
                    self.cover[i] = self.cover[i] * (1.0 - cover) + cover;
                }
            }
        }
    }

    /// Fills a closed shape with a tone, its edge smoothed by the exact area covered.
    pub(super) fn fill(&mut self, shape: &[Point], tone: f32) {
        let points: Vec<Point> = shape
            .iter()
            .map(|(x, y)| {
                (
                    (x - self.view.left) * self.view.px_per_unit - self.left_px as f32,
                    (y - self.view.top) * self.view.px_per_unit - self.top_px as f32,
                )
            })
            .collect();
        let (mut low, mut high) = ((f32::MAX, f32::MAX), (f32::MIN, f32::MIN));
        for (x, y) in &points {
            low = (low.0.min(*x), low.1.min(*y));
            high = (high.0.max(*x), high.1.max(*y));
        }
        let bound = |at: f32, most: usize| at.clamp(0.0, most as f32) as usize;
        let (left, top) =
            (bound(libm::floorf(low.0), self.width), bound(libm::floorf(low.1), self.height));
        let right = bound(libm::ceilf(high.0), self.width);
        let bottom = bound(libm::ceilf(high.1), self.height);
        if left >= right || top >= bottom {
            return;
        }
        let pitch = right - left + 2;
        self.scratch.clear();
        self.scratch.resize(pitch * (bottom - top), 0.0);
        for (i, from) in points.iter().enumerate() {
            let to = points[(i + 1) % points.len()];
            let shift = |p: Point| (p.0 - left as f32, p.1 - top as f32);
            add_edge(&mut self.scratch, pitch, bottom - top, shift(*from), shift(to));
        }
        for (row, line) in self.scratch.chunks_exact(pitch).enumerate() {
            let mut sum = 0.0_f32;
            let start = (top + row) * self.width + left;
            for (k, area) in line[..right - left].iter().enumerate() {
                sum += area;
                let cover = sum.abs().min(1.0);
                if cover > 0.002 {
                    let i = start + k;
                    self.tone[i] = self.tone[i] * (1.0 - cover) + tone * cover;
                    self.cover[i] = self.cover[i] * (1.0 - cover) + cover;
                }
            }
        }
    }

    /// A stroke along points, its width going evenly from the first to the last.
    pub(super) fn stroke(&mut self, line: &[Point], from_width: f32, to_width: f32, tone: f32) {
        let last = line.len() - 1;
        let mut left = Vec::with_capacity(2 * line.len());
        let mut right = Vec::with_capacity(line.len());
        for (i, (x, y)) in line.iter().enumerate() {
            let (a, b) = (line[i.saturating_sub(1)], line[(i + 1).min(last)]);
            let (dx, dy) = (b.0 - a.0, b.1 - a.1);
            let length = libm::sqrtf(dx * dx + dy * dy).max(1e-6);
            let half = 0.5 * (from_width + (to_width - from_width) * i as f32 / last as f32);
            let (nx, ny) = (-dy / length * half, dx / length * half);
            left.push((x + nx, y + ny));
            right.push((x - nx, y - ny));
        }
        right.reverse();
        left.extend(right);
        self.fill(&left, tone);
    }

    /// A stroke of even width between two points.
    pub(super) fn line(&mut self, from: Point, to: Point, width: f32, tone: f32) {
        self.stroke(&[from, to], width, width, tone);
    }

    /// A filled rectangle.
    pub(super) fn rect(&mut self, from: Point, to: Point, tone: f32) {
        self.fill(&[from, (to.0, from.1), to, (from.0, to.1)], tone);
    }

    /// The canvas as lightness bytes.
    pub(super) fn to_lightness(&self) -> Vec<u8> {
        self.tone.iter().map(|tone| (tone.clamp(0.0, 100.0) * 2.55 + 0.5) as u8).collect()
    }
}

/// Adds one edge of a shape: signed area covered in each pixel and carried to all on its right.
fn add_edge(areas: &mut [f32], pitch: usize, rows: usize, a: Point, b: Point) {
    if a.1 == b.1 {
        return;
    }
    let (sign, a, b) = if a.1 < b.1 { (1.0, a, b) } else { (-1.0, b, a) };
    let slope = (b.0 - a.0) / (b.1 - a.1);
    let most = (pitch - 2) as f32;
    let first = a.1.max(0.0) as usize;
    let last = (libm::ceilf(b.1).max(0.0) as usize).min(rows);
    for row in first..last {
        let (from_y, to_y) = (a.1.max(row as f32), b.1.min(row as f32 + 1.0));
        let d = (to_y - from_y) * sign;
        let x = (a.0 + (from_y - a.1) * slope).clamp(0.0, most);
        let x_next = (a.0 + (to_y - a.1) * slope).clamp(0.0, most);
        let (x0, x1) = if x < x_next { (x, x_next) } else { (x_next, x) };
        let line = &mut areas[row * pitch..][..pitch];
        let (i, end) = (x0 as usize, libm::ceilf(x1) as usize);
        if end <= i + 1 {
            let right = 0.5 * (x0 + x1) - i as f32;
            line[i] += d * (1.0 - right);
            line[i + 1] += d * right;
            continue;
        }
        // The edge crosses several pixels of the row: what each has gathered is the integral of
        // the covered part up to its right side.
        let per_px = 1.0 / (x1 - x0);
        let (mut before, mut covered) = (0.0, 0.0);
        for (k, area) in line[i..=end].iter_mut().enumerate() {
            let until = (i + k) as f32 + 1.0;
            let inside = (until.min(x1) - x0).max(0.0);
            let gathered = 0.5 * inside * inside * per_px + (until - x1).max(0.0);
            *area += d * (gathered - before - covered);
            (covered, before) = (gathered - before, gathered);
        }
    }
}

/// Scrambles two whole numbers and a seed into 0–1.
pub(super) fn chance(x: i32, y: i32, seed: u32) -> f32 {
    let mut h = (x as u32).wrapping_mul(0x9e37_79b1) ^ (y as u32).wrapping_mul(0x85eb_ca77);
    h ^= seed.wrapping_mul(0xc2b2_ae3d);
    h = (h ^ (h >> 15)).wrapping_mul(0x2c1b_3c6d);
    h = (h ^ (h >> 12)).wrapping_mul(0x297a_2d39);
    ((h ^ (h >> 15)) >> 8) as f32 / 16_777_216.0
}

/// Smooth noise from −1 to 1 with cells of one unit.
pub(super) fn noise(x: f32, y: f32, seed: u32) -> f32 {
    NoiseLine::new(y, seed).at(x)
}

/// The same noise along a line of one `y`: points that follow each other closely lie in one cell, whose corners
/// are drawn once.
pub(super) struct NoiseLine {
    seed: u32,
    row: i32,
    ease_y: f32,
    column: i32,
    /// At the corners of the cell in hand: above left and right, below left and right.
    corners: [f32; 4],
}

impl NoiseLine {
    pub(super) fn new(y: f32, seed: u32) -> Self {
        let row = floor(y);
        let mut line =
            Self { seed, row, ease_y: ease(y - row as f32), column: 0, corners: [0.0; 4] };
        line.enter(0);
        line
    }

    fn enter(&mut self, column: i32) {
        let (i, j, seed) = (column, self.row, self.seed);
        self.column = column;
        self.corners = [
            chance(i, j, seed),
            chance(i + 1, j, seed),
            chance(i, j + 1, seed),
            chance(i + 1, j + 1, seed),
        ];
    }

    pub(super) fn at(&mut self, x: f32) -> f32 {
        let column = floor(x);
        if column != self.column {
            self.enter(column);
        }
        let u = ease(x - column as f32);
        let mix = |a: f32, b: f32, t: f32| a + t * (b - a);
        let [above_left, above_right, below_left, below_right] = self.corners;
        let above = mix(above_left, above_right, u);
        let below = mix(below_left, below_right, u);
        2.0 * mix(above, below, self.ease_y) - 1.0
    }
}

fn floor(t: f32) -> i32 {
    t as i32 - i32::from(t < (t as i32) as f32)
}

fn ease(t: f32) -> f32 {
    t * t * (3.0 - 2.0 * t)
}

/// Noise in three sizes, each half as large and half as strong as the one before.
pub(super) fn fractal(x: f32, y: f32, seed: u32) -> f32 {
    FractalLine::new(y, seed).at(x)
}

/// The same along a line of one `y`.
pub(super) struct FractalLine([NoiseLine; 3]);

impl FractalLine {
    pub(super) fn new(y: f32, seed: u32) -> Self {
        Self(
            [(1.0, 0), (2.0, 1), (4.0, 2)]
                .map(|(finer, more)| NoiseLine::new(finer * y, seed + more)),
        )
    }

    pub(super) fn at(&mut self, x: f32) -> f32 {
        let [coarse, middle, fine] = &mut self.0;
        (coarse.at(x) + 0.5 * middle.at(2.0 * x) + 0.25 * fine.at(4.0 * x)) / 1.75
    }
}

/// A closed shape with an edge as a hand would cut or brush it: moved by up to `size`, in waves
/// about `wave` long.
pub(super) fn rough(shape: &[Point], size: f32, wave: f32, seed: u32) -> Vec<Point> {
    let mut edge = Vec::new();
    for (i, a) in shape.iter().enumerate() {
        let b = shape[(i + 1) % shape.len()];
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let steps = (libm::sqrtf(dx * dx + dy * dy) / (wave * 0.35)).clamp(1.0, 400.0) as usize;
        for step in 0..steps {
            let t = step as f32 / steps as f32;
            let (x, y) = (a.0 + dx * t, a.1 + dy * t);
            edge.push((
                x + size * fractal(x / wave, y / wave, seed),
                y + size * fractal(x / wave, y / wave, seed + 7),
            ));
        }
    }
    edge
}

/// A rope or stay from one point to another, hanging `sag` below the straight line.
pub(super) fn hanging(from: Point, to: Point, sag: f32) -> Vec<Point> {
    (0..=16)
        .map(|i| {
            let t = i as f32 / 16.0;
            let drop = 4.0 * sag * t * (1.0 - t);
            (from.0 + (to.0 - from.0) * t, from.1 + (to.1 - from.1) * t + drop)
        })
        .collect()
}

/// A smooth curve through points (Catmull and Rom 1974), eight steps between each two.
pub(super) fn smooth(points: &[Point]) -> Vec<Point> {
    let last = points.len() - 1;
    let mut curve = Vec::new();
    for i in 0..last {
        let p = [i.saturating_sub(1), i, i + 1, (i + 2).min(last)].map(|k| points[k]);
        for step in 0..8 {
            let t = step as f32 / 8.0;
            let at = |a: f32, b: f32, c: f32, d: f32| {
                b + 0.5
                    * t
                    * (c - a + t * (2.0 * a - 5.0 * b + 4.0 * c - d + t * (3.0 * (b - c) + d - a)))
            };
            curve.push((at(p[0].0, p[1].0, p[2].0, p[3].0), at(p[0].1, p[1].1, p[2].1, p[3].1)));
        }
    }
    curve.push(points[last]);
    curve
}

/// An ellipse.
pub(super) fn ellipse(middle: Point, rx: f32, ry: f32) -> Vec<Point> {
    (0..36)
        .map(|i| {
            let angle = i as f32 * core::f32::consts::TAU / 36.0;
            (middle.0 + rx * libm::cosf(angle), middle.1 + ry * libm::sinf(angle))
        })
        .collect()
}

/// From 0 to 1 as `x` goes from `−width` to `width`: an edge of that softness.
pub(super) fn edge(x: f32, width: f32) -> f32 {
    (0.5 + 0.5 * x / width).clamp(0.0, 1.0)
}
