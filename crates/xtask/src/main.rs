//! The native program.
fn main() {}
