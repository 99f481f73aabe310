// The licence texts of everything that is inside the built page. They ask to go wherever it goes.

import { execFileSync } from 'node:child_process';
import { readdir, readFile } from 'node:fs/promises';
import path from 'node:path';
import { FONT_LICENCES } from './fonts.mjs';

/** The npm packages whose code is bundled into the page. */
const NPM = ['preact', '@preact/signals', '@preact/signals-core', 'idb', 'image-size'];

/** One text: each licence once, under the parts of the page that stand under it and their copyright lines. */
export async function licences(root) {
  const mit = await readFile(path.join(root, 'LICENSE-MIT'), 'utf8');
  const npm = NPM.map((name) => ({ name, file: path.join(root, 'node_modules', name, 'LICENSE') }));
  const parts = await Promise.all([...FONT_LICENCES, ...npm, ...await crates(root)].map(async ({ name, file, authors }) =>
    ({ name, text: file ? await readFile(file, 'utf8') : mit.replace(/^Copyright.*$/m, `Copyright (c) ${authors}`) })));
  const alike = new Map();
  for (const { name, text } of [{ name: 'Platewright', text: mit }, ...parts]) {
    const lines = text.trim().split('\n');
    const holders = lines.filter((line) => HOLDER.test(line)).map((line) => line.trim());
    const body = lines.filter((line) => !HOLDER.test(line)).join('\n').trim();
    // The same terms, however they are headed and broken into lines, and whatever follows them on how to use them.
    const words = body.replace(/\s+/g, ' ').replace(/^(The )?MIT License( \(MIT\))? /, '').replace(/ END OF TERMS AND CONDITIONS.*$/, '');
    const group = alike.get(words) ?? alike.set(words, { body, parts: [] }).get(words);
    group.parts.push([name, ...holders.map((line) => `  ${line}`)].join('\n'));
  }
  const all = [...alike.values()].map(({ body, parts: of }) => `${of.join('\n')}\n${RULE}\n\n${body}\n`).join('\n\n');
  // One licence quotes another in full.
  let times = 0;
  return all.replace(APACHE, (terms) => (times++ === 0 ? terms : 'Apache License, Version 2.0, January 2004: its terms are those that stand in full above.'));
}

const APACHE = /Apache License\s+Version 2\.0, January 2004[\s\S]*?limitations under the License\./g;

/** A line that says whose work it is. */
const HOLDER = /^\s*copyright\b.*(\(c\)|©|\d{4}|the .* (authors|developers|contributors))/i;
const RULE = '='.repeat(60);

/** The crates compiled into the page: those that `crates/page_studies`, which holds `crates/page`, needs when it runs. */
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
  visit(metadata.packages.find(({ name }) => name === 'page_studies').id);
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
