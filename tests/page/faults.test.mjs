// Faults on the page: which step of the bench each belongs to, in which step of the plan one is looked for, and how a plan
// holds them.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { test } from 'node:test';
import { fileURLToPath } from 'node:url';
import './lib/browser.mjs';
import { CATALOGUE, PLAN } from './lib/plan.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

const TEXTS = path.join(path.dirname(fileURLToPath(import.meta.url)), '../../www/src/steps/texts');
const { faultStepAt, faultKinds, stepOf, plan, catalogue, begin, undo, held, mapCells, removeFault, setFault, takeFault, undoName, openStep } = await pageModule(
  'steps/faultSteps.ts', 'store/faults.ts', 'store/place.ts', 'store/plan.ts', 'features/faults/faults.ts',
);

const info = (kind, step, name) => ({ kind, step, name, place: 'spot', has_bite: false });
const fault = (kind, more = {}) => ({ kind, x_mm: 40, y_mm: 60, radius_mm: 12, size: 0.5, seed: 0, ...more });

function fresh(faults) {
  catalogue.value = CATALOGUE;
  faultKinds.value = [info('draught', 'dust', 'draught while dusting'), info('drip', 'bites', 'drip of stop-out')];
  begin({ ...PLAN, ...(faults && { faults }) });
  held.value = null;
}

test('every step of the plan that can go wrong is found at steps of the bench that there are', async () => {
  const files = await Promise.all(['ground', 'bath', 'print'].map(async (part) => JSON.parse(await readFile(path.join(TEXTS, `${part}.json`), 'utf8'))));
  const ids = files.flatMap(({ steps }) => Object.keys(steps));
  const told = ids.map((id) => faultStepAt(id));
  for (const step of ['dust', 'bake', 'bites', 'ink']) assert.ok(told.includes(step), `${step} is at no step of the bench`);
  assert.equal(faultStepAt('dusting-3'), 'dust', 'a later dusting as well');
  assert.equal(faultStepAt('bite-7'), 'bites');
  assert.equal(faultStepAt('bath-away'), null, 'nothing is left to go wrong');
});

test('what is wrong with a fault is looked for in the step where it happens', () => {
  fresh([fault('drip'), fault('draught')]);
  assert.equal(stepOf('faults.0.size'), 'bites');
  assert.equal(stepOf('faults.1.x_mm'), 'dust');
});

test('a fault is taken, changed and removed, each as one change', () => {
  fresh();
  takeFault(fault('drip'));
  assert.deepEqual(plan.value.faults, [fault('drip')]);
  assert.deepEqual([held.value, openStep.value, undoName.value], [0, 'bites', 'drip of stop-out added'], 'and is in hand, in its step');
  setFault(0, 'size', { size: 0.75 });
  assert.equal(plan.value.faults[0].size, 0.75);
  assert.equal(undoName.value, 'size of the drip of stop-out');
  const same = plan.value;
  setFault(0, 'size', { size: 0.75 });
  assert.equal(plan.value, same, 'the same again is no change');
  removeFault(0);
  assert.equal('faults' in plan.value, false, 'a plan without any says nothing of them');
  assert.equal(held.value, null);
  undo();
  assert.equal(plan.value.faults[0].size, 0.75);
  undo();
  undo();
  assert.deepEqual(plan.value, PLAN, 'back to the plan as it was');
  setFault(3, 'size', { size: 1 });
  removeFault(3);
  assert.deepEqual(plan.value, PLAN, 'what is not there is left alone');
});

test('the map of a plate has its shape', () => {
  for (const [width_mm, height_mm] of [[150, 200], [600, 20], [33.3, 33.3]]) {
    const [columns, rows] = mapCells({ plate: { width_mm, height_mm } });
    assert.ok(Math.max(columns, rows) === 128 && Math.min(columns, rows) >= 8, `${columns} × ${rows}`);
  }
});
