// Quantities in the words of the bench, metric and US.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { plain } from './lib/browser.mjs';
import { CATALOGUE } from './lib/plan.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

const bench = await pageModule('steps/benchUnits.ts', 'store/catalogue.ts', 'steps/list.ts');
bench.catalogue.value = CATALOGUE;
const said = (what, ...of) => plain(bench[what](...of));

test('set times are told short, and others as a clock shows them', () => {
  assert.deepEqual([15, 45, 60, 75, 80, 90, 150, 200, 3600].map((s) => said('timeWords', s)), ['15 s', '45 s', '1 min', '1¼ min', '80 s', '1½ min', '2½ min', '3:20', '60 min']);
  assert.deepEqual([0, 59.9, 125, 3725, -3].map((s) => said('clockWords', s)), ['0:00', '0:59', '2:05', '1:02:05', '0:00']);
  assert.deepEqual([0, 1, 60, 125].map((s) => said('spokenTime', s)), ['0 seconds', '1 second', '1 minute', '2 minutes 5 seconds']);
});

test('metric quantities have the digits that a bench can use', () => {
  assert.equal(said('weight', 7.54, 'metric'), '7.5 g');
  assert.equal(said('weight', 56.7, 'metric'), '57 g');
  assert.equal(said('measure', 2.14, 'metric'), '2.1 ml');
  assert.equal(said('volume', 2, 'metric'), '2.0 L');
  assert.equal(said('warmth', 125.04, 'metric'), '125 °C');
  assert.equal(said('warmer', 5, 'metric'), '5 °C');
  assert.equal(said('size', 150, 200.25, 'metric'), '150 × 200.3 mm');
  assert.equal(said('floor', [50, 60], 'metric'), '50 × 60 cm');
  assert.equal(said('thickness', 1.2, 'metric'), '1.2 mm');
});

test('US quantities keep grams and millilitres beside them', () => {
  assert.equal(said('weight', 56.699, 'us'), '2.00 oz (57 g)');
  assert.equal(said('volume', 1.892706, 'us'), '2.0 qt');
  assert.equal(said('measure', 9.85784, 'us'), '2.0 tsp (9.9 ml)');
  assert.equal(said('measure', 59.2, 'us'), '2.0 fl oz (59 ml)', 'a dozen spoons are poured');
  assert.equal(said('measure', 59.1, 'us'), '12.0 tsp (59 ml)', 'and a little less is spooned');
  assert.equal(said('warmth', 125, 'us'), '257 °F');
  assert.equal(said('warmer', 5, 'us'), '9 °F', 'a difference has no 32 in it');
  assert.equal(said('size', 152.4, 203.2, 'us'), '6.00 × 8.00 in');
  assert.equal(said('floor', [50.8, 25.4], 'us'), '20 × 10 in');
  assert.equal(said('thickness', 1.27, 'us'), '0.050 in');
});

test('the day goes on after midnight, and steps follow one another', () => {
  assert.deepEqual([[540, 0], [540, 18300], [1439, 60], [0, 29]].map(([begin, after]) => bench.ofDay(begin, after, 'metric')), ['09:00', '14:05', '00:00', '00:00']);
  assert.deepEqual([[540, 0], [540, 36240], [1439, 60], [719, 0], [719, 60], [779, 0]].map(([begin, after]) => plain(bench.ofDay(begin, after, 'us'))), ['9:00 am', '7:04 pm', '12:00 am', '11:59 am', '12:00 pm', '12:59 pm'], 'in US units twelve hours');
  assert.deepEqual([said('timeOfDay', 1144, 'us', 9), said('timeOfDay', 1144, 'metric', 9)], ['7:04:09 pm', '19:04:09'], 'the clock’s, with seconds');
  assert.deepEqual(bench.benchTimes([{ seconds: 90, allow_min: 5 }, { seconds: null, allow_min: 5 }, { seconds: 10, allow_min: 0 }]),
    [{ from_s: 0, to_s: 90 }, { from_s: 90, to_s: 390 }, { from_s: 390, to_s: 400 }]);
});
