// The plan in hand: history, what it is called, what can't be calculated and the ways out.

import assert from 'node:assert/strict';
import { beforeEach, test } from 'node:test';
import { plain } from './lib/browser.mjs';
import { CATALOGUE, PLAN } from './lib/plan.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

const page = await pageModule(
  'store/plan.ts', 'store/catalogue.ts', 'store/results.ts', 'store/mend.ts', 'store/heldUp.ts', 'store/files.ts', 'store/versions.ts', 'store/viewState.ts',
);
const { catalogue, change, plan } = page;
catalogue.value = CATALOGUE;

beforeEach(() => {
  page.begin(PLAN);
  page.endStroke();
  page.lastGood.value = null;
  page.atFocus.clear();
});

const waiting = (wait_s) => ({ ...PLAN, dust: { ...PLAN.dust, wait_s } });

test('changes are undone and made again one by one; quick ones of one thing are one step', () => {
  assert.deepEqual([page.undoName.value, page.redoName.value], [null, null]);
  change('wait', waiting(40));
  change('wait', waiting(50));
  change('title', { ...waiting(50), title: 'x' });
  assert.deepEqual(page.earlier.value.map(({ name }) => name), ['title', 'wait'], 'two strokes on the wait are one step');
  page.undo();
  assert.deepEqual([plan.value.title, plan.value.dust.wait_s, page.undoName.value, page.redoName.value], ['Harbour', 50, 'wait', 'title']);
  page.undo();
  assert.equal(plan.value, PLAN, 'the very plan it began with');
  page.undo();
  assert.equal(plan.value, PLAN, 'there is nothing before it');
  page.redo();
  assert.equal(plan.value.dust.wait_s, 50);
  change('wait', waiting(60));
  assert.deepEqual([page.redoName.value, page.earlier.value.length], [null, 2], 'what was undone gives way to what is new');
  page.amend(waiting(61));
  assert.deepEqual([plan.value.dust.wait_s, page.earlier.value.length], [61, 2], 'what is found out later is no step');
});

test('numbers are read and written by their keys', () => {
  assert.equal(page.numberAt(PLAN, 'dust.wait_s'), 30);
  assert.equal(page.wordAt(PLAN, 'ink.wipe'), 'hand');
  const next = page.withEntry(PLAN, 'bath.strength_be', 42);
  assert.deepEqual([next.bath.strength_be, PLAN.bath.strength_be], [42, 40]);
  assert.equal(next.dust, PLAN.dust, 'what is the same stays the same');
});

test('a threshold stays between its neighbours, in whole steps', () => {
  page.setThreshold(1, 59.74);
  assert.deepEqual(plan.value.picture.thresholds_l, [80, 59.5, 40]);
  page.setThreshold(1, 99);
  assert.equal(plan.value.picture.thresholds_l[1], 79.5);
  page.setThreshold(1, 0);
  assert.equal(plan.value.picture.thresholds_l[1], 40.5);
  page.setThreshold(2, -9);
  assert.equal(plan.value.picture.thresholds_l[2], 0);
});

test('what holds a plan up has a name', () => {
  assert.deepEqual(['dust.wait_s', 'ink.wipe', 'calibration.ink_black', 'bites', 'bites.2.bite_min', 'areas.0', 'areas', 'states.0.work', 'lines', 'notes', 'what.ever'].map(page.nameOf), [
    'Wait', 'Wiping', '“ink_black” in the calibration', 'The number of bites', 'Bite 3', 'Area 1', 'The areas by hand', 'State 2', 'The etched lines', 'The notes', 'The plan',
  ]);
});

test('one press puts an entry right: as it was, or as usual', () => {
  const ways = (field) => page.waysOut({ field, severity: 'error', sentence: { metric: '', us: '' } });
  change('wait', waiting(999));
  assert.deepEqual(ways('dust.wait_s').map(({ name }) => plain(name)), ['take the usual 30 s'], 'nothing sound is known of it');
  page.lastGood.value = waiting(45);
  assert.deepEqual(ways('dust.wait_s').map(({ name }) => plain(name)), ['put back 45 s', 'take the usual 30 s']);
  page.atFocus.set('dust.wait_s', 44);
  const [back] = ways('dust.wait_s');
  assert.equal(plain(back.name), 'put back 44 s', 'as it stood when the hand came to it');
  back.run();
  assert.equal(plan.value.dust.wait_s, 44);
  change('bite', { ...PLAN, bites: [{ bite_min: 1.1 }, { bite_min: 2 }, { bite_min: 4 }] });
  page.lastGood.value = PLAN;
  assert.deepEqual(ways('bites.0.bite_min').map(({ name }) => plain(name)), ['put back 1 min'], 'the nearest quarter is the same');
  change('calibration', { ...PLAN, calibration: { ink_black: 9, rate: 1 } });
  assert.deepEqual(ways('calibration.ink_black').map(({ name }) => name), ['leave out “ink_black”', 'leave out the whole calibration']);
});

