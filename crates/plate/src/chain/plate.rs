//! The plate: what a job comes to. It does not change.

use super::kept::Tiles;
use super::later::{self, WorkLine};
use super::later_ground::grounds_in;
use super::place::faults_on_copper;
use super::{GroundRecipe, Job, LaidGround, Refused, ValueAreas, View};
use crate::bake::Baked;
use crate::bite::{self, BiteConstants, ResistProfile, Session, line_dose_um, spit_dose_um};
use crate::constants::Constants;
use crate::dust::LandedDust;
use crate::faults::{Faults, bare_back};
use crate::grid::Grid;
use crate::ground::Extent;
use crate::ink::Inking;
use plan::{Bite, Plan, State, Work};
use std::sync::Arc;

/// What one job comes to: the ground, the session in the bath, the work of every state, the ink.
///
/// A plate is a handful of shared parts: a clone costs nothing, and plates of jobs that have
/// something in common share it ([`Plate::after`]).
#[derive(Clone)]
pub struct Plate {
    job: Arc<Job>,
    constants: Arc<Constants>,
    ground: Arc<LaidGround>,
    session: Arc<Session>,
    inking: Arc<Inking>,
    faults: Arc<Faults>,
    /// The work on the copper up to each state, the first (none) included.
    states: Arc<[WorkLine]>,
}

impl Plate {
    /// The plate of a job.
    ///
    /// # Errors
    /// Field and sentence for each calibration constant that is unknown or out of range. The plan
    /// itself must have passed [`Plan::problems`].
    pub fn of(job: &Job) -> Result<Self, Refused> {
        Self::made(job, None, &mut Tiles::default())
    }

    /// The plate of another job, which shares with this one what is the same: grounds of equal
    /// [`GroundRecipe`]s, and the session.
    ///
    /// # Errors
    /// As [`Plate::of`].
    pub fn after(&self, job: &Job) -> Result<Self, Refused> {
        Self::made(job, Some(self), &mut Tiles::default())
    }

    /// The plate of a job in a renderer's room, sharing what it can with the one `before`.
    pub(super) fn made(
        job: &Job,
        before: Option<&Self>,
        tiles: &mut Tiles,
    ) -> Result<Self, Refused> {
        let plan = &job.plan;
        let constants = Constants::calibrated(&plan.calibration)?;
        let known = before.map_or_else(Vec::new, Self::grounds);
        let known = |recipe: &GroundRecipe| {
            known.iter().find(|ground| ground.recipe() == recipe).map(|&ground| Arc::clone(ground))
        };
        let recipe = GroundRecipe::of(plan, &constants);
        let ground = known(&recipe).unwrap_or_else(|| {
            let tiles = tiles.of_first(&recipe);
            Arc::new(recipe.lay_in(tiles))
        });
        let session = match before.filter(|before| before.same_session(job, &constants, &ground)) {
            Some(before) => Arc::clone(&before.session),
            None => Arc::new(bathe(job, &plan.bites, ground.profile(), &constants.bite)),
        };
        let faults = Arc::new(Faults::of(plan, &faults_on_copper(plan)));
        let inking = Inking::new(&plan.ink, &plan.paper, &constants.ink);
        let inking = Arc::new(inking.pressed_less(faults.press.pressed()));
        let states = later::lines(job, &constants, &mut |recipe| {
            known(&recipe).unwrap_or_else(|| {
                let tiles = tiles.of_later(&recipe, grounds_in(plan));
                Arc::new(recipe.lay_in(tiles))
            })
        });
        let (job, constants) = (Arc::new(job.clone()), Arc::new(constants));
        Ok(Self { job, constants, ground, session, inking, faults, states })
    }

