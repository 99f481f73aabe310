// What the glossary says of amounts and of its pictures, tried with the native program.

import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { between, GLOSSARY, islandsPerMm2, native, patch, probe, ROOT } from './lib.mjs';

test('terms: each mark leads to an entry, and each entry is one sentence', () => {
  const known = new Set(GLOSSARY.map(({ id }) => id));
  assert.equal(known.size, GLOSSARY.length, 'no entry twice');
  const folder = path.join(ROOT, 'www/src');
  const sources = readdirSync(folder, { recursive: true }).filter((file) => /\.(tsx?|json)$/.test(file));
  let marks = 0;
  for (const file of sources) {
    const text = readFileSync(path.join(folder, file), 'utf8').replace(/\/\*[\s\S]*?\*\//g, '');
    for (const [, id] of text.matchAll(/\[\[([a-z][a-z-]*)(?:\|[^\]]+)?\]\]/g)) {
      assert.ok(known.has(id), `${file} speaks of “${id}”, which the glossary does not have`);
      marks += 1;
    }
  }
  assert.ok(marks > 40, `only ${marks} words lead to the glossary`);
  for (const { id, words, see } of GLOSSARY) {
    assert.match(words, /^[A-Z][^.]*\.$/, `${id} is one sentence`);
    for (const other of see) assert.ok(known.has(other) && other !== id, `${id} points to ${other}`);
  }
});

/** What the glossary says of amounts, and of grounds that it shows: tried on the plate of its picture, or the example’s. */
const SAID = {
  'loose-cover': [/a fifth seen straight from above.*four fifths at the low angle.*cover about half/, () => {
    const { loose_cover, low_angle_cover, cover } = patch();
    between(loose_cover, 0.17, 0.23, 'from above');
    between(low_angle_cover, 0.76, 0.82, 'at a low angle');
    between(cover, 0.46, 0.54, 'cover');
  }],
  cover: [/about half is usual/, () => between(patch().cover, 0.46, 0.54, 'cover')],
  softening: [/about 76 °C.*fine grains melt some degrees below it/, () => {
    between(probe({ ask: 'constants' })[0].find(({ key }) => /soften/.test(key)).default, 75, 77, 'softening point');
    const cool = patch({ 'bake.hot_plate_c': 75 });
    between(cool.plate_end_c, 68, 73, 'copper');
    assert.equal(cool.doneness, 'good');
  }],
  island: [/one outline round them all/, () => between(islandsPerMm2() / patch().domes_per_mm2, 0.2, 0.6, 'islands for each dome')],
  'closed-ground': [/hardly bites/, (shown) => {
    between(shown.cover, 0.9, 1, 'cover');
    between(shown.lightness - patch({}, 4).lightness, 10, 30, 'L* against a good ground');
    between(islandsPerMm2({ dust: { powder_g_per_m2: 120 } }), 0, 10, 'islands: all but one sheet');
  }],
  'over-dusted': [/the print stays pale/, (shown) => {
    assert.equal(shown.doneness, 'good', 'the bake is a good one');
    between(shown.lightness - patch({}, 12).lightness, 12, 40, 'L* against a good ground');
  }],
  'under-dusted': [/comes early and stays pale/, (shown) => {
    const [four, twelve] = [4, 12].map((minutes) => patch({ 'dust.powder_g_per_m2': 10 }, minutes).lightness);
    between(four - twelve, 5, 40, 'darker at twelve minutes than at four');
    between(shown.minutes, 24, 24, 'minutes of its picture');
    between(shown.lightness - twelve, 3, 40, 'and lighter again at 24');
    between(twelve - patch({}, 24).lightness, 20, 60, 'pale beside the black of a good ground');
  }],
  'over-baked': [/closes over the copper/, (shown) => {
    between(shown.cover, 0.8, 1, 'cover');
    assert.equal(shown.doneness, 'over');
  }],
  'under-baked': [/lifts in the bath/, (shown) => between(shown.cover, 0, 0, 'cover')],
  breakdown: [/longer biting makes the print lighter/, (shown) => {
    between(shown.land / patch({}, 22).land, 0, 0.3, 'walls that stand');
    between(shown.lightness - patch({}, 22).lightness, 5, 60, 'L* against the darkest');
  }],
  creve: [/prints grey where it should be black/, (shown) => {
    between(shown.minutes, 40, 40, 'minutes of its picture');
    between(shown.land, 0, 0.01, 'walls that stand');
    between(shown.lightness - patch({}, 22).lightness, 15, 60, 'L* against the darkest');
  }],
  'dabbing-up': [/softer and darker/, () => between(patch({}).lightness - patch({ 'ink.dabbed_up': 'true' }).lightness, 0.2, 10, 'L* darker')],
  tack: [/stays in the pits/, () => between(patch({ 'ink.stiffness': 'stiff' }).held_um / patch().held_um, 1.05, 1.3, 'ink held')],
  'open-bite': [/a pale grey/, (shown) => between(shown.lightness, 82, 90, 'L*')],
  wait: [/finer grain, and less of it/, () => {
    const [short, long] = [30, 90].map((wait) => patch({ 'dust.wait_s': wait }));
    between(long.median_footprint_um / short.median_footprint_um, 0.5, 0.95, 'width');
    between(long.cover / short.cover, 0.1, 0.8, 'cover');
  }],
  dusting: [/several times before the one bake/, () => between(patch({ 'dust.wait_s': 120, 'dust.dustings': 5 }).cover / patch({ 'dust.wait_s': 120 }).cover, 3, 5, 'cover of five against one')],
};

for (const [id, [words, holds]] of Object.entries(SAID)) test(`terms: ${id} says what happens, and its picture shows it`, () => {
  const found = GLOSSARY.find((one) => one.id === id);
  assert.match(found.words, words);
  holds(patch(found.picture?.set, found.picture?.minutes));
});

test('terms: every trade word that the plan’s catalogue uses is explained', () => {
  const words = GLOSSARY.map(({ word }) => word.toLowerCase());
  const links = native(['constants']).toLowerCase() + readFileSync(path.join(ROOT, 'crates/plan/src/fields.rs'), 'utf8').toLowerCase()
    + readFileSync(path.join(ROOT, 'crates/plan/src/choices.rs'), 'utf8').toLowerCase();
  for (const trade of ['tarlatan', 'hydrometer', 'rosin', 'grain', 'cover', 'bath', 'feather', 'plate tone', 'transparent base', 'reducer', 'pit', 'press', 'bake', 'wait']) {
    assert.ok(links.includes(trade), `the catalogue no longer says ${trade}`);
    assert.ok(words.some((word) => word.includes(trade)), `${trade} is not explained`);
  }
});
