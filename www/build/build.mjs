// Puts the page together from www/src, www/generated (the Rust, by `cargo xtask wasm`) and the fonts:
//   dist/index.html + dist/assets/   for any static host
//   dist/platewright.html            one file that opens straight from disk
// Both hold the same code; only where its parts stand differs.

import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { execFile } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdir, readFile } from 'node:fs/promises';
import { promisify } from 'node:util';
import { build, transform } from 'esbuild';
import { fonts } from './fonts.mjs';
import { hostedFolder, singleFile } from './html.mjs';
import { licences } from './licences.mjs';
import { report } from './size.mjs';

const root = path.join(path.dirname(fileURLToPath(import.meta.url)), '../..');
const www = path.join(root, 'www');

/** Bundles one entry point into a plain script (and its styles, if it imports any). */
async function bundle(entry) {
  const { outputFiles } = await build({
    entryPoints: [path.join(www, 'src', entry)],
    bundle: true,
    minify: true,
    format: 'iife',
    target: 'es2022',
    charset: 'utf8',
    legalComments: 'none',
    jsx: 'automatic',
    jsxImportSource: 'preact',
    outdir: '/bundle',
    write: false,
    logLevel: 'warning',
  });
  const text = (ending) => outputFiles.filter((f) => f.path.endsWith(ending)).map((f) => f.text).join('\n');
  return { script: text('.js'), style: text('.css') };
}

/** The module made smaller by Binaryen, which takes its time: kept by what went in. */
async function smaller(file) {
  const before = await readFile(file);
  const folder = path.join(root, 'node_modules/.cache/platewright-wasm');
  const after = path.join(folder, `${createHash('sha256').update(before).digest('hex').slice(0, 20)}.wasm`);
  try {
    return await readFile(after);
  } catch {
    await mkdir(folder, { recursive: true });
    const tool = path.join(root, 'node_modules/binaryen/bin/wasm-opt');
    // It reads the features in use from the module itself.
    await promisify(execFile)(process.execPath, [tool, '-Os', '--merge-similar-functions', '-Os', file, '-o', after]);
    return readFile(after);
  }
}

async function main() {
  const [glue, wasm, shell] = await Promise.all([
    readFile(path.join(www, 'generated/page.js'), 'utf8'),
    smaller(path.join(www, 'generated/page.wasm')),
    readFile(path.join(www, 'index.html'), 'utf8'),
  ]);
  const [page, worker, small, faces, words] = await Promise.all([
    bundle('main.tsx'),
    bundle('reckon/worker.ts'),
    transform(glue, { minify: true, target: 'es2022', charset: 'utf8', legalComments: 'none' }),
    fonts(path.join(root, 'node_modules/.cache/platewright-fonts')),
    licences(root),
  ]);
  const parts = {
    shell, wasm, faces,
    script: page.script,
    style: page.style,
    worker: small.code + worker.script,
    licences: words,
  };
  const dist = path.join(root, 'dist');
  const written = [await singleFile(parts, dist), ...await hostedFolder(parts, dist)];
  report(parts, written);
}

main().catch((error) => {
  console.error(`build: ${error.message}`);
  process.exit(1);
});
