//! The second model (solid grains, edges that hold, and the rate that follows) against an independent
//! computation of it, against what it must do, and against figures of others.
#![allow(clippy::disallowed_methods, reason = "tests may use the standard library's functions")]

mod behaviour;
mod figures;
mod grounds;
mod later;
mod piece;
mod table;
