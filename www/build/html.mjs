// The two forms of the page, each under a strict content security policy.

import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdir, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { fontStyle } from './fonts.mjs';
import { z85 } from './z85.mjs';

/** The paper of the page by day, as `ui/base.css` has it. */
function paperOf(style) {
  const [, paper] = /--paper:\s*(#[0-9a-f]{6})/.exec(style) ?? [];
  if (!paper) throw new Error('the styles name no paper');
  return paper;
}

/**
 * Everything in one file: `dist/platewright.html`. Nothing is fetched, and nothing can be. Its scripts and letters are packed, too, and
 * `unpack.ts` unpacks the page's: a third of a megabyte less.
 */
export async function singleFile(parts, dist) {
  const letters = fontStyle(parts.faces, (face) => `data:font/woff2;base64,${face.bytes.toString('base64')}`);
  const { style } = parts;
  const policy = [
    "default-src 'none'",
    `script-src ${sha256(parts.unpack)} ${sha256(parts.script)} 'wasm-unsafe-eval'`,
    `style-src ${sha256(style)} ${sha256(parts.opening)} ${sha256(letters)}`,
    'font-src data:',
    'img-src data: blob:',
    'worker-src blob:',
    "base-uri 'none'",
    "form-action 'none'",
  ];
  const packed = (id, small) => {
    const { bytes, text } = spelled(small);
    return `<script type="application/octet-stream" id="${id}" data-form="deflate-raw;z85" data-bytes="${bytes}">${inside('script', text)}</script>`;
  };
  const html = fill(parts.shell, {
    csp: csp(policy),
    install: '<link rel="icon" href="data:,">',
    style: `<style>${inside('style', parts.opening)}</style>\n<style>${inside('style', style)}</style>`,
    picture: '',
    parts: [
      // The module with the studies holds the other, too.
      packed('plate-worker', deflated(parts.studies.worker)),
      packed('plate-wasm', parts.packed),
      packed('page-script', deflated(parts.script)),
      packed('letters', deflated(letters)),
      `<script type="text/plain" id="licences">${inside('script', parts.licences)}</script>`,
    ].join('\n'),
    boot: '',
    styles: '',
    script: `<script>${inside('script', parts.unpack)}</script>`,
  });
  return put(dist, 'platewright.html', html);
}

/** `dist/index.html` and its files. Names carry a hash, so an old copy is never mixed with a new one. */
export async function hostedFolder(parts, dist) {
  await rm(path.join(dist, 'assets'), { recursive: true, force: true });
  const written = [];
  const asset = async (name, bytes) => {
    const { name: stem, ext } = path.parse(name);
    const file = `assets/${stem}-${createHash('sha256').update(bytes).digest('hex').slice(0, 10)}${ext}`;
    written.push(await put(dist, file, bytes));
    return file;
  };
  const placed = new Map();
  for (const face of parts.faces) placed.set(face, path.basename(await asset(face.file, face.bytes)));
  const style = await asset('page.css', parts.style);
  const letters = await asset('letters.css', fontStyle(parts.faces, (face) => placed.get(face)));
  // Their names have a hash already.
  for (const { name, text } of parts.modules.files) written.push(await put(dist, `assets/${name}`, text));
  const reckoner = async (name, { wasm, worker }) => ({
    name, wasm: await asset(`${name}.wasm`, wasm), wasm_bytes: wasm.length, worker: await asset(`${name}-worker.js`, worker), worker_bytes: Buffer.byteLength(worker),
  });
  const plate = await reckoner('plate', parts.plate);
  const studies = await reckoner('studies', parts.studies);
  const policy = [
    "default-src 'none'",
    `script-src 'self' ${sha256(parts.boot)} 'wasm-unsafe-eval'`,
    `style-src 'self' ${sha256(parts.opening)}`,
    "font-src 'self'",
    "img-src 'self' data: blob:",
    "connect-src 'self'",
    "worker-src 'self' blob:",
    "manifest-src 'self'",
    "base-uri 'none'",
    "form-action 'none'",
  ];
  const html = fill(parts.shell, {
    csp: csp(policy),
    install: await install(parts.icons, paperOf(parts.style), dist, written),
    style: `<style>${inside('style', parts.opening)}</style>`,
    picture: '<img src="icons/icon.svg" alt="" width="128" height="128">',
    parts: [plate, studies].map(({ name, wasm, wasm_bytes, worker, worker_bytes }) => {
      // What the page opens with is asked for by the script right after these blocks.
      const first = name === 'plate' ? ' data-first' : '';
      return [
        `<script type="text/plain" id="${name}-worker" data-src="${worker}" data-bytes="${worker_bytes}"${first}></script>`,
        `<script type="application/octet-stream" id="${name}-wasm" data-src="${wasm}" data-bytes="${wasm_bytes}"${first}></script>`,
      ].join('\n');
    }).join('\n'),
    boot: `<script>${inside('script', parts.boot)}</script>`,
    // Below what stands there meanwhile: a style sheet in the head would keep that from being seen.
    styles: [
      `<link rel="stylesheet" href="${style}">`,
      // The script asks for the letters once the reckoner is there: the proof comes first.
      `<link rel="stylesheet" id="letters" media="not all" href="${letters}">`,
    ].join('\n'),
    script: `<script type="module" src="assets/${parts.modules.first}"></script>`,
  });
  written.push(await put(dist, 'licences.txt', parts.licences));
  written.push(await put(dist, 'index.html', html));
  written.push(await put(dist, 'keeper.js', kept(parts.keeper, written, html)));
  return written;
}

/** What makes a hosted page a program of its own on a device; the elements that name it. */
async function install(icons, paper, dist, written) {
  for (const { file, bytes } of icons) written.push(await put(dist, `icons/${file}`, bytes));
  const sized = (size, purpose) => ({ src: `icons/${purpose}-${size}.png`, sizes: `${size}x${size}`, type: 'image/png', purpose });
  const manifest = {
    name: 'Platewright', short_name: 'Platewright', description: 'Rosin aquatint on copper, simulated grain by grain.',
    id: './', start_url: './', scope: './', display: 'standalone', lang: 'en', dir: 'ltr', categories: ['education', 'graphics'],
    background_color: paper, theme_color: paper,
    icons: [
      { src: 'icons/icon.svg', sizes: 'any', type: 'image/svg+xml', purpose: 'any' },
      sized(192, 'any'), sized(512, 'any'), sized(512, 'maskable'),
    ],
  };
  written.push(await put(dist, 'manifest.webmanifest', JSON.stringify(manifest, null, 2)));
  return [
    '<link rel="icon" href="icons/icon.svg" type="image/svg+xml">',
    '<link rel="apple-touch-icon" href="icons/touch-180.png">',
    '<link rel="manifest" href="manifest.webmanifest">',
    `<meta name="theme-color" content="${paper}">`,
    '<meta property="og:title" content="Platewright">',
    '<meta property="og:description" content="Rosin aquatint on copper, simulated grain by grain: see what a plate will print before any copper is spent.">',
    '<meta property="og:type" content="website">',
    // Readers of cards want a whole address, which only the host knows; most take it as it stands beside the page.
    '<meta property="og:image" content="icons/card.jpg">',
    '<meta name="twitter:card" content="summary_large_image">',
  ].join('\n');
}

/** The keeper with what it keeps: all that has been written but the page in one file, and the page itself. */
function kept(script, written, html) {
  const files = ['./', ...written.map(({ file }) => file).filter((file) => !/^(platewright|index)\.html$|^icons\/card/.test(file))];
  const name = createHash('sha256').update(html).update(files.join()).digest('hex').slice(0, 10);
  return `const KEPT=${JSON.stringify({ name, files })};${script}`;
}

/** As closely as deflate can: by Zopfli, which saves 15 kB of the scripts. */
function deflated(text) {
  return execFileSync(process.env.PLATEWRIGHT_XTASK, ['deflate'], { input: text, maxBuffer: 1 << 26 });
}

function csp(policy) {
  return `<meta http-equiv="Content-Security-Policy" content="${policy.join('; ')}">`;
}

function sha256(text) {
  return `'sha256-${createHash('sha256').update(text).digest('base64')}'`;
}

/** Of an element's text, what would end it early. */
const trapIn = (element, text) => new RegExp(`</${element}|<!--`, 'i').exec(text)?.[0];

/** A stored block of nothing, before any other (RFC 1951, section 3.2.4). */
const EMPTY_BLOCK = Buffer.from([0, 0, 0, 0xff, 0xff]);

/**
 * What deflate has made, in letters. One build in some sixty spells out by chance what would end its element; blocks of
 * nothing before it then shift all of its letters.
 */
export function spelled(small) {
  let bytes = small;
  while (trapIn('script', z85(bytes)) !== undefined) bytes = Buffer.concat([EMPTY_BLOCK, bytes]);
  return { bytes: bytes.length, text: z85(bytes) };
}

/** Text as it may stand inside an element, or an error where it would end the element early. */
function inside(element, text) {
  const trap = trapIn(element, text);
  if (trap !== undefined) throw new Error(`a part of the page holds "${trap}", which would cut its ${element} element short`);
  return text;
}

function fill(shell, pieces) {
  return Object.entries(pieces).reduce((html, [name, piece]) => {
    const mark = `<!--${name}-->`;
    if (!html.includes(mark)) throw new Error(`www/index.html has no place ${mark}`);
    return html.replace(mark, () => piece);
  }, shell);
}

async function put(dist, file, content) {
  const target = path.join(dist, file);
  await mkdir(path.dirname(target), { recursive: true });
  await writeFile(target, content);
  return { file, bytes: Buffer.byteLength(content) };
}
