// Lessons of one's own: what is read of a store that holds anything at all, and how patches are called.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { plain } from './lib/browser.mjs';
import { CATALOGUE, PLAN } from './lib/plan.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

const { allPlaceWords, asLesson, catalogue, lessonsFull, ownLessons, readLessons, units } = await pageModule(
  'store/catalogue.ts', 'store/ownLessons.ts', 'store/settings.ts', 'features/strip/vary.ts', 'features/lessons/lessons.ts',
);
catalogue.value = CATALOGUE;

const STRIP = { along: { key: 'bake.hot_plate_c', from: 50, to: 150, count: 3 }, down: null, value: 4, minutes: 8 };
const LESSON = {
  title: 'The bake', paragraphs: [{ words: 'Look at the sparkle.', at: 1 }],
  question: { ask: 'Which?', options: ['cold', 'hot'], right: 1, because: 'It flows.', at: 2 }, strip: STRIP,
};
const KEPT = { id: '0a1b', at: 5, plan: { name: 'Harbour', link: '1.AAAA', pictured: null, shares: [0.5, 0.5] }, withPicture: false, lesson: LESSON };

test('a draft comes back as it was kept', () => {
  assert.deepEqual(readLessons(JSON.parse(JSON.stringify([KEPT]))), [KEPT]);
});

test('whatever the store holds, what is read has the form of lessons', () => {
  assert.deepEqual(readLessons('text'), []);
  assert.deepEqual(readLessons([null, 7, {}, { id: '../x', lesson: LESSON }, { id: '0a', lesson: null }]), []);
  const spoilt = { ...KEPT, plan: { name: 3, link: 9 }, lesson: { title: {}, paragraphs: 'x', question: { options: [1, 'two'], right: -3, at: 1e9 }, strip: { along: { key: 1, from: 'a', count: 2.6 }, down: 'x', minutes: Infinity } } };
  const [read] = readLessons([spoilt]);
  assert.equal(read.plan, null, 'a link that is none');
  assert.deepEqual(read.lesson, {
    title: '', paragraphs: [], question: { ask: '', options: ['', 'two'], right: 0, because: '', at: 99 },
    strip: { along: { key: '', from: 0, to: 0, count: 3 }, down: { key: '', from: 0, to: 0, count: 0 }, value: null, minutes: 0 },
  });
  assert.equal(readLessons([{ ...KEPT, lesson: { ...LESSON, title: 'x'.repeat(1e5) } }])[0].lesson.title.length, 4000, 'no text without end');
});

test('a store can be filled with lessons, and no further', () => {
  assert.equal(lessonsFull(), false);
  ownLessons.value = readLessons(Array.from({ length: 500 }, (_, i) => ({ ...KEPT, id: `k${i}` })));
  assert.deepEqual([ownLessons.value.length, lessonsFull()], [200, true]);
  ownLessons.value = [];
});

test('patches are called by where they stand, in the reader’s units', () => {
  const laid = { columns: [50, 100, 150], rows: ['tarlatan', 'hand'] };
  const down = { key: 'ink.wipe', from: 0, to: 0, count: 2 };
  assert.deepEqual(allPlaceWords(PLAN, { ...STRIP, down }, laid).map(plain).slice(2, 4), ['Hot plate 150 °C, Wiping tarlatan only', 'Hot plate 50 °C, Wiping with the hand']);
  units.value = 'us';
  assert.equal(plain(allPlaceWords(PLAN, STRIP, { columns: [50], rows: [] })[0]), 'Hot plate 122 °F');
  units.value = 'metric';
});

test('a lesson from a link has the page’s caution, and a name of its own for guesses', () => {
  const given = (link) => asLesson({ link, lesson: { ...LESSON, shares: [0.5, 0.5] }, plan: PLAN, picture: null, note: null, said: null });
  const one = given('1.AAAAAAAAAAAAAAAAAAAAAAAA1p');
  assert.match(one.caution, /safety sheets, local rules .* responsible person decide.*none to be done alone/s);
  assert.match(one.about, /its writer’s own/);
  assert.notEqual(one.id, given('1.AAAAAAAAAAAAAAAAAAAAAAAA2p').id, 'by its link');
  assert.deepEqual(one.questions, [LESSON.question]);
});
