// What plots are drawn with: round numbers for their axes, scales there and back, paths.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import './lib/browser.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

const { along, linear, path, ratio, ratioTicks, smooth, ticks } = await pageModule('ui/ticks.ts');
const same = (x) => x;

test('ticks are round and lie in the range', () => {
  assert.deepEqual(ticks(0, 100), [0, 50, 100]);
  assert.deepEqual(ticks(0, 100, 5), [0, 20, 40, 60, 80, 100]);
  assert.deepEqual(ticks(0.13, 0.47, 3), [0.2, 0.4]);
  assert.deepEqual(ticks(-1, 1, 4), [-1, -0.5, 0, 0.5, 1]);
  assert.deepEqual(ticks(0, 0.3, 3), [0, 0.1, 0.2, 0.3], 'without dust of binary fractions');
  assert.deepEqual(ticks(5, 5), [5], 'a range without width');
  assert.deepEqual(ratioTicks(3, 120), [5, 10, 20, 50, 100]);
});

test('scales go there and back', () => {
  const x = linear(10, 20, 0, 300);
  assert.deepEqual([x(10), x(15), x(20), x.back(150)], [0, 150, 300, 15]);
  const flat = linear(5, 5, 40, 80);
  assert.equal(flat(5), 40, 'a range without width divides by nothing');
  const r = ratio(1, 100, 0, 200);
  assert.ok(Math.abs(r(10) - 100) < 1e-9 && Math.abs(r.back(150) - 10 ** 1.5) < 1e-9);
});

test('a path leaves gaps where there is no number', () => {
  assert.equal(path([0, 1, 2, 3], [5, NaN, 7, 8], same, same), 'M0.00 5.00M2.00 7.00L3.00 8.00');
  assert.equal(path([], [], same, same), '');
});

test('a smooth curve goes through its points and never beyond its neighbours', () => {
  assert.equal(smooth([0, 3], [0, 3], same, same), 'M0.00 0.00C1.00 1.00 2.00 2.00 3.00 3.00', 'two points are a straight line');
  // At the turn its slope is nought: both handles beside it are level with it.
  assert.equal(smooth([0, 3, 6], [0, 6, 0], same, same), 'M0.00 0.00C1.00 2.00 2.00 6.00 3.00 6.00C4.00 6.00 5.00 2.00 6.00 0.00');
  assert.equal(smooth([3, 0], [3, 0], same, same), smooth([0, 3], [0, 3], same, same), 'in whatever order they come');
  assert.equal(smooth([0, 1, 3], [0, NaN, 3], same, same), smooth([0, 3], [0, 3], same, same), 'what is no number is left out');
});

test('a curve is read between its points, and holds at its ends', () => {
  assert.equal(along([0, 10, 20], [0, 100, 50], 15), 75);
  assert.deepEqual([along([0, 10], [3, 7], -1), along([0, 10], [3, 7], 99)], [3, 7]);
  assert.ok(Number.isNaN(along([], [], 1)));
});
