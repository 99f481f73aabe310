//! Proofs of real plates as they come out otherwise than planned, and photographs of them, drawn pixel by pixel: askew,
//! through a lens, under a lamp, with a camera's tones, noise and JPEG.
#![allow(dead_code, reason = "each test file uses its own part")]

mod camera;

pub(crate) use camera::{Camera, GREYS, Taken};

use crate::chance::Chance;
use picture::{PictureAreas, Pixels, ToneMap, Window};
use plan::{Crop, Fault, FaultPlace, Plan};
use plate::chain::{Job, Renderer, TileRequest, View};
use plate::light;
use std::sync::{Arc, OnceLock};
use study::proof_reading::ProofPrint;

/// Side of a square of what is drawn, mm.
const FINE_MM: f64 = 0.1;
/// Side of the tiles that are printed together, in such squares.
const TILE: usize = 100;

/// A plan's print as it is expected, and which value lies where, more finely.
pub(crate) struct Planned {
    pub(crate) name: &'static str,
    pub(crate) print: ProofPrint,
    columns: usize,
    values: Vec<u8>,
    pub(crate) job: Job,
    sound: OnceLock<Vec<f32>>,
}

/// The print as it came out: reflectance of each place.
pub(crate) struct Printed {
    pub(crate) size_mm: (f64, f64),
    columns: usize,
    reflectance: Vec<f32>,
    pub(crate) paper: f64,
    /// L* of each value as it was printed, all over the plate; none where it holds nothing.
    pub(crate) lightness: Vec<f64>,
}

impl Planned {
    fn new(name: &'static str, plan: Plan, tones: ToneMap) -> Self {
        let (width_mm, height_mm) = (plan.plate.width_mm, plan.plate.height_mm);
        let areas = PictureAreas::new(Arc::new(tones), &plan);
        let mut renderer = Renderer::default();
        let job = Job::new(plan, Arc::new(areas));
        let plate = renderer.plate(&job).expect("a sound plan");
        let view = View::default();
        let mut looking = renderer.look(&plate, &view);
        let columns = (width_mm / FINE_MM) as usize;
        let values = looking.values_in_first_pass(columns, (height_mm / FINE_MM) as usize);
        Self {
            name,
            print: ProofPrint::of(&mut looking),
            columns,
            values,
            job,
            sound: OnceLock::new(),
        }
    }

    /// The harbour at dusk, and two pictures of another kind: a head before a window, and hills in mist.
    pub(crate) fn all() -> Vec<Self> {
        let harbour = picture::harbour(picture::HARBOUR_WIDTH, picture::HARBOUR_HEIGHT);
        vec![
            Self::new("harbour", Plan::default(), harbour),
            Self::of_tones("head", (90.0, 120.0), &head),
            Self::of_tones("hills", (150.0, 100.0), &hills),
        ]
    }

    fn of_tones(
        name: &'static str,
        (width_mm, height_mm): (f64, f64),
        lightness: &dyn Fn(f64, f64) -> f64,
    ) -> Self {
        let mut plan = Plan::default();
        (plan.plate.width_mm, plan.plate.height_mm) = (width_mm, height_mm);
        let (width, height) = ((4.0 * width_mm) as usize, (4.0 * height_mm) as usize);
        let mut rgba = Vec::with_capacity(4 * width * height);
        for i in 0..width * height {
            let share = |i: usize, of: usize| (i as f64 + 0.5) / of as f64;
            let l = lightness(share(i % width, width), share(i / width, height));
            let code = light::srgb8(light::reflectance_of_lightness(l.clamp(0.0, 100.0)));
            rgba.extend([code, code, code, 255]);
        }
        let window = Window::of(width, height, Crop::default());
        let tones =
            picture::read(&Pixels { width, height, rgba: &rgba }, window).expect("a picture");
        Self::new(name, plan, tones)
    }

    /// The print, its values off by so much of L* each (the last for good measure), a slope of lightness over it.
    pub(crate) fn printed(&self, off_l: &[f64], slope_l: (f64, f64)) -> Printed {
        let rows = self.values.len() / self.columns;
        let l_of: Vec<f64> =
            self.print.lightness.iter().zip(off_l).map(|(l, off)| l + off).collect();
        let mut sums = vec![(0.0, 0.0); l_of.len()];
        let reflectance: Vec<f32> = self
            .values
            .iter()
            .enumerate()
            .map(|(at, &value)| {
                let unit = |i: usize, of: usize| (i as f64 + 0.5) / of as f64 - 0.5;
                let (u, v) = (unit(at % self.columns, self.columns), unit(at / self.columns, rows));
                let l = l_of[usize::from(value)] + slope_l.0 * u + slope_l.1 * v;
                let reflectance = light::reflectance_of_lightness(l.max(0.0));
                let sum = &mut sums[usize::from(value)];
                *sum = (sum.0 + reflectance, sum.1 + 1.0);
                reflectance as f32
            })
            .collect();
        Printed {
            size_mm: (self.print.width_mm, self.print.height_mm),
            columns: self.columns,
            reflectance,
            paper: self.print.paper_reflectance,
            lightness: sums.iter().map(|(sum, n)| light::lightness(sum / n)).collect(),
        }
    }

    /// A small head, whose whole print is soon had.
    pub(crate) fn small() -> Self {
        Self::of_tones("small head", (60.0, 80.0), &head)
    }