test('a plan is mended entry by entry, and all else stays', () => {
  const { biteIn, mendable, mendedAt, withoutConstant } = page;
  assert.deepEqual(['bites.0.bite_min', 'bites.11.bite_min', 'bites', 'bites.0'].map(biteIn), [0, 11, -1, -1]);
  assert.deepEqual(['dust.wait_s', 'bites.1.bite_min', 'calibration.x', 'areas.0'].map((field) => mendable({ field })), [true, true, true, false]);
  assert.equal(mendedAt(waiting(999), 'dust.wait_s', waiting(45), CATALOGUE).dust.wait_s, 45);
  assert.equal(mendedAt(waiting(999), 'dust.wait_s', waiting(998), CATALOGUE).dust.wait_s, 30, 'what was good must itself be in bounds');
  assert.deepEqual(mendedAt({ ...PLAN, bites: [{ bite_min: -1 }, { bite_min: 2 }, { bite_min: 5 }] }, 'bites.0.bite_min', PLAN, CATALOGUE).bites.map(({ bite_min }) => bite_min), [1, 2, 5]);
  const other = mendedAt({ ...PLAN, bites: [], picture: { ...PLAN.picture, source: { file: 'a.png' } } }, 'bites', null, CATALOGUE);
  assert.deepEqual([other.bites, other.picture.source], [PLAN.bites, { file: 'a.png' }], 'bites with their thresholds, and the picture stays');
  assert.ok(!('areas' in mendedAt({ ...PLAN, areas: [{}] }, 'areas.0', PLAN, CATALOGUE)), 'what the good plan has not goes');
  const calibrated = { ...PLAN, calibration: { a: 1, b: 2 }, calibration_name: 'mine' };
  assert.deepEqual(withoutConstant(calibrated, 'a'), { ...PLAN, calibration: { b: 2 }, calibration_name: 'mine' });
  assert.deepEqual(withoutConstant(calibrated, null), PLAN);
  assert.deepEqual(withoutConstant({ ...PLAN, calibration: { a: 1 }, calibration_name: 'mine' }, 'a'), PLAN, 'a name of nothing goes with it');
});

test('a file is named after the plan, in letters and figures', () => {
  const { fileName } = page;
  assert.equal(fileName('.json', 'Harbour at Night, No. 3'), 'harbour-at-night-no-3.json');
  assert.equal(fileName('.json', 'Über die Brücke'), 'über-die-brücke.json');
  assert.equal(fileName('-proof.png', ' … '), 'plan-proof.png');
  assert.equal(fileName('.json', 'U\u0308ber がけ'), 'über-がけ.json', 'with what belongs to a letter');
  assert.equal(fileName('.json'), 'harbour.json', 'the plan in hand');
});

test('a state is told in words where there is more than one', () => {
  const { lastState, nameWithState, stateInHand, stateWords } = page;
  const of = { ...PLAN, states: [{ name: 'darker' }, { name: '' }] };
  assert.deepEqual([lastState(PLAN), lastState(of)], [1, 3]);
  assert.deepEqual([stateWords(PLAN), stateWords(of, 1), stateWords(of, 2), stateWords(of)], ['', 'state 1, the first proof', 'state 2, “darker”', 'state 3']);
  assert.deepEqual([nameWithState('Harbour', PLAN), nameWithState('Harbour', of, 2)], ['Harbour', 'Harbour, state 2, “darker”']);
  page.state.value = 2;
  assert.deepEqual([stateInHand(of), stateInHand(PLAN)], [2, 1], 'no later than there are');
  page.state.value = 0;
  assert.equal(stateInHand(of), 3);
  page.compareWith({ name: 'x' });
  assert.deepEqual([page.takeWaiting()?.name, page.takeWaiting()], ['x', null], 'once');
});

test('the linen tester stays on the plate', () => {
  page.placeLens(-5, 1e9);
  assert.deepEqual(page.lens.value, { x: 0, y: 200_000 });
  page.placeLens(10.4, 20.6);
  assert.deepEqual(page.lens.value, { x: 10, y: 21 });
});
