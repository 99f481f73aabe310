import { between, falls, least, of, probe, rises, strip } from '../lib.mjs';

const id = 'the-wait';
const row = () => strip(id);

export default {
  1: ['more than fifty times', () => {
    // Loose grains of the plan's powder: 1070 kg/m³ times the solid share 0.15.
    const [{ velocity_m_per_s: [slow, fast] }] = probe({ ask: 'settling', diameter_um: [10, 100], density_kg_per_m3: [160.5, 160.5] });
    between(fast / slow, 50, 100, 'speed of 100 µm against 10 µm');
  }],
  2: ['run together', () => {
    between(row()[0].loose_cover, 0.95, 1, 'loose cover');
    // Dust that falls that thick and keeps apart would be hundreds of grains on the square millimetre.
    between(row()[0].domes_per_mm2, 0, 25, 'domes left');
  }],
  3: ['Some fourteen wide islands', () => {
    between(row()[0].domes_per_mm2, 12.5, 15.5, 'domes on the square millimetre');
    between(row()[0].median_footprint_um, 200, 260, 'median footprint');
  }],
  4: ['more than 350', () => {
    between(row()[3].domes_per_mm2, 350, 370, 'domes at 90 s');
    between(row()[3].median_footprint_um, 20, 30, 'median footprint at 90 s');
  }],
  5: ['Each longer wait', () => {
    rises(of(row(), 'domes_per_mm2'), 'domes');
    falls(of(row(), 'median_footprint_um'), 'median footprint');
  }],
  6: ['less than a third', () => {
    between(row()[0].loose_cover, 0.95, 1, 'loose cover without a wait');
    between(row()[8].loose_cover, 0.2, 1 / 3, 'loose cover after four minutes');
  }],
  7: ['less than a quarter of the copper instead of more than half', () => {
    between(row()[8].cover, 0.2, 0.25, 'cover after four minutes');
    between(row()[0].cover, 0.5, 0.6, 'cover without a wait');
  }],
  8: ['about half of these small domes', () => {
    // Half the domes are undercut when the bite is as deep as half their width.
    const { minutes, depth_um, median_footprint_um } = row()[8];
    between(((median_footprint_um / 2) / depth_um) * 12, 11, 13, 'minutes until half the domes float');
    between(minutes, 12, 12, 'minutes');
    between(row()[8].land, 0, 0.05, 'land');
    between(row()[8].lightness, 78, 90, 'L*');
  }],
  9: ['a minute and a half', () => between(row()[least(of(row(), 'lightness'))]['dust.wait_s'], 90, 90, 'wait of the darkest')],
  10: ['with twice as much', () => {
    between(twice().cover, 0.46, 0.54, 'cover with twice the powder');
    between(row()[4].cover, 0.3, 0.42, 'cover as it was');
  }],
  11: ['coarser than before', () => {
    between(twice().median_footprint_um / row()[4].median_footprint_um, 1.2, 2.5, 'footprint against before');
    between(twice().domes_per_mm2 / row()[4].domes_per_mm2, 0.3, 0.9, 'domes against before');
  }],
  12: ['After four minutes', () => between(least(of(row(), 'median_footprint_um')), 8, 8, 'place of the finest')],
  13: ['less than half of that cover', () => {
    between(least(of(row(), 'lightness')), 3, 3, 'place of the darkest');
    between(row()[8].cover / row()[3].cover, 0.3, 0.52, 'cover after four minutes against the darkest');
  }],
};

const twice = () => strip(id, { set: { 'dust.powder_g_per_m2': 46 } })[4];
