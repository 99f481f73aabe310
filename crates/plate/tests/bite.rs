//! Bath, bite, depth and stop-out borders against published values, closed forms and plain
//! references.

#[path = "bite/bath.rs"]
mod bath;
#[path = "bite/boolean.rs"]
mod boolean;
#[path = "bite/borders.rs"]
mod borders;
#[path = "bite/profiles.rs"]
mod profiles;
#[path = "bite/session.rs"]
mod session;
#[path = "bite/worked_run.rs"]
mod worked_run;
