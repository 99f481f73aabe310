import { between, bitten, falls, least, of, probe, rises, strip } from '../lib.mjs';

const id = 'fine-grain';
const grid = () => strip(id);
/** Rows: coarse, middle, fine; columns: 4, 12, … 44 minutes. */
const row = (wait) => grid().filter((patch) => patch['dust.wait_s'] === wait);
const [COARSE, MIDDLE, FINE] = [45, 85, 125];
const best = (wait) => Math.min(...of(bitten(id, 8, 56, 9, { 'dust.wait_s': wait }), 'lightness'));

/** Coarse and fine powder, baked so that the grains keep apart, and as much of each as covers half the copper. */
const APART = { 'bake.hot_plate_c': 75, 'dust.wait_s': 10 };
const WIDE = { ...APART, 'dust.median_um': 120, 'dust.powder_g_per_m2': 19 };
const NARROW = { ...APART, 'dust.median_um': 40, 'dust.powder_g_per_m2': 5.3 };

export default {
  1: ['about 43, 30 and 24', () => {
    [[COARSE, 43], [MIDDLE, 30], [FINE, 24]].forEach(([wait, um]) => between(row(wait)[0].median_footprint_um, um - 1.5, um + 1.5, `median footprint after ${wait} s`));
  }],
  2: ['the middle one is even the darkest', () => {
    const [coarse, middle, fine] = [COARSE, MIDDLE, FINE].map((wait) => row(wait)[1].lightness);
    between(row(FINE)[1].minutes, 12, 12, 'minutes');
    between(coarse - fine, -0.5, 10, 'the finest against the coarse');
    between(least([coarse, middle, fine]), 1, 1, 'place of the darkest');
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
  4: ['a quarter of an hour', () => {
    const [{ depth_um }] = bitten(id, 15, 16, 2, { 'dust.wait_s': FINE });
    const half = row(FINE)[0].median_footprint_um / 2;
    between(depth_um / half, 0.92, 1.1, 'depth against half the median dome');
  }],
  5: ['as pale as an', () => {
    between(row(FINE)[5].minutes, 44, 44, 'minutes');
    between(row(FINE)[5].land, 0, 0.005, 'land');
    between(row(FINE)[5].lightness, 78, 90, 'L*');
  }],
  6: ['ends near L* 20', () => {
    falls(of(row(COARSE), 'lightness'), 'L* of the coarse grain');
    rises(of(row(FINE).slice(2), 'lightness'), 'L* of the finest, going back');
    between(row(MIDDLE)[5].lightness - row(MIDDLE)[3].lightness, 5, 40, 'the middle one, going back');
    between(row(COARSE)[5].lightness, 18.5, 21.5, 'coarse');
    between(Math.min(...of(row(MIDDLE), 'lightness')), 27, 29, 'middle');
    between(Math.min(...of(row(FINE), 'lightness')), 43, 45, 'finest');
  }],
  7: ['the sooner the', () => {
    rises([COARSE, MIDDLE, FINE].map(best), 'lightness of the black');
    falls([COARSE, MIDDLE, FINE].map((wait) => {
      const patches = bitten(id, 8, 56, 9, { 'dust.wait_s': wait });
      return patches[least(of(patches, 'lightness'))].minutes;
    }), 'minutes of the black');
  }],
  8: ['twenty points lighter', () => {
    const [wide, narrow] = [WIDE, NARROW].map((set) => bitten(id, 8, 48, 9, set));
    for (const patches of [wide, narrow]) between(patches[0].cover, 0.47, 0.53, 'cover');
    between(narrow[0].median_footprint_um / wide[0].median_footprint_um, 0.4, 0.75, 'fine against coarse');
    between(Math.min(...of(narrow, 'lightness')) - Math.min(...of(wide, 'lightness')), 18, 22, 'its black is lighter by');
  }],
  9: ['The coarse', () => {
    between(least([COARSE, MIDDLE, FINE].map((wait) => Math.min(...of(row(wait), 'lightness')))), 0, 0, 'place of the blackest');
    between(row(COARSE)[5].held_um, Math.max(...of([...row(MIDDLE), ...row(FINE)], 'held_um')), 30, 'ink in its deepest pits');
  }],
  10: ['far paler', () => {
    const [twelve, later] = bitten(id, 12, 42, 2, { 'dust.wait_s': FINE });
    between(later.lightness - twelve.lightness, 20, 60, 'L* after half an hour more');
    between(later.land, 0, 0.01, 'land');
  }],
};
