import { between, bitten, of, once, probe, strip } from '../lib.mjs';

const id = 'the-bake';
const row = () => strip(id);
const softening = () => probe({ ask: 'constants' })[0].find(({ key }) => /soften/.test(key)).default;

export default {
  1: ['47 °C', () => between(row()[0].plate_end_c, 46.5, 47.5, 'copper at the end')],
  2: ['not one grain', () => {
    between(softening(), 75, 77, 'softening point');
    between(row()[0].domes_per_mm2, 0, 0, 'domes');
    between(row()[0].cover, 0, 0, 'cover in the bath');
  }],
  3: ['bitten open and prints pale', () => {
    between(row()[0].land, 0, 0, 'land');
    between(row()[0].lightness, 82, 90, 'L*');
    between(Number(row()[0].doneness === 'under'), 1, 1, 'verdict under');
  }],
  4: ['more than 1,600', () => {
    between(row()[1].plate_end_c, 69.5, 70.5, 'copper at the end');
    between(row()[1].domes_per_mm2, 1600, 2600, 'domes');
  }],
  5: ['ten degrees below', () => {
    const [twenty, , ten] = strip(id, { along: { key: 'bake.hot_plate_c', from: 60, to: 70, count: 3 } });
    between(softening() - twenty.plate_end_c, 18, 22, 'degrees below softening');
    between(Number(twenty.doneness === 'under') - twenty.cover, 1, 1, 'no grain holds');
    between(softening() - ten.plate_end_c, 9, 11, 'degrees below softening');
    between(Number(ten.doneness === 'good'), 1, 1, 'verdict good');
  }],
  6: ['fewer than 200', () => {
    for (const patch of [row()[2], row()[3]]) {
      between(patch.domes_per_mm2, 100, 200, 'domes');
      between(patch.cover, 0.47, 0.54, 'cover');
    }
  }],
  7: ['forgives ten degrees', () => {
    between(Math.abs(row()[2].cover - row()[3].cover), 0, 0.03, 'difference in cover');
    between(Math.abs(row()[2].lightness - row()[3].lightness), 0, 3, 'difference in L*');
    const near = strip(id, { along: { key: 'bake.hot_plate_c', from: 115, to: 135, count: 3 } });
    between(Math.max(...of(near, 'lightness')) - Math.min(...of(near, 'lightness')), 0, 4, 'ten degrees either way, L*');
  }],
  8: ['nearly closed', () => {
    between(row()[5].cover, 0.95, 1, 'cover');
    between(Number(row()[5].doneness === 'over'), 1, 1, 'verdict over');
  }],
  9: ['for the opposite reason', () => {
    between(row()[5].lightness - row()[0].lightness, -2, 2, 'L* against the under-baked patch');
    between(row()[5].land, 0.85, 1, 'land, where the other has none');
  }],
  10: ['less than five points', () => {
    // From five minutes, when the copper has come to heat, to twenty-five.
    const longer = strip(id, { set: { 'bake.hot_plate_c': 125 }, along: { key: 'bake.bake_min', from: 5, to: 25, count: 2 } });
    between(longer[1].lightness - longer[0].lightness, 0, 5, 'twenty minutes more');
    between(row()[4].lightness - row()[3].lightness, 9, 10, '25 degrees more');
  }],
  11: ['next to no ink', () => {
    between(row()[0].lightness, 82, 90, 'L*');
    between(row()[0].held_um, 0, 0.3, 'held ink');
  }],
  12: ['lighter than a good ground does after three', () => {
    const over = once(id, 24, { 'bake.hot_plate_c': 175 });
    const [good] = bitten(id, 3, 6, 2, { 'bake.hot_plate_c': 125 });
    between(over.lightness - good.lightness, 0.5, 20, 'L* against three minutes on a good ground');
  }],
};
