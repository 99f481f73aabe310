// What the page weighs. Fonts stand apart: they are pictures of letters, not code.

/** Largest size of the Rust, the scripts and the styles together, kB (1000 bytes) before compression. */
const LIMIT_KB = 700;

/** Prints the sizes; throws when the page has grown past its limit. */
export function report(parts, written) {
  const weighed = {
    'Rust (wasm)': parts.wasm.length,
    'worker script': Buffer.byteLength(parts.worker),
    'page script': Buffer.byteLength(parts.script),
    'styles': Buffer.byteLength(parts.style),
  };
  for (const [name, bytes] of Object.entries(weighed)) console.log(row(name, bytes));
  const total = Object.values(weighed).reduce((sum, bytes) => sum + bytes, 0);
  console.log(row(`together, of ${LIMIT_KB} allowed`, total));
  console.log(row('fonts', parts.faces.reduce((sum, face) => sum + face.bytes.length, 0)));
  for (const { file, bytes } of written.filter(({ file }) => file.endsWith('.html'))) console.log(row(`dist/${file}`, bytes));
  if (total > LIMIT_KB * 1000) {
    throw new Error(`the page weighs ${Math.ceil(total / 1000)} kB before compression; the limit is ${LIMIT_KB} kB`);
  }
}

function row(name, bytes) {
  return `  ${name.padEnd(28)}${(bytes / 1000).toFixed(1).padStart(9)} kB`;
}
