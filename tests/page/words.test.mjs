// Sentences that the page puts together: of moments at work, of terms, of a plan on the shelf.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { plain } from './lib/browser.mjs';
import { CATALOGUE, PLAN } from './lib/plan.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

const watch = await pageModule('features/watch/momentWords.ts', 'store/catalogue.ts', 'store/settings.ts');
watch.catalogue.value = CATALOGUE;
const { entry, GLOSSARY } = await pageModule('features/glossary/entries.ts');
const { schedule } = await pageModule('features/shelf/schedule.ts');

const stage = (work, more) => ({ work, state: 1, ground: 1, bite: 0, length: 1, index: 0, ...more });
const NUMBERS = {
  cover: 0.5, grains: 1, domes: 0, deepest_um: 12.34, cloud_g_per_m3: 3.21, bath_min: 2.5, open: 1, undercut_um: 1.5, airborne_um: 8.4, landed_g_per_m2: 2,
  plate_c: 100, lightness: 49.6, strokes: 0, strokes_begun: 0, lowered_um: 2, held_um: 1.25, printed_um: 1.02,
};

test('a stage is named, and belongs to a part of the work', () => {
  assert.deepEqual([stage('bite', { bite: 2 }), stage('tool', { tool: 'polish' }), stage('lines'), stage('dust')].map(watch.nameOf), ['bite 2', 'charcoal', 'etched lines', 'dust']);
  assert.deepEqual([stage('lines', { ground: 0 }), stage('wipe', { state: 3 }), stage('bake'), stage('bite', { state: 2, ground: 2 })].map(watch.partOf),
    ['etched lines', 'proof', 'first ground', 'state 2']);
  assert.deepEqual([stage('wait', { length: 30 }), stage('bite', { length: 1.5 }), stage('tool', { length: 3 }), stage('tool'), stage('wipe')].map(watch.lengthOf),
    ['30 s', '1.5 min', '3 ×', '', '']);
});

test('a moment is told with its time', () => {
  assert.equal(watch.whenOf(stage('wait', { length: 30 }), 0.5), 'wait, 15 of 30 s');
  assert.equal(watch.whenOf(stage('bite', { bite: 1, length: 2 }), 0.25), 'bite 1, 0.50 of 2 min');
  assert.equal(watch.whenOf(stage('bite', { bite: 1, length: 20, state: 2, ground: 2 }), 0.5), 'state 2, second ground, bite 1, 10.0 of 20 min');
  assert.equal(watch.whenOf(stage('print', { state: 2 }), 0.5), 'print');
});

test('a moment’s sentence has its numbers, and their number', () => {
  const said = (of, share = 0.5, more = {}) => watch.sentenceOf(of, share, { ...NUMBERS, ...more });
  assert.equal(said(stage('wait')), 'The plate waits outside while the coarse grains fall: 3.2 g/m³ still hang in the air, half the weight in grains finer than 8.4 µm.');
  assert.match(said(stage('wait'), 0, { airborne_um: 41.7 }), /^The powder is stirred up, the plate still outside: .* finer than 42 µm\.$/);
  assert.equal(said(stage('dust')), 'The dust comes down: 2.0 g/m² so far, 1 grain on this place, hiding 50 % of it.');
  assert.equal(said(stage('bake')), 'The copper is at 100 °C: 1 grain, none of which holds yet.');
  assert.equal(said(stage('bake'), 0.5, { domes: 1, grains: 2 }), 'The copper is at 100 °C: 1 dome holds, 2 grains do not yet; 50 % is covered.');
  assert.match(said(stage('bite'), 0.5, { open: 0 }), /^2\.5 min in the bath: this place is stopped out, and stays as it is, 12\.3 µm deep\.$/);
  assert.match(said(stage('bite'), 0.5, { open: 0.75 }), /50 % still covered, 25 % stopped out\. Stopped out now, the tone here would print L\* 50\.$/);
  assert.equal(said(stage('tool', { tool: 'scraper' })), 'Nothing of this work with the scraper reaches this place.');
  assert.match(said(stage('tool', { tool: 'scraper' }), 0.5, { strokes: 3, strokes_begun: 1 }), /^The scraper, 1 of 3 strokes or passages that reach this place: the lands are down 2\.0 µm/);
  watch.units.value = 'us';
  assert.match(said(stage('bake')), /^The copper is at 212 °F:/);
  watch.units.value = 'metric';
});

test('terms stand as people look them up, and an unknown one says so', () => {
  const words = GLOSSARY.map(({ word }) => word.toLowerCase());
  const odd = words.filter((word, i) => i > 0 && /^[a-z]/.test(word) && /^[a-z]/.test(words[i - 1]) && word[0] < words[i - 1][0]);
  assert.deepEqual(odd, []);
  assert.equal(entry('wait').id, 'wait');
  assert.deepEqual(entry('no-such'), { id: 'no-such', word: 'no-such', words: 'This word has no entry yet.', see: [] });
});

test('a plan on the shelf is told in a line', () => {
  assert.equal(plain(schedule(PLAN)), '3 bites: 1 · 2 · 4 min, 7 min in all; 150 × 200 mm');
});
