//! Faults: where on a plate each would show, what it costs there, and exercises of guessing them.
//!
//! The picture comes as a coarse map of values, so that these questions can be asked where no picture is in hand.

mod cost;
mod exercise;
mod places;

pub use cost::{
    FaultCost, SQUARE_MM, SQUARE_PARTS, SQUARE_PX_UM, ValueCost, fault_cost, fault_squares,
};
pub use exercise::{Exercise, ExerciseSet, FEWEST_KINDS, exercise_plan};
pub use places::{ValuesAt, fault_here, middle_mm, shows_on};
