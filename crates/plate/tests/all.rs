//! All tests of plates, in one program: linked once, and no test waits for those of another file.

#[path = "bite/boolean.rs"]
mod boolean;
mod common;
#[path = "support/first_model.rs"]
mod first_model;
mod ground_support;
#[path = "support/melting.rs"]
mod melting;
#[path = "support/merge.rs"]
mod merge;

mod bake;
mod bake_ground;
mod bite;
mod chain;
mod check;
mod dust;
mod faults;
mod ground;
mod ground_limits;
mod ground_merge;
mod hammer;
mod ink;
mod light;
mod lines;
mod mirror;
mod moments;
mod printing;
mod resist;
mod sample;
mod second_model;
mod spit;
mod states;
mod strips;
mod uneven;
