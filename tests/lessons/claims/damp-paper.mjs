import assert from 'node:assert/strict';
import { between, rises, strip } from '../lib.mjs';

const id = 'damp-paper';
const at = (press, blankets = 'three', but = {}) => strip(id, but).find((patch) => patch['ink.press'] === press && patch['ink.blankets'] === blankets);
const taken = (press) => at(press).printed_um / at(press).held_um;
const paler = (minutes) => at('light', 'three', { minutes }).lightness - at('normal', 'three', { minutes }).lightness;

export default {
  1: ['only the', () => assert.equal(new Set(strip(id).map((patch) => `${patch.held_um} ${patch.mean_depth_um}`)).size, 1, 'one plate, one inking')],
  2: ['not quite two thirds', () => {
    between(taken('normal'), 0.6, 0.66, 'normal');
    between(taken('light'), 0.49, 0.54, 'light');
    between(taken('heavy'), 0.68, 0.72, 'heavy');
  }],
  3: ['four points', () => {
    between(paler(12), 3.9, 4.8, 'light');
    between(at('normal').lightness - at('heavy').lightness, 1.8, 2.5, 'heavy');
  }],
  4: ['less than one point', () => {
    between(paler(3), 0, 1, 'light');
    between(at('normal', 'three', { minutes: 3 }).lightness - at('heavy', 'three', { minutes: 3 }).lightness, 0, 1, 'heavy');
  }],
  5: ['three and a half points', () => {
    between(at('normal', 'one').lightness - at('normal').lightness, 3.2, 3.8, 'one blanket');
    rises(['three', 'two', 'one'].map((blankets) => at('normal', blankets).lightness), 'L* with fewer blankets');
  }],
  6: ['makes up for most', () => {
    const [full, one, heavy] = [at('normal'), at('normal', 'one'), at('heavy', 'one')].map((patch) => patch.lightness);
    between((one - heavy) / (one - full), 0.51, 0.95, 'share made up');
  }],
  7: ['four points and more', () => {
    between(paler(12), 4, 5, 'after twelve minutes');
    between(paler(3), 0.5, 1.2, 'after three');
    rises([3, 6, 12].map((minutes) => at('light', 'three', { minutes }).held_um - at('light', 'three', { minutes }).printed_um), 'ink that stays');
  }],
  8: ['stays in the plate', () => between(taken('normal'), 0.6, 0.66, 'normal')],
};
