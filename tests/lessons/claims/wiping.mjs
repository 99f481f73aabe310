import assert from 'node:assert/strict';
import { between, falls, of, strip } from '../lib.mjs';

const id = 'wiping';
const row = (wipe) => strip(id).filter((patch) => patch['ink.wipe'] === wipe);
const [TARLATAN, HAND, HARD] = ['tarlatan', 'hand', 'hard'];
/** The paper's place on the plate: copper that was never bitten. */
const white = (wipe) => strip(id, { value: 0, down: null, along: { key: 'ink.wipe', from: 0, to: 0, count: 3 } }).find((patch) => patch['ink.wipe'] === wipe);
const range = (wipe) => row(wipe)[0].lightness - row(wipe)[3].lightness;

export default {
  1: ['pit for pit', () => {
    for (const name of ['depth_um', 'mean_depth_um', 'land', 'cover']) assert.deepEqual(of(row(HARD), name), of(row(TARLATAN), name), name);
    assert.deepEqual(of(row(HAND), 'mean_depth_um'), of(row(TARLATAN), 'mean_depth_um'), 'by hand, too');
  }],
  2: ['L* 86', () => {
    between(white(TARLATAN).lightness, 85.5, 86.5, 'whites, tarlatan alone');
    between(white(HAND).lightness, 92.5, 93.5, 'whites, by hand');
    between(white(TARLATAN).held_um, 0.1, 1, 'film on the land');
  }],
  3: ['seven points', () => {
    between(row(HAND)[0].lightness - row(TARLATAN)[0].lightness, 6.5, 7.5, 'lightest patch');
    between(row(HAND)[3].lightness - row(TARLATAN)[3].lightness, 4.4, 5.4, 'darkest patch');
    between(row(HAND)[3].held_um / row(TARLATAN)[3].held_um, 0.7, 1, 'ink that stays in the pits');
  }],
  4: ['less than one point', () => between(white(HARD).lightness - white(HAND).lightness, 0, 1, 'whites')],
  5: ['more than a third', () => {
    between(row(HARD)[2].minutes, 12, 12.5, 'minutes');
    between(row(HARD)[2].held_um / row(HAND)[2].held_um, 0.55, 0.66, 'ink that is left');
    between(row(HARD)[2].lightness - row(HAND)[2].lightness, 9.4, 10.5, 'L* lighter');
  }],
  6: ['the widest range', () => {
    falls([range(HAND), range(HARD)], 'range by hand, then hard');
    falls([range(HAND), range(TARLATAN)], 'range by hand, then tarlatan');
  }],
  7: ['tarlatan greys the whites', () => {
    between(range(HAND) - Math.max(range(TARLATAN), range(HARD)), 1.5, 10, 'wider by');
    between(white(HAND).lightness - white(TARLATAN).lightness, 5, 10, 'whites greyed');
    between(row(HARD)[3].held_um / row(HAND)[3].held_um, 0.5, 0.8, 'darks emptied');
  }],
  8: ['ten points and more in the two darkest', () => {
    for (const i of [2, 3]) between(row(HARD)[i].lightness - row(HAND)[i].lightness, 9.4, 15, 'darker darks');
    between(row(HARD)[0].lightness - row(HAND)[0].lightness, 0, 1, 'lightest patch');
    between(white(HARD).lightness - white(HAND).lightness, 0, 1, 'whites');
  }],
};
