import assert from 'node:assert/strict';
import { between, falls, of, strip, table } from '../lib.mjs';

const id = 'stop-out';
const row = () => strip(id);
const values = [1, 2, 3, 4, 5, 6, 7];
const LAST = { key: 'bites.6.bite_min', from: 6, to: 24, count: 4 };

export default {
  1: ['24', () => assert.deepEqual(of(table().slice(1), 'cumulative_min'), [1, 3, 6, 9, 13, 18, 24], 'minutes in all')],
  2: ['more than twenty points', () => {
    between(row()[0]['bites.0.bite_min'], 1, 1, 'from');
    between(row().at(-1)['bites.0.bite_min'], 9, 9, 'to');
    between(row()[0].lightness - row().at(-1).lightness, 20, 25, 'L* of value 3');
  }],
  3: ['five or six points', () => {
    const darkest = strip(id, { value: 7 });
    between(darkest[0].lightness - darkest.at(-1).lightness, 5, 6, 'L* of value 7');
  }],
  4: ['exactly as they were', () => {
    for (const value of [1, 2, 3, 4, 5, 6]) {
      const patches = strip(id, { value, along: LAST });
      assert.equal(new Set(of(patches, 'lightness')).size, 1, `value ${value} does not change`);
    }
    const darkest = strip(id, { value: 7, along: LAST });
    between(darkest[0].lightness - darkest.at(-1).lightness, 8.5, 9.4, 'L* of value 7');
    between(darkest.at(-1)['bites.6.bite_min'] - darkest[0]['bites.6.bite_min'], 18, 18, 'minutes more');
  }],
  5: ['74', () => {
    const minutes = of(table().slice(1), 'cumulative_min');
    assert.equal(Math.max(...minutes), 24, 'upwards');
    assert.equal(minutes.reduce((sum, one) => sum + one, 0), 74, 'each by itself');
  }],
  6: ['Every one', () => {
    for (const value of values) falls(of(strip(id, { value }), 'lightness'), `L* of value ${value}`);
    assert.equal(new Set(of(strip(id, { value: 0 }), 'lightness')).size, 1, 'the whites');
  }],
  7: ['Like the first', () => {
    // Stopped out with the first, the second has the first's minute and no other.
    const first = strip(id, { value: 1 })[0];
    const second = strip(id, { value: null, minutes: first.minutes, along: { key: 'ink.press', from: 0, to: 0, count: 3 } })[1];
    between(second.depth_um / first.depth_um, 0.995, 1.005, 'depth');
    between(second.lightness - first.lightness, -0.1, 0.1, 'L*');
    between(strip(id, { value: 2 })[0].lightness - first.lightness, -20, -5, 'as planned it would have been darker');
  }],
};
