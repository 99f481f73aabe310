// Numbers as people type and read them.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { plain } from './lib/browser.mjs';
import { CATALOGUE } from './lib/plan.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

const { numberProblem, readNumber, shortened } = await pageModule('ui/numbers.ts');
const { catalogue, conversion, decimalsOf, lengthWords, limitsOf, rangeOf, toQuarter, toStep, units, worded } = await pageModule('store/catalogue.ts', 'store/settings.ts');
catalogue.value = CATALOGUE;

test('a number is read with a point, a comma or as a fraction, and a typographer’s minus is one', () => {
  for (const [text, number] of [
    ['2.5', 2.5], ['2,5', 2.5], [' 7 ', 7], ['7 1/2', 7.5], ['3/4', 0.75], ['-3', -3], ['\u22123,5', -3.5], ['1e3', 1000], ['0', 0],
  ]) assert.equal(readNumber(text), number, `“${text}”`);
  for (const text of ['', '  ', 'soon', '1,000,5', '2 min', '1/2/3', '1 /2']) assert.ok(Number.isNaN(readNumber(text)), `“${text}” is none`);
});

test('what can’t be taken is told with its range', () => {
  assert.equal(numberProblem('12', [0, 100]), '');
  assert.equal(plain(numberProblem('101', [0, 100], '°C')), '101 is out of range. Type a number from 0 to 100 °C.');
  assert.equal(numberProblem('a lot', [0, 9]), '“a lot” is not a number. Type one from 0 to 9.');
  assert.equal(shortened('x'.repeat(24)), 'x'.repeat(24));
  assert.equal(shortened('x'.repeat(25)), `${'x'.repeat(23)}…`);
});

test('limits come from the catalogue, and numbers are brought to steps without dust of binary fractions', () => {
  assert.deepEqual(limitsOf('dust.wait_s'), { min: 0, max: 300, step: 1 });
  assert.deepEqual(rangeOf('strip.patches'), [2, 12]);
  assert.deepEqual(limitsOf('no.such'), { min: -Infinity, max: Infinity, step: 0.01 });
  assert.equal(toStep({ min: 0, max: 1, step: 0.1 }, 0.3000001), 0.3);
  assert.equal(toStep({ min: 0, max: 1, step: 0.1 }, 7), 1);
  assert.deepEqual([0.1, 1.1, 1.13, 200].map(toQuarter), [0.25, 1, 1.25, 90]);
});

test('units are the reader’s, but those that are µm everywhere', () => {
  assert.deepEqual([1, 0.5, 0.25, 0.001].map(decimalsOf), [0, 1, 2, 3]);
  assert.equal(lengthWords(152.4), '152 mm');
  assert.equal(conversion('µm', 1).unit, 'µm');
  units.value = 'us';
  const { to, from, unit, decimals } = conversion('°C', 0);
  assert.deepEqual([to(100), from(212), unit, decimals], [212, 100, '°F', 0]);
  assert.equal(lengthWords(152.4), '6.00 in');
  assert.equal(conversion('µm', 1).unit, 'µm');
  assert.equal(worded({ metric: '1 mm', us: '0.04 in' }), '0.04 in');
  units.value = 'metric';
  assert.equal(worded({ metric: '1 mm', us: '0.04 in' }), '1 mm');
});
