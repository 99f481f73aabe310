import { between, depthField, falls, lowered, of, once, printed, probe, rises, strip } from '../lib.mjs';

const id = 'lightening';
const light = () => strip(id).slice(0, 9);
const dark = () => strip(id).slice(9);
/** The dark plate with another tool, from nothing to 16 µm. */
const burnished = () => strip(id, { along: { key: 'burnisher_um', from: 0, to: 16, count: 9 } }).slice(9);
const lighter = (row, at) => row[at].lightness - row[0].lightness;

export default {
  1: ['nearly 18', () => {
    between(dark()[0].depth_um, 17.5, 18, 'depth');
    between(light()[0].minutes, 5, 5, 'minutes of the upper row');
    between(dark()[0].minutes, 18, 18, 'minutes of the lower row');
  }],
  2: ['less ink with every patch', () => {
    const [{ default: pass_um }] = probe({ ask: 'constants' })[0].filter(({ key }) => key === 'work.scraper_um_per_pass');
    between(dark()[1].scraper_um / pass_um, 3.5, 4.5, 'passes from patch to patch');
    falls(of(dark(), 'held_um'), 'ink of the dark plate');
    rises(of(dark(), 'lightness'), 'L* of the dark plate');
    falls(of(light().slice(0, 4), 'held_um'), 'ink of the light plate');
    rises(of(light().slice(0, 4), 'lightness'), 'L* of the light plate');
    for (const bare of light().slice(4)) between(bare.lightness - light()[3].lightness, -0.1, 0.1, 'nothing left to scrape');
  }],
  3: ['about four points', () => {
    const halved = strip(id, { down: null, value: null, minutes: 18, along: { key: 'scraper_um', from: 0, to: 9, count: 2 } })[1];
    const bitten = once(id, 9);
    between(bitten.depth_um, 8.7, 9.1, 'the plate bitten half as deep');
    between(halved.lightness - bitten.lightness, 3.4, 4.6, 'scraped against bitten');
  }],
  4: ['about three points', () => {
    between(lighter(dark(), 1), 2.5, 3.5, 'two off 18');
    between(light()[0].depth_um, 4.7, 5.2, 'pits of the light plate');
    between(lighter(light(), 1), 10, 30, 'two off five');
  }],
  5: ['less than three points darker', () => {
    const polished = strip(id, { down: null, value: 0, along: { key: 'ink.press', from: 0, to: 0, count: 3 } })[1];
    between(polished.lightness - light()[3].lightness, 0.3, 3, 'furrows against polished copper');
    between(light()[3].held_um / polished.held_um, 1.3, 5, 'ink in the furrows');
  }],
  6: ['more than eight µm scraped', () => between(lighter(burnished(), 4) - lighter(dark(), 4), 2, 12, 'burnished against scraped')],
  7: ['within three points', () => {
    for (const by of [10, 30]) {
      for (const field of [depthField(dark()[0].depth_um), depthField(10)]) between(printed(lowered(field, by)).lightness - printed(field).lightness, -3, 3, `all ${by} µm lower`);
    }
    between(lighter(dark(), 5), 10, 40, 'the same ten taken from the tops alone');
  }],
  8: ['About three', () => {
    between(lighter(dark(), 1), 2.5, 3.5, 'L*');
    between(dark()[1].held_um / dark()[0].held_um, 0.75, 0.98, 'ink that is left');
  }],
  9: ['more than half of its ink', () => {
    between(lighter(light(), 1), 10, 30, 'L*');
    between(light()[1].held_um / light()[0].held_um, 0, 0.5, 'ink that is left');
  }],
};
