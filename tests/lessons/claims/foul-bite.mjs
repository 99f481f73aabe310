import { between, once, strip } from '../lib.mjs';

const id = 'foul-bite';
const [OPEN, HELD] = [0, 4];
const row = (from) => strip(id).slice(from, from + 4);
const lighter = (i) => row(OPEN)[i].lightness - row(HELD)[i].lightness;
/** Bare copper that was never bitten. */
const white = () => strip(id, { value: 0, down: null, along: { key: 'ink.press', from: 0, to: 0, count: 3 } })[1].lightness;
const loses = (minutes) => white() - once(id, minutes).lightness;
const later = () => once(id, 12).lightness - once(id, 13.5).lightness;

export default {
  1: ['bit it open', () => {
    for (const patch of row(OPEN)) between(patch.cover, 0, 0, 'cover');
    for (const patch of row(HELD)) between(patch.cover, 0.46, 0.53, 'cover');
  }],
  2: ['however long', () => {
    between(row(OPEN)[0].lightness, 90.3, 91.3, 'after a minute and a half');
    between(row(OPEN)[3].lightness, 86.8, 87.8, 'after twelve');
    between(row(OPEN)[3].minutes, 12, 12, 'minutes');
    for (const patch of row(OPEN)) between(patch.land, 0, 0, 'walls');
  }],
  3: ['by fifty', () => {
    between(lighter(0), 5.5, 6.5, 'among the lights');
    between(lighter(3), 49, 52, 'in a dark');
  }],
  4: ['nearly six points', () => {
    between(loses(1), 5.3, 6, 'a white in one minute');
    between(later(), 2.6, 3.5, 'a dark in a minute and a half more');
  }],
  5: ['within one point', () => {
    between(once(id, 1.5).depth_um, 1.4, 1.6, 'depth');
    const burnished = strip(id, { down: null, along: { key: 'burnisher_um', from: 0, to: 2, count: 2 }, minutes: 1.5 })[1];
    between(white() - burnished.lightness, 0, 1, 'L* below the white');
  }],
  6: ['fifty points', () => {
    between(lighter(3), 49, 52, 'L*');
    between(row(OPEN)[3].held_um, 0, 0.4, 'ink');
    between(row(OPEN)[3].mean_depth_um, 9, 12, 'and yet deep');
  }],
  7: ['loses eight points', () => {
    between(loses(1.5), 7.8, 9, 'the white');
    between(later(), 2.6, 3.5, 'the dark');
  }],
};
