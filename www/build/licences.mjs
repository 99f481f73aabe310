// The licence texts of everything that is inside the built page. They ask to go wherever it goes.

import { execFileSync } from 'node:child_process';
import { readdir, readFile } from 'node:fs/promises';
import path from 'node:path';
import { FONT_LICENCES } from './fonts.mjs';

/** The npm packages whose code is bundled into the page. */
const NPM = ['preact', '@preact/signals', '@preact/signals-core'];

/** One text: the parts of the page by name, then their licence. A text that several share, word for word, stands once. */
export async function licences(root) {
  const mit = await readFile(path.join(root, 'LICENSE-MIT'), 'utf8');
  const npm = NPM.map((name) => ({ name, file: path.join(root, 'node_modules', name, 'LICENSE') }));
  const parts = await Promise.all([...FONT_LICENCES, ...npm, ...await crates(root)].map(async ({ name, file, authors }) =>
    ({ name, text: file ? await readFile(file, 'utf8') : mit.replace(/^Copyright.*$/m, `Copyright (c) ${authors}`) })));
  const names = new Map();
  for (const { name, text } of [{ name: 'Platewright', text: mit }, ...parts]) {
    const known = text.trim().replaceAll('\r\n', '\n');
    names.set(known, [...names.get(known) ?? [], name]);
  }
  return [...names].map(([text, of]) => section(of, text)).join('\n\n');
}

function section(names, text) {
  return `${names.join('\n')}\n${'='.repeat(Math.max(...names.map(({ length }) => length)))}\n\n${text}\n`;
}

/** The crates compiled into the page: those that `crates/page` needs when it runs. */
async function crates(root) {
  const text = execFileSync('cargo', [
    'metadata', '--format-version', '1', '--locked', '--filter-platform', 'wasm32-unknown-unknown',
  ], { cwd: root, maxBuffer: 1 << 27, encoding: 'utf8', stdio: ['ignore', 'pipe', 'inherit'] });
  const metadata = JSON.parse(text);
  const packages = new Map(metadata.packages.map((item) => [item.id, item]));
  const nodes = new Map(metadata.resolve.nodes.map((node) => [node.id, node]));
  const wanted = new Set();
  const visit = (id) => {
    if (wanted.has(id)) return;
    wanted.add(id);
    for (const need of nodes.get(id).deps) {
      const inPage = need.dep_kinds.some(({ kind }) => kind === null);
      const macro = packages.get(need.pkg).targets.some(({ kind }) => kind.includes('proc-macro'));
      if (inPage && !macro) visit(need.pkg);
    }
  };
  visit(metadata.packages.find(({ name }) => name === 'page').id);
  const outside = [...wanted].map((id) => packages.get(id)).filter(({ source }) => source !== null);
  return Promise.all(outside.sort((a, b) => (a.name < b.name ? -1 : 1)).map(async (item) => {
    const folder = path.dirname(item.manifest_path);
    // Some keep the texts in a folder of their own.
    const found = await readdir(folder, { recursive: true, withFileTypes: true });
    const files = found.filter((entry) => entry.isFile()).map((entry) => path.relative(folder, path.join(entry.parentPath, entry.name)))
      .filter((name) => /^(licenses\/|(licen[cs]e|copying)[^/]*$)/i.test(name));
    const best = files.find((name) => /mit/i.test(name)) ?? files[0];
    const name = `${item.name} ${item.version} (${item.license})`;
    if (best) return { name, file: path.join(folder, best) };
    // A few crates state their licence only by name.
    if (!/\bMIT\b/.test(item.license)) throw new Error(`the crate ${item.name} has no licence file to pass on`);
    return { name, authors: item.authors.join(', ') || `the authors of ${item.name}` };
  }));
}
