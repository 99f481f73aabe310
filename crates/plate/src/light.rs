//! Light: reflectance, density, lightness, and what a screen shows.
