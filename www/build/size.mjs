// What the page weighs. Fonts stand apart: they are pictures of letters, not code.

/** Largest size of the Rust, the scripts and the styles that the page opens with, kB (1000 bytes) before compression. */
const LIMIT_KB = 700;
/** Largest size of all parts that are fetched when they are first shown, kB. */
const LATER_LIMIT_KB = 500;
/** Largest size of the second module with its worker, fetched when something is first planned backwards, printed as an edition or calibrated, kB. */
const SHOP_LIMIT_KB = 650;

/** Largest size of the module that takes over when a plan first has later states or areas by hand, with its worker, kB. */
const HAND_LIMIT_KB = 850;

/** Prints the sizes; throws when the page has grown past its limit. */
export function report(parts, written) {
  const weighed = {
    'Rust (wasm)': parts.wasm.length,
    'worker script': Buffer.byteLength(parts.worker),
    'page script': together(parts.modules, true),
    'styles': Buffer.byteLength(parts.style),
  };
  for (const [name, bytes] of Object.entries(weighed)) console.log(row(name, bytes));
  const total = Object.values(weighed).reduce((sum, bytes) => sum + bytes, 0);
  console.log(row(`to open, of ${LIMIT_KB} allowed`, total));
  const later = together(parts.modules, false);
  console.log(row(`fetched later, of ${LATER_LIMIT_KB}`, later));
  const shop = parts.shop.wasm.length + Buffer.byteLength(parts.shop.worker);
  console.log(row(`second module, of ${SHOP_LIMIT_KB}`, shop));
  const hand = parts.hand.wasm.length + Buffer.byteLength(parts.hand.worker);
  console.log(row(`with all hands, of ${HAND_LIMIT_KB}`, hand));
  console.log(row('fonts', parts.faces.reduce((sum, face) => sum + face.bytes.length, 0)));
  for (const { file, bytes } of written.filter(({ file }) => file.endsWith('.html'))) console.log(row(`dist/${file}`, bytes));
  if (total > LIMIT_KB * 1000) {
    throw new Error(`the page opens with ${Math.ceil(total / 1000)} kB before compression; the limit is ${LIMIT_KB} kB`);
  }
  if (later > LATER_LIMIT_KB * 1000) {
    throw new Error(`the parts fetched later weigh ${Math.ceil(later / 1000)} kB before compression; the limit is ${LATER_LIMIT_KB} kB`);
  }
  if (hand > HAND_LIMIT_KB * 1000) {
    throw new Error(`the module with later states and areas by hand weighs ${Math.ceil(hand / 1000)} kB before compression; the limit is ${HAND_LIMIT_KB} kB`);
  }
  if (shop > SHOP_LIMIT_KB * 1000) {
    throw new Error(`the second module weighs ${Math.ceil(shop / 1000)} kB before compression; the limit is ${SHOP_LIMIT_KB} kB`);
  }
}

/** Bytes of the modules that the page opens with, or of those it fetches later. */
function together({ files, opening }, toOpen) {
  return files.filter(({ name }) => opening.has(name) === toOpen).reduce((sum, { text }) => sum + Buffer.byteLength(text), 0);
}

function row(name, bytes) {
  return `  ${name.padEnd(28)}${(bytes / 1000).toFixed(1).padStart(9)} kB`;
}
