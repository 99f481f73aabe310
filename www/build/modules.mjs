// The page's scripts for a host: one to open with, and one for each part that is fetched later.
//
// esbuild splits what several parts share into a file for every set of parts that shares it, and the page would open
// with dozens of small ones; over a slow line each costs a way there and back. So what the page opens with is put
// together again into one file, and the later parts take from that what they took from its pieces.

import { createHash } from 'node:crypto';
import path from 'node:path';
import { build } from 'esbuild';

/** Bundles `entry` with `options`: each file's `name` and `text`, that of the file to open with first. */
export async function modules(entry, options) {
  const { outputFiles, metafile } = await build({
    ...options, format: 'esm', splitting: true, metafile: true, entryPoints: [entry], entryNames: 'page', chunkNames: 'part-[hash]',
  });
  const texts = new Map(outputFiles.filter((f) => f.path.endsWith('.js')).map((f) => [path.basename(f.path), f.text]));
  const about = new Map(Object.entries(metafile.outputs).map(([file, one]) => [path.basename(file), one]));
  const opening = new Set(['page.js']);
  for (const name of opening) {
    for (const { kind, path: file } of about.get(name).imports) {
      if (kind === 'import-statement') opening.add(path.basename(file));
    }
  }
  // Named after what all of them hold, since the later parts name it and it names them.
  const first = `page-${hash([...texts.values()].join('\n'))}.js`;
  const pieces = [...opening];
  /** What the opening file calls what a piece of it shares. */
  const called = new Map(pieces.flatMap((name) => about.get(name).exports.map((one) => `${name} ${one}`)).map((one, i) => [one, `_${i.toString(36)}`]));
  const shared = (name) => about.get(name).exports.map((one) => `${one} as ${called.get(`${name} ${one}`)}`);
  const whole = [
    ...pieces.map((name) => `import "./${name}";`),
    ...pieces.filter((name) => about.get(name).exports.length).map((name) => `export { ${shared(name)} } from "./${name}";`),
  ].join('\n');
  const later = [...texts.keys()].filter((name) => !opening.has(name));
  const joined = await put('page.js', whole, (name) => (opening.has(name) ? texts.get(name) : null));
  const rest = await Promise.all(later.map((name) => put(name, texts.get(name), (asked) => (opening.has(asked) ? shares(asked) : null))));
  return { first, files: [{ name: first, text: joined }, ...later.map((name, i) => ({ name, text: rest[i] }))] };

  /** What a piece of the opening file shares, taken from that file. */
  function shares(name) {
    const all = about.get(name).exports.map((one) => `${called.get(`${name} ${one}`)} as ${one}`);
    return all.length ? `export { ${all} } from "./${first}";` : '';
  }

  /** Bundles a text with what `found` has of the files it names; the others stay apart. */
  async function put(name, text, found) {
    const given = {
      name: 'given',
      setup(one) {
        one.onResolve({ filter: /^\.\// }, ({ path: asked, kind }) => {
          const file = path.basename(asked);
          return kind === 'import-statement' && found(file) !== null ? { path: file, namespace: 'given' } : { path: asked, external: true };
        });
        one.onLoad({ filter: /.*/, namespace: 'given' }, ({ path: file }) => ({ contents: found(file), loader: 'js' }));
      },
    };
    const result = await build({ ...options, format: 'esm', plugins: [given], stdin: { contents: text, sourcefile: name, loader: 'js' } });
    return result.outputFiles[0].text;
  }
}

function hash(text) {
  return createHash('sha256').update(text).digest('hex').slice(0, 10);
}
