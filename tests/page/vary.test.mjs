// What a test strip varies, and the ranges it is begun with.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { plain } from './lib/browser.mjs';
import { CATALOGUE, PLAN } from './lib/plan.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

const strip = await pageModule('features/strip/vary.ts', 'features/strip/stripFile.ts', 'store/catalogue.ts', 'store/settings.ts');
const { ownPlace, patchRange, rangeFor, sideProblem, stepWords, variable, variables } = strip;
strip.catalogue.value = CATALOGUE;

test('what can be varied is listed in the order of the bench', () => {
  assert.deepEqual(variables(PLAN).map(({ key }) => key), [
    'dust.wait_s', 'bake.hot_plate_c', 'bath.strength_be', 'minutes', 'bites.0.bite_min', 'bites.1.bite_min', 'bites.2.bite_min',
    'scraper_um', 'burnisher_um', 'ink.base_parts', 'ink.wipe',
  ], 'the size of the plate has no use');
  assert.equal(variable(PLAN, 'bites.1.bite_min').label, 'Bite 2');
  assert.equal(variable(PLAN, 'bites.7.bite_min'), undefined);
  assert.deepEqual(patchRange(), [2, 12]);
});

test('the plan’s own place on a side', () => {
  assert.deepEqual(['dust.wait_s', 'bites.2.bite_min', 'ink.wipe', 'scraper_um', 'minutes', 'bites.9.bite_min'].map((key) => ownPlace(PLAN, key)),
    [30, 4, 'hand', 0, null, null]);
});

test('a range begins round the plan’s own place, in steps that a plan can tell apart, one of them its own', () => {
  assert.deepEqual(rangeFor(PLAN, 'dust.wait_s'), { key: 'dust.wait_s', from: 8, to: 74, count: 7 });
  for (const key of ['dust.wait_s', 'bake.hot_plate_c', 'bath.strength_be', 'minutes', 'bites.0.bite_min', 'ink.base_parts', 'scraper_um']) {
    const { from, to, count } = rangeFor(PLAN, key);
    const { min, max, step } = variable(PLAN, key).field;
    const apart = (to - from) / (count - 1);
    const whole = (x) => Math.abs(x - Math.round(x)) < 1e-6;
    assert.ok(from >= min && to <= max && from < to, `${key}: ${from} to ${to}`);
    assert.ok(whole(apart / step), `${key}: patches are ${apart} apart`);
    const own = key === 'minutes' ? 12 : ownPlace(PLAN, key);
    assert.ok(whole((own - from) / apart), `${key}: ${own} is a patch of ${from} to ${to}`);
    assert.equal(sideProblem(PLAN, rangeFor(PLAN, key)), null);
  }
  assert.deepEqual(rangeFor(PLAN, 'ink.wipe', 3), { key: 'ink.wipe', from: 0, to: 0, count: 3 }, 'a choice has its words for steps');
});

test('what is wrong with a range is told with the way out', () => {
  const wrong = (from, to, key = 'dust.wait_s') => sideProblem(PLAN, { key, from, to, count: 5 });
  assert.equal(wrong(0, 300), null);
  assert.equal(wrong(0, 301), 'Wait is 301 s; it must lie between 0 s and 300 s.');
  assert.equal(wrong(30, 30), 'The range of wait begins and ends at 30 s; give it some width.');
  assert.equal(wrong(30, 30.3), 'The range of wait is narrower than the 1 s a plan can tell apart; widen it.');
  assert.equal(wrong(NaN, 30), 'Type numbers for the range of wait.');
  assert.equal(wrong(0, 1, 'dust.colour'), 'This plan has no such number; choose another.');
  assert.equal(wrong(0, 0, 'ink.wipe'), null);
});

test('a step is told in the reader’s units, or as the choice is called', () => {
  const words = (key, at) => plain(stepWords(variable(PLAN, key), at));
  assert.deepEqual([words('dust.wait_s', 30), words('ink.wipe', 'tarlatan'), words('ink.base_parts', 0.5), words('bake.hot_plate_c', 125)],
    ['30 s', 'tarlatan only', '0.5', '125 °C']);
  strip.units.value = 'us';
  assert.equal(words('bake.hot_plate_c', 125), '257 °F');
  strip.units.value = 'metric';
  assert.equal(stepWords(undefined, 7), '7');
});

test('the table of a strip is what the native program writes, with problems quoted', () => {
  const numbers = Object.fromEntries(['cover', 'domes_per_mm2', 'median_footprint_um', 'loose_cover', 'low_angle_cover', 'mass_g_per_m2', 'plate_end_c', 'rate_um_per_min',
    'depth_um', 'mean_depth_um', 'land', 'held_um', 'printed_um', 'reflectance', 'lightness', 'density'].map((key, i) => [key, i + 0.5]));
  const work = {
    columns: [{ key: 'dust.wait_s', at: 10 }, { key: 'dust.wait_s', at: 20 }], rows: [],
    patches: [
      { column: 0, row: 0, numbers: { ...numbers, minutes: 12, doneness: 'good' }, wrong: null },
      { column: 1, row: 0, numbers: null, wrong: 'No “ground” is left, "none".' },
    ],
    variable: () => ({ label: 'Wait, outside' }),
  };
  const [head, first, second, end] = strip.stripTable(work).split('\n');
  assert.equal(head, 'dust.wait_s,minutes,cover,domes_per_mm2,median_footprint_um,loose_cover,low_angle_cover,mass_g_per_m2,plate_end_c,doneness,rate_um_per_min,'
    + 'depth_um,mean_depth_um,land,held_um,printed_um,reflectance,lightness,density,problem');
  assert.equal(first, '10,12,0.5000,1.5000,2.5000,3.5000,4.5000,5.5000,6.5000,good,7.5000,8.5000,9.5000,10.5000,11.5000,12.5000,13.5000,14.5000,15.5000,');
  assert.equal(second, `20${','.repeat(19)}"No “ground” is left, ""none""."`);
  assert.equal(end, '', 'the last line ends');
  assert.equal(strip.slug(work), 'strip-wait-outside');
});
