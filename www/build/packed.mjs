// Words that few open and all carry: `import texts from './texts?packed'` is every JSON file of that folder in one
// compressed text (`www/src/engine/z85.ts` reads it). In the single file, where scripts lie as they are, that is a third of them.

import path from 'node:path';
import { readdir, readFile } from 'node:fs/promises';
import { deflateRawSync } from 'node:zlib';
import { z85 } from './z85.mjs';

export const packed = {
  name: 'packed',
  setup(build) {
    build.onResolve({ filter: /\?packed$/ }, ({ path: asked, resolveDir }) => ({
      path: path.join(resolveDir, asked.replace(/\?packed$/, '')),
      namespace: 'packed',
    }));
    build.onLoad({ filter: /.*/, namespace: 'packed' }, async ({ path: folder }) => {
      const files = (await readdir(folder)).filter((name) => name.endsWith('.json')).sort().map((name) => path.join(folder, name));
      const all = await Promise.all(files.map(async (file) => JSON.parse(await readFile(file, 'utf8'))));
      const small = deflateRawSync(JSON.stringify(all), { level: 9 });
      return { loader: 'json', contents: JSON.stringify({ text: z85(small), bytes: small.length }), watchDirs: [folder], watchFiles: files };
    });
  },
};
