import { between, bitten, falls, least, of, probe, rises, strip } from '../lib.mjs';

const id = 'fine-grain';
const grid = () => strip(id);
/** Rows: coarse, middle, fine powder; columns: 4, 12, … 44 minutes. */
const row = (powder) => grid().filter((patch) => patch['dust.median_um'] === powder);
const POWDERS = [42, 28, 14];
const [COARSE, MIDDLE, FINE] = POWDERS;
const course = (powder) => bitten(id, 8, 56, 9, { 'dust.median_um': powder });
const best = (powder) => Math.min(...of(course(powder), 'lightness'));

/** The example’s dust, and the fine grain of the trade: a long wait, several dustings. */
const EXAMPLE = { 'dust.median_um': 60, 'dust.spread_gsd': 1.8, 'dust.powder_g_per_m2': 30, 'dust.wait_s': 30, 'dust.dusting_min': 5 };
const SEVERAL = { ...EXAMPLE, 'dust.wait_s': 120, 'dust.dustings': 5 };

export default {
  1: ['about 62, 44 and 23', () => {
    [[COARSE, 62], [MIDDLE, 44], [FINE, 23]].forEach(([powder, um]) => {
      between(row(powder)[0].median_footprint_um, um - 1.5, um + 1.5, `median footprint of ${powder} µm`);
      between(row(powder)[0].cover, 0.46, 0.57, `cover of ${powder} µm`);
    });
  }],
  2: ['within a point', () => {
    const first = POWDERS.map((powder) => row(powder)[0].lightness);
    between(row(FINE)[0].minutes, 4, 4, 'minutes');
    between(Math.max(...first) - Math.min(...first), 0, 1, 'L* between the rows');
  }],
  3: ['the dome floats off', () => {
    const [{ default: factor }] = probe({ ask: 'constants' })[0].filter(({ key }) => /etch_factor/.test(key));
    between(factor, 0.8, 1.25, 'depth against undercut');
    // A dome of radius 12: as long as the bite is shallower, its middle stands; then it sinks.
    const [{ depth_um: before }] = probe({ ask: 'profile', under_um: [12], dose_um: 11.9, etch_factor: factor });
    const [{ depth_um: after }] = probe({ ask: 'profile', under_um: [12], dose_um: 12.5, etch_factor: factor });
    between(before[0], 0, 0, 'depth under its middle, before');
    between(after[0], 0.5, 12.5, 'depth under its middle, after');
  }],
  4: ['twelve minutes', () => {
    const { minutes, depth_um } = row(FINE)[1];
    between(minutes, 12, 12, 'minutes');
    const half = row(FINE)[0].median_footprint_um / 2;
    between(depth_um / half, 0.92, 1.1, 'depth against half the median dome');
  }],
  5: ['as pale as an', () => {
    between(row(FINE)[5].minutes, 44, 44, 'minutes');
    between(row(FINE)[5].land, 0, 0.005, 'land');
    between(row(FINE)[5].lightness, 82, 90, 'L*');
  }],
  6: ['comes to L* 21', () => {
    falls(of(row(COARSE).slice(0, 5), 'lightness'), 'L* of the coarse grain up to 36 minutes');
    rises(of(row(FINE).slice(1), 'lightness'), 'L* of the finest, going back');
    between(row(MIDDLE)[4].lightness - row(MIDDLE)[3].lightness, 5, 40, 'the middle one, going back');
    between(row(COARSE)[4].minutes, 36, 36, 'minutes');
    between(row(COARSE)[4].lightness, 20, 22, 'coarse');
    between(best(MIDDLE), 23, 25, 'middle');
    // Minute by minute: its course is steep on either side.
    between(Math.min(...of(bitten(id, 8, 16, 9, { 'dust.median_um': FINE }), 'lightness')), 46.5, 49, 'finest');
  }],
  7: ['the sooner the', () => {
    rises(POWDERS.map(best), 'lightness of the black');
    falls(POWDERS.map((powder) => {
      const patches = course(powder);
      return patches[least(of(patches, 'lightness'))].minutes;
    }), 'minutes of the black');
  }],
  8: ['their black is L* 39', () => {
    const [fine, coarse] = [SEVERAL, EXAMPLE].map((set) => bitten(id, 8, 32, 9, set));
    for (const patches of [fine, coarse]) between(patches[0].cover, 0.46, 0.53, 'cover');
    between(fine[0].median_footprint_um / coarse[0].median_footprint_um, 0.7, 0.85, 'fine against the example');
    between(Math.min(...of(fine, 'lightness')), 38, 40, 'black of the fine grain');
    between(Math.min(...of(coarse, 'lightness')), 25, 27, 'black of the example');
    between(coarse[least(of(coarse, 'lightness'))].minutes - fine[least(of(fine, 'lightness'))].minutes, 5, 15, 'later by, min');
  }],
  9: ['The coarse', () => {
    between(least(POWDERS.map((powder) => Math.min(...of(row(powder), 'lightness')))), 0, 0, 'place of the blackest');
    between(row(COARSE)[4].held_um, Math.max(...of([...row(MIDDLE), ...row(FINE)], 'held_um')), 30, 'ink in its deepest pits');
  }],
  10: ['far paler', () => {
    const [twelve, later] = bitten(id, 12, 42, 2, { 'dust.median_um': FINE });
    between(later.lightness - twelve.lightness, 20, 60, 'L* after half an hour more');
    between(later.land, 0, 0.01, 'land');
  }],
};
