// Times the kernels of crates/bench as WebAssembly in Node: a JSON line each.
//   node tests/bench/wasm.mjs path/to/bench.wasm NAMES…
import { readFile } from 'node:fs/promises';

const LONG_ENOUGH_MS = 1000;

const [file, ...names] = process.argv.slice(2);
const { instance } = await WebAssembly.instantiate(await readFile(file), {});
const { kernel_count, prepare, run } = instance.exports;
for (let kernel = 0; kernel < kernel_count(); kernel++) {
  const units = prepare(kernel);
  run();
  let best = Infinity;
  const begun = performance.now();
  while (performance.now() - begun < LONG_ENOUGH_MS) {
    const start = performance.now();
    run();
    best = Math.min(best, performance.now() - start);
  }
  process.stdout.write(`${JSON.stringify({ name: names[kernel], ns: (best * 1e6) / units })}\n`);
}
