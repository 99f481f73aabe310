import { between, falls, least, of, once, strip } from '../lib.mjs';

const id = 'reading-a-proof';
const [weak, sound] = [() => strip(id).slice(0, 6), () => strip(id).slice(6)];
const HARD = { 'ink.wipe': 'hard' };
/** A bath that has eaten 50 g of copper in the litre has half its speed. */
const SLOW = { 'bath.copper_g_per_l': 50 };
const course = (set) => strip(id, { down: null, set: { 'dust.powder_g_per_m2': 30, ...set } });
const black = (set = {}) => once(id, 18, { 'dust.powder_g_per_m2': 30, ...set });

export default {
  1: ['its black at L* 27', () => between(sound()[5].lightness, 26.5, 27.9, 'L*')],
  2: ['this black would be 41', () => {
    const [before, last] = course(HARD).slice(4);
    between(last.lightness, 40.5, 41.7, 'L*');
    between(before.lightness - last.lightness, 0, 1.7, 'against its neighbour');
    between(last.depth_um - before.depth_um, 2.7, 3.1, 'µm deeper');
  }],
  3: ['eighteen like these nine', () => {
    for (const patch of course(SLOW)) between(patch.lightness - once(id, patch.minutes / 2, { 'dust.powder_g_per_m2': 30 }).lightness, -1, 1, `${patch.minutes} min`);
    between(black(SLOW).lightness - sound()[2].lightness, -1, 1, 'eighteen against nine');
  }],
  4: ['five points darker', () => {
    falls(of(course(SLOW), 'lightness'), 'L*');
    const [before, last] = course(SLOW).slice(4);
    between(before.lightness - last.lightness, 4.4, 5.6, 'last step');
  }],
  5: ['L* 66', () => {
    between(least(of(weak(), 'lightness')), 4, 4, 'place of the darkest');
    between(weak()[4].minutes, 15, 15, 'minutes');
    between(weak()[4].lightness, 65.5, 67, 'its darkest');
    between(weak()[5].lightness - weak()[4].lightness, 1, 4, 'lighter again');
  }],
  6: ['a thirtieth', () => {
    between(sound()[5].land, 0.09, 0.11, 'sound');
    between(weak()[5].land, 0.03, 0.037, 'broken');
  }],
  7: ['Grey whites', () => {
    const white = (wipe) => strip(id, { value: 0, down: null, along: { key: 'ink.wipe', from: 0, to: 0, count: 3 } }).find((patch) => patch['ink.wipe'] === wipe).lightness;
    between(white('hand') - white('tarlatan'), 5, 10, 'whites greyed');
    between(black({ 'ink.wipe': 'tarlatan' }).lightness - sound()[5].lightness, -10, 0, 'darks are good');
  }],
  8: ['keep the order', () => {
    falls(of(course(HARD), 'lightness'), 'L*, wiped hard');
    falls(of(course(SLOW), 'lightness'), 'L*, slow bath');
    between(least(of(weak(), 'lightness')), 0, 4, 'place of the darkest on too thin a dust');
  }],
  9: ['nearly twice the ink', () => {
    between(black().held_um / black(HARD).held_um, 1.7, 2, 'ink');
    between(black().mean_depth_um / black(HARD).mean_depth_um, 1, 1, 'depth');
    between(black(HARD).lightness - black().lightness, 13, 15, 'L*');
  }],
  10: ['within a point', () => between(once(id, 36, { 'dust.powder_g_per_m2': 30, ...SLOW }).lightness - black().lightness, -1, 1, 'L*')],
};
