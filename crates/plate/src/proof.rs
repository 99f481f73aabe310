//! Proof: windows and whole proofs.
