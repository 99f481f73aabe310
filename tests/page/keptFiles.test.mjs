// Files are kept as bytes where a store refuses them, and come out as the files that they were.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import './lib/browser.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

const { hasFiles, withBytes, withFiles } = await pageModule('store/keptFiles.ts');

test('a file comes out of the store as it went in, and all else as it is', async () => {
  const jpeg = new Blob([Uint8Array.of(255, 216, 1, 2)], { type: 'image/jpeg' });
  const entry = { id: 'one', lightness: Uint8Array.of(1, 2, 3), file: jpeg, file_px: [2, 1] };
  assert.equal(hasFiles(entry), true);
  const kept = structuredClone(await withBytes(entry));
  assert.equal(hasFiles(kept), false, 'nothing that a store could refuse');
  const back = withFiles(kept);
  assert.equal(back.file.type, 'image/jpeg');
  assert.deepEqual([...new Uint8Array(await back.file.arrayBuffer())], [255, 216, 1, 2]);
  assert.deepEqual({ ...back, file: null }, { ...entry, file: null });
  for (const other of [undefined, null, 'words', { id: 'two', notes: [] }]) assert.equal(withFiles(other), other);
});