    /// The session of a job on this ground would be this plate's.
    fn same_session(&self, job: &Job, constants: &Constants, ground: &Arc<LaidGround>) -> bool {
        let (plan, own) = (&job.plan, self.plan());
        plan.bites == own.bites
            && plan.bath == own.bath
            && plan.plate == own.plate
            && bare_back(plan) == bare_back(own)
            && plan.bake.room_c == own.bake.room_c
            && constants.bite == self.constants.bite
            && job.picture.shares() == self.picture().shares()
            && Arc::ptr_eq(ground, &self.ground)
    }

    /// Every ground that is laid on it in some state.
    fn grounds(&self) -> Vec<&Arc<LaidGround>> {
        let later = self.states.iter().flat_map(WorkLine::grounds);
        core::iter::once(&self.ground).chain(later).collect()
    }

    /// The plate had it been taken out of the bath for good `minutes` into a bite (from 1): values that
    /// still lay open have had what there was.
    ///
    /// # Panics
    /// When the plan has no such bite.
    #[must_use]
    pub fn left_early(&self, bite: usize, minutes: f64) -> Self {
        let plan = self.plan();
        let mut bites = plan.bites[..bite].to_vec();
        bites[bite - 1].bite_min = minutes;
        let mut session = self.bathed(&bites);
        let so_far = session.dose_um[bite];
        session.dose_um.resize(plan.bites.len() + 1, so_far);
        Self { session: Arc::new(session), ..self.clone() }
    }

    /// The plate had no more than these pieces of work been done after the first proof: they are its second
    /// and last state, and with none it has but the first.
    #[must_use]
    pub fn with_work(&self, work: Vec<Work>) -> Self {
        let mut plan = self.plan().clone();
        plan.states.clear();
        if !work.is_empty() {
            plan.states.push(State { name: String::new(), from_state: 1, work });
        }
        let job = self.job.with_plan(plan);
        let known = self.grounds();
        let states = later::lines(&job, &self.constants, &mut |recipe| {
            let same = known.iter().find(|ground| *ground.recipe() == recipe);
            same.map_or_else(|| Arc::new(recipe.lay()), |&ground| Arc::clone(ground))
        });
        Self { states, ..self.of_job(job) }
    }

    /// The same of another job, where all that has been computed is the same.
    pub(super) fn of_job(&self, job: Job) -> Self {
        Self { job: Arc::new(job), ..self.clone() }
    }

    /// The job it was made for.
    #[must_use]
    pub fn job(&self) -> &Job {
        &self.job
    }

    /// The plan it was made for.
    #[must_use]
    pub fn plan(&self) -> &Plan {
        &self.job.plan
    }

    /// Which value goes where.
    #[must_use]
    pub fn picture(&self) -> &dyn ValueAreas {
        self.job.picture.as_ref()
    }

    /// The constants in force: the built-in ones with the plan's calibration in their place.
    #[must_use]
    pub fn constants(&self) -> &Constants {
        &self.constants
    }

    /// The first ground.
    #[must_use]
    pub fn ground(&self) -> &LaidGround {
        &self.ground
    }

    /// The dust that landed for the first ground.
    #[must_use]
    pub fn landed(&self) -> &LandedDust {
        self.ground.landed()
    }

    /// The bake of the first ground.
    #[must_use]
    pub fn baked(&self) -> &Baked {
        self.ground.baked()
    }

    /// The session in the bath.
    #[must_use]
    pub fn session(&self) -> &Session {
        &self.session
    }

    /// The plan's ink, wiping and press.
    #[must_use]
    pub fn inking(&self) -> &Inking {
        &self.inking
    }

    /// What went wrong in the bath and at the press.
    #[must_use]
    pub fn faults(&self) -> &Faults {
        &self.faults
    }

    /// Value that every pixel of a raster on the copper is bitten as under the first ground: the picture's, but where varnish
    /// did not hold or fell where it should not. Returns the value when it is the same everywhere.
    pub fn bitten_values(&self, grid: &Grid, out: &mut Vec<u8>) -> Option<u8> {
        let everywhere = self.picture().fill(grid, out);
        if self.faults.bath.cover(grid, &self.values(), out) { None } else { everywhere }
    }

