import { between, bitten, falls, least, of, rises, strip } from '../lib.mjs';

const id = 'half-covered';
/** Twelve minutes in the upper row, twenty-four in the lower; from 10 to 170 g of powder along. */
const row = (minutes = 12) => strip(id).filter((patch) => patch.minutes === minutes);
const UNDER = { 'dust.powder_g_per_m2': 10 };

export default {
  1: ['nearly four fifths', () => {
    between(row()[1]['dust.powder_g_per_m2'], 30, 30, 'powder');
    between(row()[1].loose_cover, 0.17, 0.22, 'from above');
    between(row()[1].low_angle_cover, 0.76, 0.8, 'at a low angle');
  }],
  2: ['cover half', () => between(row()[1].cover, 0.46, 0.53, 'cover')],
  3: ['darkest of the upper row', () => {
    between(least(of(row(), 'lightness')), 1, 1, 'place of the darkest');
    between(row()[1].land, 0.15, 0.25, 'land');
    between(row()[1].held_um, 5, 7, 'ink');
  }],
  4: ['two fifths looked covered', () => {
    between(row()[0].low_angle_cover, 0.37, 0.43, 'at a low angle');
    between(row()[0].cover, 0.17, 0.23, 'cover');
  }],
  5: ['less than a quarter', () => {
    between(row()[0].mean_depth_um / row()[0].depth_um, 0.88, 1, 'mean depth against the open copper');
    between(row()[0].land, 0, 0.08, 'land');
    between(row()[0].held_um / row()[1].held_um, 0.1, 0.25, 'ink');
  }],
  6: ['no darker than L* 66', () => {
    const course = bitten(id, 10, 26, 9, UNDER);
    const darkest = course[least(of(course, 'lightness'))];
    between(darkest.minutes, 13, 15, 'minutes of its darkest');
    between(darkest.lightness, 65.5, 67, 'its darkest');
    between(row(24)[0].lightness - darkest.lightness, 6.5, 8, 'lighter after 24 minutes');
    const well = bitten(id, 16, 32, 9);
    between(well[least(of(well, 'lightness'))].minutes - darkest.minutes, 6, 12, 'the well dusted plate’s darkest comes later');
  }],
  7: ['97 %', () => between(row()[8].cover, 0.965, 0.98, 'cover')],
  8: ['even paler than the first', () => {
    between(row()[8].lightness - row()[0].lightness, 5, 15, 'L* against the first');
    between(row()[8].land, 0.7, 0.9, 'copper that the bath did not reach');
  }],
  9: ['more than nine tenths', () => {
    for (const patch of row().slice(2)) between(patch.low_angle_cover, 0.9, 1, 'at a low angle');
    between(row()[2].loose_cover, 0.27, 0.33, 'third patch from above');
    between(row()[8].loose_cover, 0.67, 0.73, 'last patch from above');
    rises(of(row(), 'loose_cover'), 'from above');
  }],
  10: ['between 45 and 65 %', () => {
    // As much powder as looks three quarters, and nine tenths, covered at the low angle.
    const [three, nine] = strip(id, { down: null, along: { key: 'dust.powder_g_per_m2', from: 27, to: 45, count: 2 } });
    between(three.low_angle_cover, 0.74, 0.76, 'three quarters');
    between(nine.low_angle_cover, 0.89, 0.91, 'nine tenths');
    between(three.cover, 0.44, 0.47, 'three quarters, melted');
    between(nine.cover, 0.63, 0.66, 'nine tenths, melted');
  }],
  11: ['two thirds covered', () => {
    between(least(of(row(24), 'lightness')), 2, 2, 'place of the darkest');
    between(row(24)[2].cover, 0.63, 0.7, 'its cover');
    falls(of(row(24).slice(2), 'lightness').map((l) => -l), 'darkness from there on');
  }],
  12: ['after eight', () => {
    const [eight] = bitten(id, 8, 9, 2);
    between(row(24)[8].lightness - eight.lightness, 1, 15, 'L* against eight minutes on the well dusted plate');
  }],
  13: ['about half covered', () => between(row()[least(of(row(), 'lightness'))].cover, 0.4, 0.6, 'cover of the darkest')],
  14: ['is gone', () => {
    between(row(24)[0].lightness - row()[0].lightness, 3, 15, 'the under-dusted one');
    for (const i of [1, 2, 3, 4, 5, 6, 7, 8]) between(row()[i].lightness - row(24)[i].lightness, 5, 40, `patch ${i} is darker`);
    between(row(24)[0].land, 0, 0.03, 'land');
  }],
};
