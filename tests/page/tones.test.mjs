// Lightness and density, each from the other, by the table that Rust gives.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import './lib/browser.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

const { densityAt, densityWords, lightnessAt } = await pageModule('store/tones.ts');

/** Density of every tenth of L* by CIE 15: Y = ((L* + 16) / 116)³ above 8, L* / 903.3 below; ink is never blacker than 0.1 %. */
const TABLE = Float64Array.from({ length: 1001 }, (_, i) => {
  const lightness = i / 10;
  const y = lightness > 8 ? ((lightness + 16) / 116) ** 3 : lightness / 903.3;
  return -Math.log10(Math.max(0.001, y));
});

test('a density is read off between two tenths', () => {
  assert.equal(densityAt(TABLE, 100), 0);
  assert.ok(Math.abs(densityAt(TABLE, 50) - 0.7347) < 5e-5, 'L* 50 throws back 18.4 %');
  assert.equal(densityAt(TABLE, 42.05), (TABLE[420] + TABLE[421]) / 2);
  assert.equal(densityAt(TABLE, -5) > 2.9, true, 'nothing is darker than the table');
});

test('and a lightness off the same table', () => {
  for (const lightness of [3, 17.3, 50, 77.77, 99.9]) {
    assert.ok(Math.abs(lightnessAt(TABLE, densityAt(TABLE, lightness)) - lightness) < 1e-6, `L* ${lightness}`);
  }
  assert.equal(lightnessAt(TABLE, 0), 100);
  assert.equal(lightnessAt(TABLE, 9), 0);
});

test('until the table is there, a density is an ellipsis', () => {
  assert.equal(densityWords(50), '…');
  assert.ok(Number.isNaN(densityAt(new Float64Array(), 50)));
});
