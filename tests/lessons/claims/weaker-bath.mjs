import { between, least, of, once, strip } from '../lib.mjs';

const id = 'weaker-bath';
const at = (be, copper = 0) => strip(id).find((patch) => patch['bath.strength_be'] === be && patch['bath.copper_g_per_l'] === copper);
const left = (be, copper) => at(be, copper).depth_um / at(be).depth_um;

export default {
  1: ['more than 10', () => {
    for (const patch of strip(id)) between(patch.minutes, 9, 9, 'minutes');
    const fresh = strip(id).slice(0, 5);
    between(least(of(fresh, 'depth_um').map((depth) => -depth)), 1, 1, 'place of the quickest');
    between(at(28).depth_um, 10, 10.6, '28 °Bé');
    between(at(40).depth_um, 8.5, 9, '40 °Bé');
    between(at(46).depth_um, 7, 7.5, '46 °Bé');
  }],
  2: ['more than a third deeper', () => {
    between(at(28).depth_um / at(46).depth_um, 1.34, 1.5, 'depth');
    between(at(46).lightness - at(28).lightness, 9, 11, 'L*');
  }],
  3: ['22 °Bé is slower', () => between(at(22).depth_um / at(28).depth_um, 0.9, 0.99, 'depth')],
  4: ['not a fifth', () => {
    between(left(28, 50), 0.1, 0.2, '28 °Bé');
    between(left(40, 50), 0.48, 0.52, '40 °Bé');
  }],
  5: ['no longer bites', () => {
    between(at(22, 50).depth_um, 0, 0.01, 'depth');
    const bare = strip(id, { value: 0, down: null, along: { key: 'ink.press', from: 0, to: 0, count: 3 } })[1];
    between(at(22, 50).lightness - bare.lightness, -0.1, 0.1, 'L* against bare copper');
  }],
  6: ['a quarter of its speed', () => {
    between(left(40, 25), 0.72, 0.78, '40 °Bé');
    between(left(28, 25), 0.57, 0.63, '28 °Bé');
  }],
  7: ['about a sixth', () => {
    between(once(id, 9, { 'bath.strength_be': 28 }).depth_um / once(id, 9, { 'bath.strength_be': 40 }).depth_um, 1.13, 1.2, 'depth');
  }],
  8: ['more than twice as fast', () => between(at(40, 50).depth_um / at(28, 50).depth_um, 2, 3, 'depth')],
};
