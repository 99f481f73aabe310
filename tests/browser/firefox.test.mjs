// The single file in Firefox, straight from disk.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { pathToFileURL } from 'node:url';
import { until, withFirefox } from './lib/firefox.mjs';
import { RECKONED, SINGLE_FILE } from './lib/page.mjs';

test('opens from disk in Firefox and reckons the plan', () => withFirefox(async (open) => {
  const { ask, complaints } = await open(pathToFileURL(SINGLE_FILE).href);
  await until(ask, `document.querySelector('${RECKONED}') !== null`, 60);
  assert.match(await ask('document.title'), /Platewright/, 'the tab has a name');
  assert.deepEqual(await complaints(), [], 'Firefox complained');
}));
