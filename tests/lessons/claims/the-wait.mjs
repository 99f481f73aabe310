import { between, falls, least, of, probe, strip } from '../lib.mjs';

const id = 'the-wait';
/** Waits of 0, 30, 60, 90 and 120 s along; one dusting, three and five down. */
const row = (dustings = 1) => strip(id).filter((patch) => patch['dust.dustings'] === dustings);
const [HALF, TWO] = [1, 4];

export default {
  1: ['some eighty times', () => {
    // Solid grains of rosin, 1070 kg/m³.
    const [{ velocity_m_per_s: [slow, fast] }] = probe({ ask: 'settling', diameter_um: [10, 100], density_kg_per_m3: [1070, 1070] });
    between(fast / slow, 75, 87, 'speed of 100 µm against 10 µm');
  }],
  2: ['nine tenths', () => {
    between(row()[0].cover, 0.9, 0.95, 'cover without a wait');
    between(row()[0].lightness, 68, 80, 'L*');
  }],
  3: ['narrower than 35', () => {
    between(row()[HALF].median_footprint_um, 32, 35, 'median footprint after half a minute');
    between(row()[0].median_footprint_um, 45, 55, 'without a wait');
  }],
  4: ['no patch of the row is darker', () => {
    between(row()[HALF].cover, 0.46, 0.53, 'cover');
    between(least(of(row(), 'lightness')), HALF, HALF, 'place of the darkest');
  }],
  5: ['Each longer wait', () => { for (const dustings of [1, 3, 5]) falls(of(row(dustings), 'median_footprint_um'), `median footprint, ${dustings} dustings`); }],
  6: ['little more than a quarter', () => {
    between(row()[TWO].low_angle_cover, 0.25, 0.3, 'at a low angle after two minutes');
    between(row()[TWO].cover, 0.11, 0.14, 'cover');
    falls(of(row(), 'low_angle_cover'), 'what looks dusted');
  }],
  7: ['as pale as an', () => {
    between(row()[TWO].land, 0, 0.03, 'land');
    between(row()[TWO].lightness, 82, 90, 'L*');
    const open = strip(id, { set: { 'dust.powder_g_per_m2': 1 } })[TWO];
    between(open.lightness - row()[TWO].lightness, -1, 4, 'L* of hardly any dust at all');
  }],
  8: ['cover half the copper once more', () => {
    between(row(5)[TWO].cover, 0.46, 0.53, 'cover');
    between(row(5)[TWO].domes_per_mm2 / row()[HALF].domes_per_mm2, 1.75, 2, 'domes against half a minute');
    between(row(5)[TWO].median_footprint_um / row()[HALF].median_footprint_um, 0.7, 0.85, 'their width');
  }],
  9: ['within three points', () => {
    between(row()[HALF].minutes, 12, 12, 'minutes');
    between(row(5)[TWO].lightness - row()[HALF].lightness, -3, 3, 'L*');
  }],
  10: ['less than two hundredths', () => {
    between(1 - row(3)[0].cover, 0.005, 0.02, 'open copper');
    between(row(3)[0].lightness, 88, 93, 'L*: it hardly bites');
  }],
  11: ['After two minutes', () => between(least(of(row(), 'median_footprint_um')), TWO, TWO, 'place of the finest')],
  12: ['One alone leaves too little', () => {
    between(row()[TWO].cover, 0.1, 0.15, 'one after a long wait');
    between(row(5)[0].cover, 0.97, 1, 'several without a wait');
    between(row(5)[TWO].cover, 0.46, 0.53, 'several after a long wait');
  }],
};
