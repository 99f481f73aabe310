// Where one is on the page: which place an address names, in which step an entry stands, what a step comes to in a line.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import './lib/browser.mjs';
import { CATALOGUE, PLAN } from './lib/plan.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

const { catalogue, openStep, placeNamed, state, stepOf, STEPS, stepWords, units } = await pageModule(
  'store/catalogue.ts', 'store/place.ts', 'store/viewState.ts', 'features/plan/stepWords.ts', 'store/settings.ts',
);

const HERE = { step: null, panel: null, lesson: null, presenting: false, ownLesson: null, term: null, state: 0, plate: null, photograph: null, cost: 'dust', exercise: null };

test('an address names a step, a panel, a lesson, an entry of the glossary, a state', () => {
  for (const step of STEPS) assert.deepEqual(placeNamed(step), { ...HERE, step });
  assert.deepEqual(placeNamed(''), HERE);
  assert.deepEqual(placeNamed('clock'), { ...HERE, panel: 'clock' });
  assert.deepEqual(placeNamed('lesson-the-bake'), { ...HERE, panel: 'lessons', lesson: 'the-bake' });
  assert.deepEqual(placeNamed('lesson-the-bake/present'), { ...HERE, panel: 'lessons', lesson: 'the-bake', presenting: true });
  assert.deepEqual(placeNamed('teach-0a1b'), { ...HERE, panel: 'teach', ownLesson: '0a1b' });
  assert.deepEqual(placeNamed('glossary-stop-out'), { ...HERE, panel: 'glossary', term: 'stop-out' });
  assert.deepEqual(placeNamed('record'), { ...HERE, panel: 'record' }, 'that of the plan in hand');
  assert.deepEqual(placeNamed('record-1ab2'), { ...HERE, panel: 'record', plate: '1ab2' });
  assert.deepEqual(placeNamed('pulled'), { ...HERE, panel: 'pulled' });
  assert.deepEqual(placeNamed('pulled-1ab2'), { ...HERE, panel: 'pulled', photograph: '1ab2' }, 'a photograph in a record');
  assert.deepEqual(placeNamed('faults'), { ...HERE, panel: 'faults' });
  assert.deepEqual(placeNamed('cost-bites'), { ...HERE, panel: 'cost', cost: 'bites' }, 'what the faults of a step would cost');
  assert.deepEqual(placeNamed('what-went-wrong'), { ...HERE, panel: 'what-went-wrong' });
  assert.deepEqual(placeNamed('what-went-wrong-7k-zz9'), { ...HERE, panel: 'what-went-wrong', exercise: '7k-zz9' }, 'one exercise');
  assert.deepEqual(placeNamed('states-2'), { ...HERE, step: 'states', state: 2 });
});

test('what names no place may be a link', () => {
  for (const text of ['1.AAAA', 'wall/1.AAAA', 'Dust', 'dust-2', 'states-', 'states-123', 'lesson-', 'lesson-X', 'glossary-', 'record-', 'record-A B', 'pulled-', 'pulled-A', 'teach-', 'teach-A', 'cost-', 'cost-states', 'what-went-wrong-', 'what-went-wrong-7k', 'what-went-wrong-A-B', '1.AAAA/present', 'toString', '__proto__', 'constructor']) {
    assert.equal(placeNamed(text), null, text);
  }
});

test('a panel is opened over the step and the state that one is at', () => {
  openStep.value = 'states';
  state.value = 2;
  assert.deepEqual(placeNamed('clock'), { ...HERE, step: 'states', state: 2, panel: 'clock' });
  assert.deepEqual(placeNamed('plan'), { ...HERE, step: 'states', state: 2 }, 'the way past the head changes nothing');
  assert.deepEqual(placeNamed('states'), { ...HERE, step: 'states' }, 'no state of its own: the last');
  assert.equal(placeNamed('').step, null, 'the page as it opens');
  openStep.value = null;
  state.value = 0;
});

test('every entry stands in a step', () => {
  catalogue.value = { ...CATALOGUE, fields: [...CATALOGUE.fields, { ...CATALOGUE.fields[0], key: 'picture.smallest_mm', part: 'plate' }] };
  const expected = {
    'dust.wait_s': 'dust', 'bake.hot_plate_c': 'bake', 'bath.strength_be': 'bath', 'bites.2.bite_min': 'bites', bites: 'bites', 'ink.wipe': 'ink', 'paper.margin_mm': 'ink',
    'plate.width_mm': 'picture', 'picture.crop': 'picture', 'picture.smallest_mm': 'picture', 'areas.1.value': 'picture', lines: 'picture', title: 'picture', '': 'picture',
    'states.1.work.0': 'states', 'edition.impressions': 'states', 'calibration.bite.rate_um_per_min': 'bath', calibration_name: 'bath',
  };
  for (const [field, step] of Object.entries(expected)) assert.equal(stepOf(field), step, field);
});

const SUMMARY = {
  dust: { loose_cover: 0.214 }, ground: { cover: 0.496, islands_per_mm2: 40.4 }, bath: { rate_um_per_min: [1.52] },
  values: [95, 61, 22].map((lightness) => ({ lightness })),
};

test('what each step comes to stands in one line, in the reader’s units', () => {
  catalogue.value = CATALOGUE;
  const words = (plan, now, picture = null) => STEPS.map((step) => stepWords[step](plan, now, picture).replaceAll('\u00a0', ' '));
  assert.deepEqual(words(PLAN, SUMMARY), [
    'harbour at dusk, 150 mm × 200 mm, 3 values', '21 % covered from above', '50 % of the copper covered, 40 islands per mm²', '40.0 °Bé, 20 °C, 1.5 µm a minute',
    '3, 7 min in all', 'L* 95 to 22', 'the first proof',
  ]);
  const other = { ...PLAN, dust: { ...PLAN.dust, dustings: 2 }, bites: [{ bite_min: 1 }, { bite_min: 0.25 }], states: [{ name: '', from_state: 1, work: [] }] };
  assert.deepEqual(words(other, null, 'sheds.png'), [
    'sheds.png, 150 mm × 200 mm, 2 values', '2 dustings', '', '40.0 °Bé, 20 °C', '2, 1.25 min in all', '', '2 states',
  ], 'and what is not known yet is left out');
  units.value = 'us';
  const us = words(PLAN, SUMMARY);
  assert.equal(us[0], 'harbour at dusk, 5.91 in × 7.87 in, 3 values');
  assert.equal(us[3], '40.0 °Bé, 68 °F, 1.5 µm a minute');
  units.value = 'metric';
});