    /// The print by the chain, every grain of it, with this fault in it or none.
    pub(crate) fn printed_with(&self, fault: Option<&Fault>) -> Printed {
        let everywhere = |_: (f64, f64)| true;
        let sound = self.sound.get_or_init(|| {
            let blank = vec![0.0; self.values.len()];
            self.printed_over(blank, Vec::new(), &everywhere)
        });
        let (w, h) = (self.print.width_mm, self.print.height_mm);
        let reflectance = fault.map_or_else(
            || sound.clone(),
            |fault| {
                let reach_mm = fault.radius_mm + 0.75 * TILE as f64 * FINE_MM + 1.0;
                let near = |(x, y): (f64, f64)| match fault.kind.place() {
                    FaultPlace::Spot => libm::hypot(x - fault.x_mm, y - fault.y_mm) < reach_mm,
                    FaultPlace::Edges => x.min(y).min(w - x).min(h - y) < reach_mm,
                    FaultPlace::Plate => true,
                };
                self.printed_over(sound.clone(), vec![fault.clone()], &near)
            },
        );
        Printed {
            size_mm: (w, h),
            columns: self.columns,
            reflectance,
            paper: self.print.paper_reflectance,
            lightness: Vec::new(),
        }
    }

    /// A print with the tiles laid anew whose middle, mm, `anew` names.
    fn printed_over(
        &self,
        mut reflectance: Vec<f32>,
        faults: Vec<Fault>,
        anew: &dyn Fn((f64, f64)) -> bool,
    ) -> Vec<f32> {
        let plan = Plan { faults, ..self.job.plan.clone() };
        assert!(plan.problems().is_empty(), "{:?}", plan.problems());
        let mut renderer = Renderer::default();
        let plate = renderer.plate(&self.job.with_plan(plan)).expect("a sound plan");
        let (columns, rows) = (self.columns, self.values.len() / self.columns);
        let view = View::default();
        for top in (0..rows).step_by(TILE) {
            for left in (0..columns).step_by(TILE) {
                let middle = |from: usize| (from as f64 + 0.5 * TILE as f64) * FINE_MM;
                if !anew((middle(left), middle(top))) {
                    continue;
                }
                let (width_out, height_out) = (TILE.min(columns - left), TILE.min(rows - top));
                let tile = renderer.look(&plate, &view).tile(&TileRequest {
                    left_out: left as i64,
                    top_out: top as i64,
                    width_out,
                    height_out,
                    out_um: FINE_MM * 1000.0,
                    px_um: 25.0,
                });
                for (row, line) in tile.chunks_exact(width_out).enumerate() {
                    reflectance[(top + row) * columns + left..][..width_out].copy_from_slice(line);
                }
            }
        }
        reflectance
    }

    /// What values come out as: all a little off, alike and each by itself, darker ones by more.
    pub(crate) fn chance_l(&self, chance: &mut Chance) -> Vec<f64> {
        let (alike, each) = (4.0 * chance.normal(), 1.5);
        let paper = self.print.lightness[0];
        let off = |l: &f64| {
            let depth = ((paper - l) / 40.0).clamp(0.02, 1.0);
            let floor = 4.0 - l;
            (depth * (alike + each * chance.normal())).max(floor)
        };
        self.print.lightness.iter().map(off).collect()
    }
}

impl Printed {
    /// Bare paper all over.
    pub(crate) fn blank(mut self) -> Self {
        self.reflectance.fill(self.paper as f32);
        self
    }

    /// Reflectance at a place, mm; the paper's beside the plate, the bevel's ink along its edge.
    fn at(&self, x: f64, y: f64) -> f64 {
        let (w, h) = self.size_mm;
        let edge = x.min(y).min(w - x).min(h - y);
        let blank = self.reflectance[0] == self.paper as f32;
        if (-0.4..0.1).contains(&edge) && !blank {
            return 0.75 * self.paper;
        }
        if edge < 0.0 {
            return self.paper;
        }
        let rows = self.reflectance.len() / self.columns;
        let place = |mm: f64, most: usize| ((mm / FINE_MM) as usize).min(most - 1);
        f64::from(self.reflectance[place(y, rows) * self.columns + place(x, self.columns)])
    }
}

/// A round head before a window, lit from the left.
fn head(x: f64, y: f64) -> f64 {
    let (dx, dy) = ((x - 0.48) / 0.26, (y - 0.42) / 0.24);
    let from_middle = dx * dx + dy * dy;
    if from_middle < 1.0 {
        let shade = 0.5 - 0.45 * dx - 0.2 * dy;
        let eye = |ex: f64| libm::hypot(x - ex, y - 0.39) < 0.025;
        return if eye(0.40) || eye(0.56) { 20.0 } else { 35.0 + 60.0 * shade };
    }
    let shoulders = y > 0.72 + 1.2 * (x - 0.5) * (x - 0.5);
    if shoulders {
        return 22.0 + 25.0 * (0.9 - x);
    }
    if x > 0.66 && y < 0.55 { 96.0 } else { 40.0 + 30.0 * (1.0 - y) }
}

/// Three ranges of hills in mist under a pale sky.
fn hills(x: f64, y: f64) -> f64 {
    let wave = |a: f64, b: f64, c: f64| a * libm::sin(b * x + c);
    let ridges = [
        (0.35 + wave(0.06, 7.0, 0.5) + wave(0.02, 23.0, 1.0), 72.0),
        (0.52 + wave(0.08, 5.0, 2.5) + wave(0.015, 31.0, 0.0), 50.0),
        (0.74 + wave(0.07, 6.0, 4.0) + wave(0.02, 19.0, 2.0), 24.0),
    ];
    let over = ridges.iter().rev().find(|(ridge, _)| y > *ridge);
    over.map_or(97.0 - 14.0 * x * y, |(ridge, l)| l + 18.0 * (y - ridge).min(0.25) / 0.25)
}
