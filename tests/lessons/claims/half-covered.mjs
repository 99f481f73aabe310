import { between, falls, least, of, once, strip } from '../lib.mjs';

const id = 'half-covered';
const row = () => strip(id);

export default {
  1: ['only 4 %', () => between(row()[0].cover, 0.03, 0.045, 'cover')],
  2: ['9 [[um|µm]] deep and more', () => between(row()[0].mean_depth_um, 9, 9.9, 'mean depth, nearly all of it floor')],
  3: ['hardly a wall left', () => {
    between(row()[0].land, 0, 0.03, 'land');
    between(row()[0].held_um / row()[0].depth_um, 0, 0.05, 'share of the depth that holds ink');
  }],
  4: ['only a pale grey', () => between(row()[0].lightness, 82, 90, 'L*, paper being 93')],
  5: ['a little under half', () => {
    between(row()[1].cover, 0.4, 0.5, 'cover');
    between(least(of(row(), 'lightness')), 1, 1, 'place of the darkest');
  }],
  6: ['fifteen times', () => between(row()[1].held_um / row()[0].held_um, 15, 25, 'ink against the open bite')],
  7: ['prints lighter', () => {
    falls(of(row().slice(1), 'cover').map((cover) => -cover), 'open copper');
    falls(of(row().slice(1), 'lightness').map((l) => -l), 'darkness');
  }],
  8: ['as deep as everywhere else', () => {
    for (const patch of row()) between(patch.depth_um, 9.5, 9.6, 'depth of the open copper');
    falls(of(row(), 'mean_depth_um'), 'mean depth');
  }],
  9: ['nine tenths', () => {
    between(row()[4].cover, 0.88, 0.92, 'cover');
    between(row()[4].lightness, 65, 78, 'L*');
  }],
  10: ['98 %', () => between(row()[8].cover, 0.975, 0.99, 'cover')],
  11: ['no darker than the open bite', () => between(row()[8].lightness - row()[0].lightness, -1, 5, 'L* against the open bite')],
  12: ['40 to 60 %', () => {
    for (const minutes of [4, 12, 24]) {
      const patches = strip(id, { minutes, along: { key: 'dust.powder_g_per_m2', from: 5, to: 45, count: 9 } });
      const darkest = patches[least(of(patches, 'lightness'))];
      between(darkest.cover, 0.4, 0.6, `cover of the darkest after ${minutes} min`);
    }
  }],
  13: ['about half covered', () => between(row()[least(of(row(), 'lightness'))].cover, 0.4, 0.6, 'cover of the darkest')],
  14: ['holds no more ink', () => {
    const longer = strip(id, { minutes: 24 });
    const change = longer.map((patch, i) => Math.abs(patch.lightness - row()[i].lightness));
    between(least(change), 0, 0, 'place of the least change');
    between(longer[0].depth_um / row()[0].depth_um, 1.9, 2, 'depth against before');
    between(once(id, 24, { 'dust.powder_g_per_m2': 1 }).held_um / row()[0].held_um, 0.9, 1.1, 'ink against before');
  }],
};
