// The cut through the copper as shapes and in words.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import './lib/browser.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

const { copperShape, cutWords, inkShape, resinShape, runs, spanOf } = await pageModule('ui/cutShapes.ts');
const same = (x) => x;
const down = (um) => -um;

/** Five places 2 µm apart: a dome on the first two, bitten 10 µm and inked on the next two. */
const CUT = {
  step_um: 2, copper_um: [0, 0, -10, -10, 0], base_um: [0, 0, 0, 0, 0], resin_um: [8, 6, NaN, NaN, NaN], ink_um: [NaN, NaN, -2, -9.99, NaN],
  value: [0, 0, 2, 2, 1], facts: { depth_um: 4, land: 0.6, domes: 3, undercut: 0.25, held_um: 1.62 },
};

test('how far a cut reaches, and what is in it', () => {
  assert.deepEqual(spanOf(CUT), { highest: 8, deepest: -10, resin: true, ink: true });
  assert.deepEqual(spanOf({ ...CUT, resin_um: CUT.base_um, ink_um: CUT.copper_um }), { highest: 0, deepest: -10, resin: false, ink: false });
});

test('copper is one shape down to the foot of the drawing', () => {
  assert.equal(copperShape(CUT, same, down, 50), 'M0.0 50.00L0.0 0.00L2.0 0.00L4.0 10.00L6.0 10.00L8.0 0.00L8.0 50.00Z');
});

test('resin and ink are closed shapes where they are', () => {
  assert.equal(resinShape(CUT, same, down), 'M0.0 -8.00L2.0 -6.00L2.0 0.00L0.0 0.00Z');
  // The second place holds a hundredth of a µm, which is no ink to be seen.
  assert.equal(inkShape(CUT, same, down), 'M4.0 2.00L4.0 10.00Z');
  assert.equal(runs(5, (i) => i !== 2, same, () => 1, () => 0), 'M0.0 1.00L1.0 1.00L1.0 0.00L0.0 0.00ZM3.0 1.00L4.0 1.00L4.0 0.00L3.0 0.00Z', 'two runs, two shapes');
});

test('a cut is told to those who don’t see it', () => {
  assert.equal(cutWords(CUT, 2, true), 'Paper, value 1, value 2. On average 4.0 µm of copper is gone, and 60 % stands at its old height. '
    + '3 domes of resin, undercut along 25 % of the line. The pits hold 1.6 µm of ink on average.');
  assert.equal(cutWords({ ...CUT, value: [1, 1], facts: { ...CUT.facts, domes: 0, land: 1 } }, 0, false),
    'Value 1. Nothing is bitten yet, and 100 % stands at its old height. No resin.');
});
