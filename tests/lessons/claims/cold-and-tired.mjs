import { between, bitten, meets, once, probe, strip } from '../lib.mjs';

const id = 'cold-and-tired';
const STILL = { 'bath.agitation': 'still_face_up' };
const grid = () => strip(id);
/** Temperatures along, copper down. */
const at = (temperature, copper) => grid().find((patch) => patch['bath.temperature_c'] === temperature && patch['bath.copper_g_per_l'] === copper);

export default {
  1: ['takes 1 [[um|µm]]', () => {
    for (const patch of grid()) between(patch.minutes, 9, 9, 'minutes');
    between(at(20, 0).rate_um_per_min, 0.95, 1.05, 'rate');
  }],
  2: ['more than a quarter more slowly', () => {
    between(at(10, 0).rate_um_per_min / at(20, 0).rate_um_per_min, 0.7, 0.75, 'rate at 10 °C');
    between(at(10, 0).lightness - at(20, 0).lightness, 8.6, 9.6, 'L* lighter');
  }],
  3: ['twelve and a half minutes', () => between(once(id, 12.5, { 'bath.temperature_c': 10 }).lightness - at(20, 0).lightness, -1, 1, 'L* after 12½ cold minutes')],
  4: ['nineteen points', () => {
    between(at(20, 50).rate_um_per_min / at(20, 0).rate_um_per_min, 0.48, 0.52, 'rate with 50 g/L');
    between(at(20, 50).lightness - at(20, 0).lightness, 18.6, 19.8, 'L* lighter');
  }],
  5: ['nearly 44', () => between(probe({ ask: 'strength', be: [40], copper_g_per_l: 50 })[0].reads_be[0], 43.3, 44, 'reading')],
  6: ['a little over three', () => {
    const depth = at(10, 50).depth_um;
    between(depth, once(id, 3).depth_um, once(id, 3.5).depth_um, 'depth in the corner');
  }],
  7: ['slows down further', () => {
    const [nine, eighteen] = bitten(id, 9, 18, 2, STILL);
    between(nine.depth_um / at(20, 0).depth_um, 0.38, 0.42, 'depth lying still');
    between(eighteen.depth_um / nine.depth_um, 1.2, 1.6, 'depth in twice the minutes');
  }],
  8: ['the tone is the same', () => {
    for (const set of [{ 'bath.temperature_c': 10 }, { 'bath.copper_g_per_l': 50 }, STILL]) {
      const course = bitten(id, 9, 65, 9, set);
      // Where its depth meets that of nine fresh minutes, straight between the patches.
      const minutes = meets(course.map((one) => one.minutes), course.map((one) => one.depth_um), at(20, 0).depth_um);
      const lightness = course.map((one) => one.lightness);
      const before = course.findLastIndex((one) => one.minutes <= minutes);
      const share = (minutes - course[before].minutes) / (course[before + 1].minutes - course[before].minutes);
      between(lightness[before] + share * (lightness[before + 1] - lightness[before]) - at(20, 0).lightness, -2, 2, `L* at that depth, ${JSON.stringify(set)}`);
      between(lightness[0] - at(20, 0).lightness, 5, 30, `L* after nine minutes, ${JSON.stringify(set)}`);
    }
  }],
  9: ['About three', () => {
    between(at(10, 50).rate_um_per_min / at(20, 0).rate_um_per_min * 9, 2.75, 3.5, 'minutes of the fresh bath');
    between(at(10, 0).rate_um_per_min / at(20, 0).rate_um_per_min, 0.65, 0.75, 'left by cold');
    between(at(10, 50).rate_um_per_min / at(10, 0).rate_um_per_min, 0.48, 0.52, 'left of that by copper');
  }],
  10: ['about 50 grams', () => {
    const [{ reads_be: [reading] }] = probe({ ask: 'strength', be: [40], copper_g_per_l: 50 });
    between(reading, 43.3, 44, 'reading');
    between(at(20, 50).rate_um_per_min / at(20, 0).rate_um_per_min, 0.48, 0.52, 'speed');
  }],
};
