//! All tests of studies, in one program: linked once, and no test waits for those of another file.

mod chance;
#[path = "../../plate/tests/common/mod.rs"]
mod common;
mod drawn;
mod ground_drawn;
#[path = "drawn/hasty.rs"]
mod hasty;
mod photographed;
mod proofs;
mod shops;

mod amounts;
mod calibration_fit;
mod calibration_photo;
mod calibration_shops;
mod covers;
mod digests;
mod edition;
mod ends;
mod faults;
mod grain;
mod ground_fit;
mod ground_hard;
mod ground_photo;
mod inverse;
mod proof_causes;
mod proof_local;
mod proof_reading;
mod registration;
mod rework;
mod summary;
mod timeline;
mod tolerance;
mod warnings;
