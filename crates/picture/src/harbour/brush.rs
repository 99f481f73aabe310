//! Drawing tools: a canvas of tones, filled shapes and strokes, with hand-made edges.

use super::frame::Frame;
use super::noise::fractal;

/// A point of the drawing, in its units (the picture is 900 wide and 1200 high).
pub(super) type Point = (f32, f32);

/// Tone (L*) of the paper and the seven values: the middle of what the plan's default thresholds
/// give to each, so that every flat area falls clearly into its value.
pub(super) const VALUE_L: [f32; 8] = [97.0, 85.0, 74.5, 63.5, 52.5, 42.0, 32.5, 20.0];

/// Part of the picture as tones with their cover, so that it can be laid over others and mirrored
/// in the water.
pub(super) struct Canvas {
    pub(super) frame: Frame,
    /// L* times cover.
    tone: Vec<f32>,
    /// Cover, 0–1.
    cover: Vec<f32>,
    room: Vec<f32>,
}

impl Canvas {
    /// An empty canvas.
    pub(super) fn new(frame: Frame) -> Self {
        let empty = || vec![0.0; frame.width * frame.height];
        Self { frame, tone: empty(), cover: empty(), room: Vec::new() }
    }

    /// Lays opaque tones over a row.
    pub(super) fn set_row(&mut self, row: usize, tones: impl Iterator<Item = f32>) {
        let pixels = row * self.frame.width..(row + 1) * self.frame.width;
        self.tone[pixels.clone()].iter_mut().zip(tones).for_each(|(tone, new)| *tone = new);
        self.cover[pixels].fill(1.0);
    }

    /// Tone times cover, and cover, between pixels; nothing where the canvas is empty, and outside it.
    #[inline]
    pub(super) fn sample(&self, at: Point) -> Option<(f32, f32)> {
        let (x, y) = self.frame.px(at);
        let (w, h) = (self.frame.width as f32 - 1.0, self.frame.height as f32 - 1.0);
        if !(x >= 0.0 && y >= 0.0 && x < w && y < h) {
            return None;
        }
        let (i, j) = (x as usize, y as usize);
        let k = j * self.frame.width + i;
        let corners = |data: &[f32]| {
            let (above, below) = (&data[k..k + 2], &data[k + self.frame.width..][..2]);
            [above[0], above[1], below[0], below[1]]
        };
        let cover = corners(&self.cover);
        if cover == [0.0; 4] {
            return None;
        }
        let (fx, fy) = (x - i as f32, y - j as f32);
        let mix = |[above_left, above_right, left, right]: [f32; 4]| {
            let above = above_left + fx * (above_right - above_left);
            above + fy * (left + fx * (right - left) - above)
        };
        Some((mix(corners(&self.tone)), mix(cover)))
    }

    /// Lays another canvas over this one.
    pub(super) fn lay(&mut self, other: &Self) {
        let (dx, dy) = self.frame.to(&other.frame);
        let (width, height) = (self.frame.width as i32, self.frame.height as i32);
        let (from, until) = ((-dx).max(0), (width - dx).min(other.frame.width as i32));
        for row in (-dy).max(0)..(height - dy).min(other.frame.height as i32) {
            if from >= until {
                return;
            }
            let here = (row + dy) as usize * self.frame.width + (from + dx) as usize;
            let there = row as usize * other.frame.width + from as usize;
            let count = (until - from) as usize;
            let over = other.tone[there..][..count].iter().zip(&other.cover[there..][..count]);
            let under = self.tone[here..][..count].iter_mut().zip(&mut self.cover[here..][..count]);
            for ((under_tone, under_cover), (tone, cover)) in under.zip(over) {
                *under_tone = *under_tone * (1.0 - cover) + tone;
                *under_cover = *under_cover * (1.0 - cover) + cover;
            }
        }
    }

    /// Fills a closed shape with a tone, its edge smoothed by the exact area covered.
    pub(super) fn fill(&mut self, shape: &[Point], tone: f32) {
        let Self { frame, tone: tones, cover: covers, room } = self;
        frame.cover(shape, room, |i, cover| {
            tones[i] = tones[i] * (1.0 - cover) + tone * cover;
            covers[i] = covers[i] * (1.0 - cover) + cover;
        });
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

/// How much of each pixel shapes cover, one laid over the other.
pub(super) struct Mask {
    frame: Frame,
    cover: Vec<f32>,
    room: Vec<f32>,
}

impl Mask {
    pub(super) fn new(frame: Frame) -> Self {
        Self { frame, cover: vec![0.0; frame.width * frame.height], room: Vec::new() }
    }

    /// Adds a closed shape.
    pub(super) fn add(&mut self, shape: &[Point]) {
        let Self { frame, cover: covers, room } = self;
        frame.cover(shape, room, |i, cover| covers[i] = covers[i] * (1.0 - cover) + cover);
    }

    /// Cover of a row's pixels, 0–1.
    pub(super) fn row(&self, row: usize) -> &[f32] {
        &self.cover[row * self.frame.width..][..self.frame.width]
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
