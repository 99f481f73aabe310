// No file of the page needs itself by way of others: what is drawn as an arrow in one direction is one. And no room of
// www/src needs one above it.

import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { sheets } from '../../www/build/sheets.mjs';

const ROOT = path.join(path.dirname(fileURLToPath(import.meta.url)), '../..');

/** For each file, the files that it names, those fetched later among them; types leave no trace. */
async function imports() {
  const { metafile } = await build({
    absWorkingDir: ROOT, entryPoints: ['www/src/main.tsx', 'www/src/engine/worker.ts', 'www/src/offline/keeper.ts'], bundle: true, splitting: true, format: 'esm',
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

/** What each room may need; the files beside them (App, Panels, main) put the page together and may need all. */
const MAY_NEED = {
  engine: ['generated', 'engine', 'store'],
  offline: ['offline', 'store'],
  store: ['engine', 'store'],
  steps: ['engine', 'store', 'steps'],
  ui: ['engine', 'store', 'ui'],
  features: ['engine', 'store', 'steps', 'ui', 'features'],
};

/** Every import of the page's own files, types and styles among them: [file, what it names], as paths under www. */
function everyImport() {
  const www = path.join(ROOT, 'www');
  const files = readdirSync(path.join(www, 'src'), { recursive: true }).filter((file) => /\.tsx?$/.test(file));
  return files.flatMap((name) => {
    const file = path.join('src', name);
    const text = readFileSync(path.join(www, file), 'utf8');
    return [...text.matchAll(/(?:\bfrom\s+|\bimport\s*\(?\s*)'(\.[^']+)'/g)].map(([, named]) => [file, path.join(path.dirname(file), named)]);
  });
}

const roomOf = (file) => (file.startsWith('generated/') ? 'generated' : file.split('/').length > 2 ? file.split('/')[1] : 'page');

test('no room of the page needs one above it', () => {
  const all = everyImport();
  assert.ok(all.length > 1000, `${all.length} imports are looked at`);
  assert.deepEqual([...new Set(all.map(([file]) => roomOf(file)))].sort(), [...Object.keys(MAY_NEED), 'page'].sort(), 'the rooms');
  const upward = all.filter(([file, named]) => MAY_NEED[roomOf(file)]?.includes(roomOf(named)) === false);
  assert.deepEqual(upward.map((pair) => pair.join(' needs ')), [], 'move what both need to the lower room');
});

test('no feature needs itself by way of others', () => {
  const featureOf = (file) => (roomOf(file) === 'features' ? file.split('/')[2] : null);
  const needs = new Map();
  for (const [from, to] of everyImport().map((pair) => pair.map(featureOf))) {
    if (from && to && from !== to) needs.set(from, [...needs.get(from) ?? [], to]);
  }
  assert.ok(needs.size > 5, `${needs.size} features need others`);
  assert.equal(circle(needs), null, 'take what both need to ui or store');
});
