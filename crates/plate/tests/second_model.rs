//! The second model (solid grains, edges that hold, and the rate that follows) against an independent
//! computation of it, against what it must do, and against figures of others.
#![allow(clippy::disallowed_methods, reason = "tests may use the standard library's functions")]

#[path = "second_model/behaviour.rs"]
mod behaviour;
mod common;
#[path = "second_model/figures.rs"]
mod figures;
#[path = "second_model/grounds.rs"]
mod grounds;
#[path = "second_model/later.rs"]
mod later;
#[path = "second_model/piece.rs"]
mod piece;
#[path = "second_model/table.rs"]
mod table;