    /// The picture's values, for faults that ask beyond a raster.
    pub(super) fn values(&self) -> impl Fn(&Grid, &mut Vec<u8>) {
        |grid, out| {
            self.picture().fill(grid, out);
        }
    }

    /// Number of the last state; 1 where nothing is done after the first proof.
    #[must_use]
    pub fn last_state(&self) -> usize {
        self.states.len()
    }

    /// Number of the state that is looked at.
    #[must_use]
    pub fn state_of(&self, view: &View) -> usize {
        let last = self.last_state();
        view.state.unwrap_or(last).clamp(1, last)
    }

    /// The work up to the state that is looked at.
    pub(super) fn line(&self, view: &View) -> &WorkLine {
        &self.states[self.state_of(view) - 1]
    }

    /// Bite of each value, paper first, under all later grounds of a state together, µm on open copper.
    #[must_use]
    pub fn later_doses_um(&self, view: &View) -> Vec<f64> {
        self.line(view).doses_um(self.plan().bites.len() + 1)
    }

    /// The session that these bites (any number of them) in the plan's bath would come to, on this plate's
    /// ground and with its shares of values.
    #[must_use]
    pub fn bathed(&self, bites: &[Bite]) -> Session {
        self.bathed_with(bites, &self.constants.bite)
    }

    /// The same with other constants of bath and bite.
    #[must_use]
    pub fn bathed_with(&self, bites: &[Bite], constants: &BiteConstants) -> Session {
        bathe(&self.job, bites, self.ground.profile(), constants)
    }

    /// Depth of the lines' floor, µm; 0 without lines in the plan.
    #[must_use]
    pub fn line_dose_um(&self) -> f64 {
        let plan = self.plan();
        plan.lines
            .as_ref()
            .map_or(0.0, |lines| line_dose_um(&plan.bath, lines.bite_min, &self.constants.bite))
    }

    /// Dose of so many minutes of spit-bite, µm.
    pub(super) fn spit_um(&self, minutes: f64) -> f64 {
        let open = self.ground.profile().open_share();
        spit_dose_um(&self.plan().bath, minutes, open, &self.constants.bite)
    }

    /// Deepest bite that spit-bites can add anywhere, µm.
    pub(super) fn deepest_spit_um(&self) -> f64 {
        let minutes = self.picture().spit_min();
        if minutes == 0.0 { 0.0 } else { self.spit_um(minutes) }
    }

    /// Width and height of the plate in whole pixels of this size; a last part of a pixel is left
    /// off.
    #[must_use]
    pub fn size_px(&self, px_um: f32) -> (i64, i64) {
        let whole = |mm: f64| libm::floor(mm * 1000.0 / f64::from(px_um) + 1e-6) as i64;
        let plate = &self.plan().plate;
        (whole(plate.width_mm), whole(plate.height_mm))
    }

    /// Where there is copper.
    #[must_use]
    pub fn extent(&self) -> Extent {
        let plate = &self.plan().plate;
        Extent::plate(plate.width_mm * 1000.0, plate.height_mm * 1000.0)
    }
}

/// These bites in the job's bath, on copper that lies open like this.
#[inline(never)] // keeps the page small
pub(super) fn bathe(
    job: &Job,
    bites: &[Bite],
    profile: &ResistProfile,
    constants: &BiteConstants,
) -> Session {
    let plan = &job.plan;
    let plate_cm2 = plan.plate.width_mm * plan.plate.height_mm / 100.0;
    let mean_depth_um = |dose_um: f64| profile.mean_depth_um(dose_um, constants.etch_factor);
    let shares = job.picture.shares();
    let (bath, open_share) = (&plan.bath, profile.open_share());
    let room_c = plan.bake.room_c;
    let within = bite::InBath { plate_cm2, bare_cm2: plate_cm2 * bare_back(plan), room_c };
    bite::session(bath, bites, &within, shares, open_share, &mean_depth_um, constants)
}
