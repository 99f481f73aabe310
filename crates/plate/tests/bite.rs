//! Bath, bite, depth and stop-out borders against published values, closed forms and plain
//! references.

mod bath;
mod borders;
mod profiles;
mod session;
mod worked_run;
