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
const GENERATED = path.join(ROOT, 'www/generated');
const NO_SIMD = path.join(TARGET, 'bench-plain/wasm32-unknown-unknown/web/bench.wasm');
// The page's modules have simd128: the one that it opens with, and the one with the studies.
const MODULES = [
  ['the page’s module', path.join(GENERATED, 'page.wasm'), ['digests']],
  ['the studies’ module', path.join(GENERATED, 'page_studies.wasm'), ['digests', 'shop_digests']],
  ['no simd', NO_SIMD, ['digests', 'shop_digests']],
];

const committed = {
  digests: await readFile(path.join(ROOT, 'tests/digests/digests.txt'), 'utf8'),
  shop_digests: await readFile(path.join(ROOT, 'tests/digests/shop.txt'), 'utf8'),
};

// Read before any test is told of: the browser is closed when those told of so far are done.
const modules = await Promise.all(MODULES.map(async ([module, file, names]) => ({ module, names, base64: (await readFile(file)).toString('base64') })));

/** Compares line by line: says which plate and stage part company first. */
function assertSame(text, where, name = 'digests') {
  assert.deepEqual(text.trim().split('\n'), committed[name].trim().split('\n'), `${where} has its own bits`);
}

/**
 * Runs an export of a module and reads the text it returns: up to a zero from an address, or, where wasm-bindgen
 * made it, from an address and so many bytes. Nothing of what wasm-bindgen's modules import is needed for it.
 * Also run inside the page.
 */
async function digestsOf([base64, name]) {
  const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
  const module = await WebAssembly.compile(bytes);
  const imports = {};
  for (const { module: from, name: of } of WebAssembly.Module.imports(module)) {
    imports[from] ??= {};
    imports[from][of] = () => { throw new Error(`${of} was called`); };
  }
  const { exports } = await WebAssembly.instantiate(module, imports);
  const got = exports[name]();
  const memory = new Uint8Array(exports.memory.buffer);
  const [from, to] = Array.isArray(got) ? [got[0] >>> 0, (got[0] >>> 0) + got[1]] : [got >>> 0, memory.indexOf(0, got >>> 0)];
  return new TextDecoder().decode(memory.slice(from, to));
}

for (const [name, option] of [['digests', []], ['shop_digests', ['--shop']]]) {
  test(`native, ${name}`, () => {
    assertSame(execFileSync(path.join(TARGET, 'debug/platewright'), ['digest', ...option], { encoding: 'utf8' }), 'the native program', name);
  });
}

for (const { module, base64, names } of modules) {
  for (const name of names) {
    test(`${module}, ${name}, in Node`, async () => assertSame(await digestsOf([base64, name]), `Node, ${module}`, name));
    test(`${module}, ${name}, in Chromium`, () => onPage({ from: 'file', name: `digest-${module}` }, async (page) => {
      assertSame(await page.evaluate(digestsOf, [base64, name]), `Chromium, ${module}`, name);
    }));
  }
}
