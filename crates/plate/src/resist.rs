//! Resist: distance under the resin, pixel by pixel.
