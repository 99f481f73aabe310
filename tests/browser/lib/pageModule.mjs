// Single modules of the page, bundled from their source: code that needs no built page.

import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const SOURCE = path.join(path.dirname(fileURLToPath(import.meta.url)), '../../../www/src');

async function bundled(file, options) {
  const { outputFiles: [{ contents }] } = await build({
    entryPoints: [path.join(SOURCE, file)], bundle: true, write: false, logLevel: 'error', ...options,
  });
  return Buffer.from(contents);
}

/** A module that needs no browser, imported here. Every call gives a fresh one. */
let imported = 0;
export async function pageModule(file) {
  const code = await bundled(file, { format: 'esm' });
  imported += 1;
  return import(`data:text/javascript;base64,${code.toString('base64')}#${imported}`);
}

/** A script that puts a module's exports into the global variable `globalName`, to be run in a browser. */
export async function pageScript(file, globalName) {
  return (await bundled(file, { format: 'iife', globalName })).toString();
}
