// All lessons together, and what every other one of them says; the rest is in others.test.mjs.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { tryLessons } from './lesson.mjs';
import { LESSONS, ROOT, SHARES, table } from './lib.mjs';

test('there are sixteen lessons at least, each of its own', () => {
  assert.ok(LESSONS.length >= 16, `there are ${LESSONS.length}`);
  assert.equal(new Set(LESSONS.map(({ title }) => title)).size, LESSONS.length, 'titles differ');
  const index = readFileSync(path.join(ROOT, 'www/src/features/lessons/lessons.ts'), 'utf8');
  for (const { id } of LESSONS) assert.match(index, new RegExp(`'\\./texts/${id}\\.json'`), `${id} is in the page`);
});

tryLessons(LESSONS.filter((_, i) => i % 2 === 0));

test('the shares of the example picture are as the native program finds them', () => {
  assert.deepEqual(table().map((value) => value.area_share), SHARES, 'shares.json');
});
