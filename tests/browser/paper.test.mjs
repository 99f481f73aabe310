// What goes out on paper: through the browsers' own printing, with the margins they have by themselves.

import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { ROOT } from './lib/page.mjs';

test('queries of width are for screens: a sheet of paper is no narrow window', () => {
  const folder = path.join(ROOT, 'www/src/styles');
  const found = [];
  for (const file of readdirSync(folder)) {
    for (const [, queries] of readFileSync(path.join(folder, file), 'utf8').matchAll(/@media ([^{]+)\{/g)) {
      for (const query of queries.split(',')) {
        if (/(width|height)\b/.test(query) && !/^\s*(screen|print)\b/.test(query)) found.push(`${file}: ${query.trim()}`);
      }
    }
  }
  assert.deepEqual(found, [], 'these apply on A4 and Letter too');
});
