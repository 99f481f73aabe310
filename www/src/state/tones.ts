/* Three ways to say how dark a tone is. The formulas are those of crates/plate/src/light.rs. */

/** Reflectance of a CIE L* (ISO/CIE 11664-4). */
function reflectance(lightness: number): number {
  const f = (lightness + 16) / 116;
  return lightness > 8 ? f ** 3 : lightness * (3 / 29) ** 3;
}

function lightnessOf(light: number): number {
  return light > (6 / 29) ** 3 ? 116 * Math.cbrt(light) - 16 : light * (29 / 3) ** 3;
}

/** Reflection density (ISO 5-4) of a lightness. */
export function densityOfLightness(lightness: number): number {
  return -Math.log10(Math.max(1e-4, reflectance(lightness)));
}

export function lightnessOfDensity(density: number): number {
  return lightnessOf(10 ** -density);
}

/** L* of a screen's grey, 0–255 (IEC 61966-2-1). */
export function lightnessOfGrey(grey: number): number {
  const code = grey / 255;
  return lightnessOf(code <= 0.04045 ? code / 12.92 : ((code + 0.055) / 1.055) ** 2.4);
}
