import { between, bitten, islandsPerMm2 as islands, of, once, probe, rises, strip } from '../lib.mjs';

const id = 'the-bake';
const row = () => strip(id);
const softening = () => probe({ ask: 'constants' })[0].find(({ key }) => /soften/.test(key)).default;
/** Grains that fell on the square millimetre. */
const landed = () => probe({ ask: 'dust' })[0].all_grains_per_mm2;
const islandsPerMm2 = (hot_plate_c) => islands({ bake: { hot_plate_c } });

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
  4: ['more than 550', () => {
    between(row()[1].plate_end_c, 69.5, 70.5, 'copper at the end');
    between(row()[1].domes_per_mm2, 550, 620, 'domes');
    between(row()[1].domes_per_mm2 / landed(), 0.9, 1, 'domes for each grain that fell');
  }],
  5: ['ten degrees below', () => {
    const [twenty, , ten] = strip(id, { along: { key: 'bake.hot_plate_c', from: 60, to: 70, count: 3 } });
    between(softening() - twenty.plate_end_c, 18, 22, 'degrees below softening');
    between(Number(twenty.doneness === 'under') - twenty.cover, 1, 1, 'no grain holds');
    between(softening() - ten.plate_end_c, 9, 11, 'degrees below softening');
    between(Number(ten.doneness === 'good'), 1, 1, 'verdict good');
  }],
  6: ['some 350', () => { for (const i of [2, 3]) between(row()[i].domes_per_mm2, 340, 365, 'domes'); }],
  7: ['as many domes as at 100', () => {
    for (const domes of of(row().slice(2), 'domes_per_mm2')) between(domes / row()[2].domes_per_mm2, 0.97, 1.03, 'domes against those at 100 °C');
    // On each square millimetre far fewer outlines than domes, and more than one: several domes to an island.
    between(islandsPerMm2(100), 100, 230, 'islands at 100 °C');
  }],
  8: ['forgives ten degrees', () => {
    const near = strip(id, { along: { key: 'bake.hot_plate_c', from: 115, to: 135, count: 3 } });
    between(Math.max(...of(near, 'lightness')) - Math.min(...of(near, 'lightness')), 0, 1.5, 'ten degrees either way, L*');
    between(Math.max(...of(near, 'cover')) - Math.min(...of(near, 'cover')), 0, 0.07, 'cover');
    between(Math.abs(row()[2].cover - row()[3].cover), 0, 0.05, 'cover at 100 against 125 °C');
    between(Math.abs(row()[2].lightness - row()[3].lightness), 0, 3, 'L* at 100 against 125 °C');
  }],
  9: ['nearly nine tenths', () => {
    between(row()[5].cover, 0.84, 0.9, 'cover');
    between(Number(row()[5].doneness === 'over'), 1, 1, 'verdict over');
    rises(of(row().slice(2), 'median_footprint_um'), 'width of a dome');
  }],
  10: ['more than twenty-five points', () => {
    between(row()[5].lightness - row()[3].lightness, 25, 35, 'L* against the good one');
    between(row()[5].land, 0.5, 0.7, 'land');
  }],
  11: ['less than two points', () => {
    // From five minutes, when the copper has come to heat, to twenty-five.
    const longer = strip(id, { set: { 'bake.hot_plate_c': 125 }, along: { key: 'bake.bake_min', from: 5, to: 25, count: 2 } });
    between(longer[1].lightness - longer[0].lightness, 0, 2, 'twenty minutes more');
    between(row()[5].lightness - row()[3].lightness, 25, 29.9, '50 degrees more');
  }],
  12: ['next to no ink', () => {
    between(row()[0].lightness, 82, 90, 'L*');
    between(row()[0].held_um, 0, 0.3, 'held ink');
  }],
  13: ['lighter than a good ground does after eight', () => {
    const over = once(id, 24, { 'bake.hot_plate_c': 200 });
    const [good] = bitten(id, 8, 9, 2, { 'bake.hot_plate_c': 125 });
    between(over.lightness - good.lightness, 0.5, 20, 'L* against eight minutes on a good ground');
  }],
};
