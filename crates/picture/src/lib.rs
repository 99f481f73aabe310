//! The map.
