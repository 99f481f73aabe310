import { between, depthField, falls, lowered, of, once, printed, probe, rises, scraped, strip } from '../lib.mjs';

const id = 'lightening';
const row = () => strip(id);
const dark = () => depthField(row().at(-1).depth_um);
const lighter = (field, by_um) => printed(scraped(field, by_um)).lightness - printed(field).lightness;

export default {
  1: ['19', () => between(row().at(-1).depth_um, 18.7, 19.3, 'depth')],
  2: ['print lighter', () => {
    falls([...of(row(), 'held_um')].reverse(), 'ink');
    rises([...of(row(), 'lightness')].reverse(), 'L*');
    // Truly scraped, with walls as they were: the same.
    const courses = [0, 4, 8, 12, 16].map((by) => printed(scraped(dark(), by)));
    falls(of(courses, 'held_um'), 'ink after scraping');
    rises(of(courses, 'lightness'), 'L* after scraping');
  }],
  3: ['within three points', () => {
    const half = row().at(-1).depth_um / 2;
    between(row()[3].depth_um, half - 0.3, half + 0.3, 'the patch bitten half as deep');
    between(printed(scraped(dark(), half)).lightness - row()[3].lightness, -3, 3, 'scraped against bitten');
  }],
  4: ['less than three points', () => {
    between(lighter(dark(), 2), 0.5, 3, 'two off 19');
    between(lighter(depthField(4), 2), 10, 30, 'two off four');
  }],
  5: ['within three points', () => {
    for (const by of [10, 30]) {
      for (const field of [dark(), depthField(10)]) between(printed(lowered(field, by)).lightness - printed(field).lightness, -3, 3, `all ${by} µm lower`);
    }
    between(lighter(dark(), 10), 10, 40, 'the same ten pared from the tops alone');
  }],
  6: ['about six points', () => {
    const smooth = strip(id, { value: 0, along: { key: 'ink.press', from: 0, to: 0, count: 3 } })[1];
    // Copper bitten without any ground: no grain, the floor rough.
    const open = once(id, 12, { 'bake.hot_plate_c': 50 });
    between(smooth.lightness - open.lightness, 5.5, 6.5, 'smooth copper against open bite');
    const films = probe({ ask: 'constants' })[0].filter(({ key }) => /film/.test(key) && /hand/.test(key)).map((one) => one.default);
    between(Math.min(...films), 0.01, 0.1, 'film on smooth copper');
    between(Math.max(...films), 0.15, 0.5, 'film on a bitten floor');
  }],
  7: ['Less than three', () => {
    between(lighter(dark(), 2), 0.5, 3, 'L*');
    between(printed(scraped(dark(), 2)).held_um / printed(dark()).held_um, 0.75, 0.98, 'ink that is left');
  }],
  8: ['more than half of its ink', () => {
    const grey = depthField(4);
    between(lighter(grey, 2), 10, 30, 'L*');
    between(printed(scraped(grey, 2)).held_um / printed(grey).held_um, 0, 0.5, 'ink that is left');
  }],
};
