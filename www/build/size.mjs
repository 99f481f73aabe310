// What the page weighs. Letters (fonts) stand apart: they are pictures, not code.

import { gzipSync } from 'node:zlib';

/** Most that the page opens with: the Rust, the scripts and the styles, kB (1000 bytes) as a host sends them (gzip). */
const LIMIT_KB = 600;
/** Most that the page in one file may weigh as it lies on the disk, letters included, kB. */
const SINGLE_FILE_LIMIT_KB = 1500;

/** Prints the sizes; throws when the page has grown past its limit. */
export function report(parts, written) {
  const weighed = {
    'Rust (wasm)': packed(parts.plate.wasm),
    'worker script': packed(parts.plate.worker),
    'page script': together(parts.modules, true),
    'styles': packed(parts.style),
    'the page itself': packed(parts.boot + parts.opening + parts.shell),
  };
  for (const [name, bytes] of Object.entries(weighed)) console.log(row(name, bytes));
  const total = Object.values(weighed).reduce((sum, bytes) => sum + bytes, 0);
  console.log(row(`to open, of ${LIMIT_KB} allowed`, total));
  console.log(row('studies, fetched later', packed(parts.studies.wasm) + packed(parts.studies.worker)));
  console.log(row('scripts, fetched later', together(parts.modules, false)));
  console.log(row('fonts', parts.faces.reduce((sum, face) => sum + face.bytes.length, 0)));
  const single = written.find(({ file }) => file === 'platewright.html').bytes;
  console.log(row(`in one file, of ${SINGLE_FILE_LIMIT_KB}`, single));
  if (total > LIMIT_KB * 1000) {
    throw new Error(`the page opens with ${Math.ceil(total / 1000)} kB compressed; the limit is ${LIMIT_KB} kB`);
  }
  if (single > SINGLE_FILE_LIMIT_KB * 1000) {
    throw new Error(`the page in one file weighs ${Math.ceil(single / 1000)} kB; the limit is ${SINGLE_FILE_LIMIT_KB} kB`);
  }
}

function packed(content) {
  return gzipSync(content, { level: 9 }).length;
}

/** Bytes of the script that the page opens with, or of those it fetches later. */
function together({ files, first }, toOpen) {
  return files.filter(({ name }) => (name === first) === toOpen).reduce((sum, { text }) => sum + packed(text), 0);
}

function row(name, bytes) {
  return `  ${name.padEnd(28)}${(bytes / 1000).toFixed(1).padStart(9)} kB`;
}
