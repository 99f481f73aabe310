import assert from 'node:assert/strict';
import { between, falls, of, strip, table } from '../lib.mjs';

const id = 'stop-out';
const row = () => strip(id);
const values = [1, 2, 3, 4, 5, 6, 7];
const LAST = { key: 'bites.6.bite_min', from: 3, to: 6, count: 4 };

export default {
  1: ['seven bites: 18', () => assert.deepEqual(of(table().slice(1), 'cumulative_min'), [1.5, 3, 4.5, 6, 8.5, 12, 18], 'minutes in all')],
  2: ['seventeen points', () => {
    between(row()[0]['bites.0.bite_min'], 1.5, 1.5, 'from');
    between(row().at(-1)['bites.0.bite_min'], 5.5, 5.5, 'to');
    between(row()[0].lightness - row().at(-1).lightness, 16.5, 18, 'L* of value 3');
  }],
  3: ['less than two points', () => {
    const darkest = strip(id, { value: 7 });
    between(darkest[0].lightness - darkest.at(-1).lightness, 0.5, 2, 'L* of value 7');
  }],
  4: ['exactly as they were', () => {
    for (const value of [1, 2, 3, 4, 5, 6]) {
      const patches = strip(id, { value, along: LAST });
      assert.equal(new Set(of(patches, 'lightness')).size, 1, `value ${value} does not change`);
    }
    const darkest = strip(id, { value: 7, along: LAST });
    between(darkest[0].lightness - darkest.at(-1).lightness, 3, 4, 'L* of value 7');
    between(darkest.at(-1)['bites.6.bite_min'] - darkest[0]['bites.6.bite_min'], 3, 3, 'minutes less');
  }],
  5: ['53½', () => {
    const minutes = of(table().slice(1), 'cumulative_min');
    assert.equal(Math.max(...minutes), 18, 'upwards');
    assert.equal(minutes.reduce((sum, one) => sum + one, 0), 53.5, 'each by itself');
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
