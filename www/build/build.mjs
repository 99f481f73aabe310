// Puts the page together from www/src, www/generated (the Rust, by `cargo xtask wasm`) and the fonts:
//   dist/index.html + dist/assets/   for any static host
//   dist/platewright.html            one file that opens straight from disk
// Both hold the same code; only where its parts stand differs: the folder keeps what is not needed to
// open the page in files of their own.

import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { readdir, readFile } from 'node:fs/promises';
import { build, transform } from 'esbuild';
import { fonts } from './fonts.mjs';
import { hostedFolder, singleFile } from './html.mjs';
import { licences } from './licences.mjs';
import { modules } from './modules.mjs';
import { sheets } from './sheets.mjs';
import { report } from './size.mjs';

const root = path.join(path.dirname(fileURLToPath(import.meta.url)), '../..');
const www = path.join(root, 'www');

const OPTIONS = {
  bundle: true,
  minify: true,
  target: 'es2022',
  charset: 'utf8',
  legalComments: 'none',
  jsx: 'automatic',
  jsxImportSource: 'preact',
  outdir: '/bundle',
  write: false,
  logLevel: 'warning',
  plugins: [sheets],
};

/** Bundles one entry point into one plain script (and its styles, if it imports any). */
async function bundle(entry) {
  const { outputFiles } = await build({ ...OPTIONS, format: 'iife', entryPoints: [path.join(www, 'src', entry)] });
  const text = (ending) => outputFiles.filter((f) => f.path.endsWith(ending)).map((f) => f.text).join('\n');
  return { script: text('.js'), style: text('.css') };
}

/** A style sheet that is written into the page itself. */
async function sheet(file) {
  const { code } = await transform(await readFile(path.join(www, 'src', file), 'utf8'), { loader: 'css', minify: true, charset: 'utf8' });
  return code.trim();
}

/** A module of the Rust, and the script of a worker that holds it: the glue that wasm-bindgen wrote, and our own. */
async function reckoner(name, script) {
  const [glue, wasm] = await Promise.all([
    readFile(path.join(www, `generated/${name}.js`), 'utf8'),
    readFile(path.join(www, `generated/${name}.wasm`)),
  ]);
  const { code } = await transform(glue, { minify: true, target: 'es2022', charset: 'utf8', legalComments: 'none' });
  return { wasm, worker: code + script };
}

/** Icons and the card, as scripts/pictures has drawn them. */
async function drawn(folder) {
  const files = (await readdir(folder)).sort();
  return Promise.all(files.map(async (file) => ({ file, bytes: await readFile(path.join(folder, file)) })));
}

async function main() {
  const shell = await readFile(path.join(www, 'index.html'), 'utf8');
  const worker = await bundle('engine/worker.ts');
  const [plate, studies, packed, page, unpack, boot, opening, keeper, split, faces, words, icons] = await Promise.all([
    reckoner('page', worker.script),
    reckoner('page_studies', worker.script),
    readFile(path.join(www, 'generated/page_studies.deflate')),
    bundle('main.tsx'),
    bundle('unpack.ts'),
    bundle('boot.ts'),
    sheet('opening.css'),
    bundle('offline/keeper.ts'),
    modules(path.join(www, 'src/main.tsx'), OPTIONS),
    fonts(path.join(root, 'node_modules/.cache/platewright-fonts')),
    licences(root),
    drawn(path.join(www, 'icons')),
  ]);
  const parts = {
    shell, plate, studies, packed, faces, icons,
    keeper: keeper.script,
    script: page.script,
    unpack: unpack.script,
    boot: boot.script,
    opening,
    modules: split,
    style: page.style,
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
