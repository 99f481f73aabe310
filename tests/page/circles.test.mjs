// No file of the page needs itself by way of others: what is drawn as an arrow in one direction is one.

import assert from 'node:assert/strict';
import path from 'node:path';
import { test } from 'node:test';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { sheets } from '../../www/build/sheets.mjs';

const ROOT = path.join(path.dirname(fileURLToPath(import.meta.url)), '../..');

/** For each file, the files that it names, those fetched later among them; types leave no trace. */
async function imports() {
  const { metafile } = await build({
    absWorkingDir: ROOT, entryPoints: ['www/src/main.tsx', 'www/src/engine/worker.ts'], bundle: true, splitting: true, format: 'esm',
    outdir: 'nowhere', write: false, metafile: true, jsx: 'automatic', jsxImportSource: 'preact', plugins: [sheets],
  });
  return new Map(Object.entries(metafile.inputs).map(([file, { imports: named }]) => [file, named.map((one) => one.path)]));
}

/** The first circle that is found, from a file back to itself, or null. */
function circle(named) {
  const done = new Set();
  const way = [];
  const walk = (file) => {
    if (way.includes(file)) return [...way.slice(way.indexOf(file)), file];
    if (done.has(file)) return null;
    way.push(file);
    for (const next of named.get(file) ?? []) {
      const found = walk(next);
      if (found) return found;
    }
    way.pop();
    done.add(file);
    return null;
  };
  for (const file of named.keys()) {
    const found = walk(file);
    if (found) return found;
  }
  return null;
}

test('a circle is found where there is one', () => {
  const named = new Map([['a', ['b']], ['b', ['c', 'd']], ['c', []], ['d', ['b']]]);
  assert.deepEqual(circle(named), ['b', 'd', 'b']);
});

test('the page has no circle of files', async () => {
  const named = await imports();
  const own = new Map([...named].filter(([file]) => file.startsWith('www/src/')));
  assert.ok(own.size > 200, `${own.size} files are looked at`);
  assert.equal(circle(own), null, 'take what both need into a file of its own');
});
