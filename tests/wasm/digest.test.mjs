// Same plan, same bits: every stage of a small plate gives the same digest natively and in WebAssembly.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { fileURLToPath } from 'node:url';

const root = path.join(path.dirname(fileURLToPath(import.meta.url)), '../..');

/** The page's Rust, run by Node as a worker would run it. */
function reckoner() {
  const generated = path.join(root, 'www/generated');
  const glue = readFileSync(path.join(generated, 'page.js'), 'utf8');
  const bindings = new Function('platewrightPanic', `${glue}; return wasm_bindgen;`)((words) => {
    throw new Error(words);
  });
  bindings.initSync({ module: readFileSync(path.join(generated, 'page.wasm')) });
  return bindings;
}

test('every stage has the same digest natively and in WebAssembly', () => {
  const target = process.env.CARGO_TARGET_DIR ?? path.join(root, 'target');
  const native = execFileSync(path.join(target, 'release/platewright'), ['digest'], { encoding: 'utf8' });
  const inPage = reckoner().digests();
  const lines = (text) => text.trim().split('\n');
  assert.ok(lines(native).length > 4 && lines(native).every((line) => /^\S+ \S.* [0-9a-f]{16}$/.test(line)),
    `the native program names a digest for each stage, not:\n${native}`);
  assert.deepEqual(lines(inPage), lines(native), 'a stage differs between the page and the native program');
});
