// The lessons in the reader's units: every word that a class may see, in US units, and what is the same in both.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import './lib/browser.mjs';
import { CATALOGUE } from './lib/plan.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

const { catalogue, GLOSSARY, inUnits, lessonIn, LESSONS } = await pageModule(
  'store/catalogue.ts', 'ui/inUnits.ts', 'features/lessons/lessons.ts', 'features/glossary/entries.ts',
);
catalogue.value = CATALOGUE;

const wordsOf = ({ title, about, text, questions, caution }) => [
  title, about, caution, ...text.map(({ words }) => words), ...questions.flatMap(({ ask, options, because }) => [ask, ...options, because]),
];

/**
 * What stays metric, as in the plan's own entries and on safety data sheets: µm, strengths in °Bé, what is on a square
 * metre or millimetre, in a cubic metre or in a litre; and grams in brackets behind their ounces.
 */
const STAYS = [
  /\d+ (?:grams )?to the cubic metre/g, /\d+ grams of (?:\[\[rosin\]\]|rosin)(?: stirred up)? for each square metre/g, /(?:\d+|the first \d+) grams (?:of (?:copper|it) )?(?:in each litre|to the litre)/gi,
  /each litre has eaten \d+ grams of copper/g, /\bthe first \d+ grams\b/gi, /on the square millimetre/g, /\(1 g\)/g, /\[\[um\|µm\]\]|µm/g, /°Bé/g,
];
const METRIC = /°C|\d\s?(?:mm|cm|km|m|ml|cl|L|l|g|kg)\b|\b(?:kilo)?grams?\b|\b(?:milli|centi)?met(?:re|er)s?\b|\b(?:milli)?lit(?:re|er)s?\b|celsius/i;

test('in US units no lesson holds a bare metric measure', () => {
  let converted = 0;
  assert.ok(LESSONS.length >= 16);
  for (const lesson of LESSONS) {
    const [here, there] = ['metric', 'us'].map((units) => wordsOf(lessonIn(lesson, units)));
    for (const [i, words] of there.entries()) {
      const left = STAYS.reduce((text, stays) => text.replace(stays, ''), words);
      assert.doesNotMatch(left, METRIC, `${lesson.id}: “${words}”`);
      assert.doesNotMatch(words + here[i], /[‹›]|NaN|undefined/, `${lesson.id}: “${words}”`);
      if (words !== here[i]) converted += 1;
      else assert.doesNotMatch(words, /°C/, lesson.id);
    }
  }
  assert.ok(converted >= 12, `${converted} texts read otherwise`);
  for (const { words } of GLOSSARY) assert.doesNotMatch(inUnits(words, 'us'), /°C/, words);
});

test('degrees are converted, differences of them as differences, and metric readers have what was written', () => {
  assert.equal(inUnits('Between 115 and 135 °C hardly anything changes: it forgives ‹ten|18› degrees.', 'us'), 'Between 239 and 275 °F hardly anything changes: it forgives 18 degrees.');
  assert.equal(inUnits('Between 115 and 135 °C: ‹ten|18› degrees.', 'metric'), 'Between 115 and 135 °C: ten degrees.');
  assert.equal(inUnits('at 10\u00a0°C, 1 µm and 28 °Bé', 'us'), 'at 50\u00a0°F, 1 µm and 28 °Bé');
  // Every difference that is told both ways: nine fifths of it.
  const numbers = { ten: 10, twenty: 20, 50: 50 };
  const told = LESSONS.flatMap(wordsOf).flatMap((words) => [...words.matchAll(/‹(\w+)\|(\d+)›(?= degrees|\.\{5\})/g)]);
  assert.equal(told.length, 4);
  for (const [, metric, us] of told) assert.equal(Number(us), numbers[metric] * 1.8, metric);
});
