// Sentences of the core in US units: pure code, tried without a browser.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { pageModule } from './lib/pageModule.mjs';

const { inUsUnits } = await pageModule('state/sentences.ts');

const SENTENCES = [
  ['Rosin softens near 76 °C.', 'Rosin softens near 169 °F.'],
  // A difference has no freezing point to be counted from.
  ['about a quarter slower for each 10 °C.', 'about a quarter slower for each 18 °F.'],
  ['the bath held to ± 1 °C', 'the bath held to ± 2 °F'],
  ['200 °C is too hot: choose between 40 and 180 °C.', '392 °F is too hot: choose between 104 and 356 °F.'],
  ['20–30 °C', '68–86 °F'],
  ['0.72 mm deep, 60 % of the plate’s 1.2 mm', '0.028 in deep, 60 % of the plate’s 0.047 in'],
  ['a floor of 50 × 50 cm and 2 L of bath', 'a floor of 19.69 × 19.69 in and 2.11 qt of bath'],
  ['falls through 0.5 m', 'falls through 19.69 in'],
  // What has no counterpart stays: grain and depth in µm, weights by area and volume, minutes, strengths, lightness.
  ['12 µm in 5 min at 40 °Bé, 20 g/m², 15 g/m³, 1.2 L* lighter', '12 µm in 5 min at 40 °Bé, 20 g/m², 15 g/m³, 1.2 L* lighter'],
];

test('sentences of the core in US units', () => {
  for (const [metric, us] of SENTENCES) assert.equal(inUsUnits(metric), us);
});
