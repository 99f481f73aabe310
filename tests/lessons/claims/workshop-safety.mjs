import { between, native, probe, strip, table } from '../lib.mjs';

const id = 'workshop-safety';
const at = (powder, dustings) => strip(id).find((patch) => patch['dust.powder_g_per_m2'] === powder && patch['dust.dustings'] === dustings);
/** Dust in each cubic metre of the box when it has been stirred, and from how much on it can explode, g. */
const cloud = (powder_g_per_m2) => probe({ ask: 'dust', dust: { powder_g_per_m2 } })[0].cloud_g_per_m3[0];
const explosible = () => JSON.parse(native(['table', '--form', 'json'])).dust.explosible_g_per_m3;
/** Minutes for a grain of rosin to sink a metre. */
const minutes = (diameter_um) => 1 / probe({ ask: 'settling', diameter_um: [diameter_um], density_kg_per_m3: [1070] })[0].velocity_m_per_s[0] / 60;

const alike = () => {
  between(cloud(10) / cloud(30), 0.333, 0.334, 'cloud of a third');
  between(at(10, 3).cover - at(30, 1).cover, -0.005, 0.005, 'cover of three dustings against one');
  between(at(30, 1).cover, 0.46, 0.53, 'cover');
  between(at(10, 3).lightness - at(30, 1).lightness, -0.5, 0.5, 'L*');
  between(at(10, 3).minutes, 12, 12, 'minutes');
};

export default {
  1: ['30 grams to the cubic metre', () => {
    between(cloud(30), 29.9, 30.1, 'g/m³');
    between(explosible(), 14, 16, 'what can explode');
  }],
  2: ['lay the same ground', alike],
  3: ['twenty minutes', () => {
    between(minutes(5), 19, 21, '5 µm');
    between(minutes(2), 110, 130, '2 µm');
  }],
  4: ['115 °C', () => between(at(30, 1).plate_end_c, 114.5, 115.5, 'copper')],
  5: ['more than a gram', () => {
    const depth_um = table().reduce((sum, value) => sum + value.area_share * value.mean_depth_um, 0);
    // 15 × 20 cm of copper, 8.96 g/cm³.
    between(depth_um * 1e-4 * 300 * 8.96, 1, 1.6, 'g of copper');
  }],
  6: ['twice as dense', () => between(cloud(30) / explosible(), 1.9, 2.1, 'against what can explode')],
  7: ['three times', alike],
};
