import assert from 'node:assert/strict';
import { between, bitten, native, of, SHARES, strip, table } from '../lib.mjs';

const id = 'picture-to-values';
/** What the program finds of each count of values for the harbour: error and least step, L*. */
const suits = () => Object.fromEntries(native(['suits']).trim().split('\n').slice(1).map((line) => {
  const [values, , error_l, closest_l] = line.split(',');
  return [values, { error_l: Number(error_l), closest_l: Number(closest_l) }];
}));
/** Share of the plate that is covered anew after each bite, 0 for before the first. */
const covered = () => JSON.parse(native(['areas'])).map(({ cover }) => cover.reduce((sum, { points_mm, hole }) => {
  const twice = points_mm.reduce((area, [x, y], i) => {
    const [x2, y2] = points_mm[(i + 1) % points_mm.length];
    return area + x * y2 - x2 * y;
  }, 0);
  return sum + (hole ? -1 : 1) * Math.abs(twice) / 2 / (150 * 200);
}, 0));
const white = () => table()[0].lightness;

export default {
  1: ['eighteen minutes bring it to 27', () => {
    between(white(), 92.5, 93.5, 'bare copper');
    between(strip(id)[6].minutes, 18, 18, 'minutes');
    between(strip(id)[6].lightness, 26.5, 27.9, 'L*');
  }],
  2: ['six a little over four', () => {
    between(suits()[2].error_l, 8.7, 9.4, 'two');
    between(suits()[4].error_l, 5.3, 5.7, 'four');
    between(suits()[6].error_l, 4, 4.5, 'six');
  }],
  3: ['only a point and a half apart', () => {
    between(suits()[6].error_l - suits()[10].error_l, 0, 0.3, 'gained by ten');
    between(suits()[10].closest_l, 1.2, 1.8, 'least step of ten');
  }],
  4: ['an eighth', () => between(covered()[0], 0.11, 0.135, 'whites')],
  5: ['none is opened again', () => {
    // Each time the places of one value, and of no other.
    for (const [i, share] of covered().entries()) between(share / SHARES[i], 0.93, 1.07, `stopped out after ${i} bites`);
  }],
  6: ['seven stop-outs', () => {
    assert.equal(table().length - 1, 7, 'values');
    assert.equal(covered().length, 7, 'stop-outs');
    between(covered().reduce((sum, share) => sum + share, 0), 0.8, 0.88, 'all but the darkest');
  }],
  7: ['less than a fifth', () => between(suits()[6].error_l - suits()[10].error_l, 0.05, 0.2, 'gained')],
  8: ['eight points', () => between(white() - strip(id)[0].lightness, 7.8, 9, 'L*')],
  9: ['26 at the darkest', () => {
    const course = of(bitten(id, 16, 32, 9), 'lightness');
    between(Math.min(...course), 25.2, 26.5, 'darkest');
  }],
};
