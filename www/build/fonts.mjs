// The page's letters: Alegreya for headings and figures of speech, Alegreya Sans for everything
// else, cut down to the characters the page uses. Both are under the SIL Open Font License.

import { createRequire } from 'node:module';
import { createHash } from 'node:crypto';
import { mkdir, readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';

const require = createRequire(import.meta.url);

const FACES = [
  { family: 'Alegreya', from: 'alegreya', weight: 400, style: 'normal' },
  { family: 'Alegreya', from: 'alegreya', weight: 400, style: 'italic' },
  { family: 'Alegreya', from: 'alegreya', weight: 600, style: 'normal' },
  { family: 'Alegreya Sans', from: 'alegreya-sans', weight: 400, style: 'normal' },
  { family: 'Alegreya Sans', from: 'alegreya-sans', weight: 400, style: 'italic' },
  { family: 'Alegreya Sans', from: 'alegreya-sans', weight: 500, style: 'normal' },
  { family: 'Alegreya Sans', from: 'alegreya-sans', weight: 700, style: 'normal' },
];

const ASCII = Array.from({ length: 95 }, (_, i) => String.fromCharCode(32 + i)).join('');
const LATIN_1 = Array.from({ length: 96 }, (_, i) => String.fromCharCode(160 + i)).join('');
// Neither face draws √ ≤ ≥ →; the browser takes those from the machine's own fonts.
const REST = '–—‘’‚“”„†•…′″⁄−ŒœŠšŽž\u2009\u202f↑↓';
const FEATURES = ['kern', 'mark', 'mkmk', 'liga', 'tnum', 'pnum', 'lnum', 'onum', 'frac', 'ccmp', 'locl'];

/** Files whose words must go wherever the fonts go. */
export const FONT_LICENCES = ['alegreya', 'alegreya-sans'].map((name) => ({
  name: name === 'alegreya' ? 'Alegreya' : 'Alegreya Sans',
  file: path.join(folder(name), 'LICENSE'),
}));

/** Subsets every face (or takes it from the cache) and gives their bytes. */
export async function fonts(cache) {
  await mkdir(cache, { recursive: true });
  return Promise.all(FACES.map(async (face) => {
    const name = `${face.from}-latin-${face.weight}-${face.style}.woff2`;
    const whole = await readFile(path.join(folder(face.from), 'files', name));
    const key = createHash('sha256').update(whole).update(ASCII + LATIN_1 + REST + FEATURES).digest('hex').slice(0, 16);
    const cached = path.join(cache, `${key}.woff2`);
    const bytes = await readFile(cached).catch(async () => {
      const subset = await require('subset-font')(whole, ASCII + LATIN_1 + REST, {
        targetFormat: 'woff2', keepFeatures: FEATURES,
      });
      await writeFile(cached, subset);
      return subset;
    });
    return { ...face, file: name.replace('-latin', ''), bytes };
  }));
}

/** The style sheet that names the faces, with each face's bytes wherever `place` puts them. */
export function fontStyle(faces, place) {
  return faces.map((face) =>
    `@font-face{font-family:"${face.family}";font-weight:${face.weight};font-style:${face.style};` +
    `font-display:swap;src:url(${place(face)}) format("woff2")}\n`).join('');
}

function folder(name) {
  return path.dirname(require.resolve(`@fontsource/${name}/package.json`));
}
