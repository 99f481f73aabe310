// The same bits everywhere: every stage's digest as WebAssembly in Node and in Chromium, with simd128 and
// without, in the page's own module, and from the native program in release. The Rust tests compare the
// debug side. See README.md here for what a change means.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { test } from 'node:test';
import { onPage, ROOT } from '../browser/lib/page.mjs';

const TARGET = process.env.CARGO_TARGET_DIR ?? path.join(ROOT, 'target');
const WASM = 'wasm32-unknown-unknown/web/bench.wasm';
const MODULES = { 'simd128': path.join(TARGET, 'bench-simd', WASM), 'no simd': path.join(TARGET, 'bench-plain', WASM) };

const committed = await readFile(path.join(ROOT, 'tests/digests/digests.txt'), 'utf8');

const committedShop = await readFile(path.join(ROOT, 'tests/digests/shop.txt'), 'utf8');

/** Compares line by line: says which plate and stage part company first. */
function assertSame(text, where) {
  assert.deepEqual(text.trim().split('\n'), committed.trim().split('\n'), `${where} has its own bits`);
}

/** Runs the module's `digests` and reads the text at the address it returns. Also run inside the page. */
async function digestsOf(base64, name = 'digests') {
  const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
  const { instance } = await WebAssembly.instantiate(bytes, {});
  const from = instance.exports[name]() >>> 0;
  const memory = new Uint8Array(instance.exports.memory.buffer);
  return new TextDecoder().decode(memory.slice(from, memory.indexOf(0, from)));
}

test('native, release', () => {
  assertSame(execFileSync(path.join(TARGET, 'release/platewright'), ['digest'], { encoding: 'utf8' }), 'the native program');
});

/** One of the page's modules, ready to be asked. */
async function pageModule(name) {
  const folder = path.join(ROOT, 'www/generated');
  const glue = await readFile(path.join(folder, `${name}.js`), 'utf8');
  const bindings = new Function('platewrightPanic', `${glue}; return wasm_bindgen;`)((words) => {
    throw new Error(words);
  });
  bindings.initSync({ module: await readFile(path.join(folder, `${name}.wasm`)) });
  return bindings;
}

test('the page’s own module, in Node', async () => {
  assertSame((await pageModule('hand')).digests(), 'the page’s module');
});

test('what is planned backwards and calibrated: native, and the second module', async () => {
  const native = execFileSync(path.join(TARGET, 'release/platewright'), ['digest', '--shop'], { encoding: 'utf8' });
  assert.equal(native, committedShop, 'the native program has its own bits');
  assert.equal((await pageModule('shop')).shop_digests(), committedShop, 'the second module has its own bits');
});

for (const [name, file] of Object.entries(MODULES)) {
  test(`WebAssembly, ${name}, in Node`, async () => {
    const base64 = (await readFile(file)).toString('base64');
    assertSame(await digestsOf(base64), `Node, ${name}`);
    assert.equal(await digestsOf(base64, 'shop_digests'), committedShop, `Node, ${name}: the solvers have their own bits`);
  });
  test(`WebAssembly, ${name}, in Chromium`, () => onPage({ from: 'file', name: `digest-${name}` }, async (page) => {
    const base64 = (await readFile(file)).toString('base64');
    const text = await page.evaluate(digestsOf, base64);
    assertSame(text, `Chromium, ${name}`);
  }));
}
