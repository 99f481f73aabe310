// Styles of parts that are fetched later: `import './strip.css?sheet'` lays them over the page when
// the part arrives. A constructed sheet is no inline style, so the policy stays strict.

import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { transform } from 'esbuild';

export const sheets = {
  name: 'sheets',
  setup(build) {
    build.onResolve({ filter: /\.css\?sheet$/ }, ({ path: asked, resolveDir }) => ({
      path: path.join(resolveDir, asked.replace(/\?sheet$/, '')),
      namespace: 'sheet',
      sideEffects: true,
    }));
    build.onLoad({ filter: /.*/, namespace: 'sheet' }, async ({ path: file }) => {
      const { code } = await transform(await readFile(file, 'utf8'), { loader: 'css', minify: true, charset: 'utf8' });
      return {
        loader: 'js',
        contents: `const sheet = new CSSStyleSheet();
sheet.replaceSync(${JSON.stringify(code.trim())});
document.adoptedStyleSheets.push(sheet);
export default sheet;`,
        watchFiles: [file],
      };
    });
  },
};
