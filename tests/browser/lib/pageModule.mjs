// Single modules of the page, bundled from their source: code that needs no built page.

import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { sheets } from '../../../www/build/sheets.mjs';

const SOURCE = path.join(path.dirname(fileURLToPath(import.meta.url)), '../../../www/src');

/** Modules that need no browser, imported here as one. Every call gives fresh ones. */
let imported = 0;
export async function pageModule(...files) {
  const contents = files.map((file) => `export * from './${file}';`).join('\n');
  const { outputFiles: [{ contents: code }] } = await build({
    stdin: { contents, resolveDir: SOURCE }, bundle: true, write: false, logLevel: 'error', format: 'esm',
    jsx: 'automatic', jsxImportSource: 'preact', plugins: [sheets],
  });
  imported += 1;
  return import(`data:text/javascript;base64,${Buffer.from(code).toString('base64')}#${imported}`);
}
