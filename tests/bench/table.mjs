// Puts the bench's JSON lines into one table.
//   node tests/bench/table.mjs FOLDER MACHINE
import { readFileSync } from 'node:fs';
import path from 'node:path';

const [folder, machine] = process.argv.slice(2);
const lines = (name) => {
  try {
    return readFileSync(path.join(folder, name), 'utf8').trim().split('\n').filter(Boolean).map((line) => JSON.parse(line));
  } catch {
    return [];
  }
};
const [native, wasm, peers, counts, program, page, network] = ['native', 'wasm', 'peers', 'counts', 'program', 'page', 'network'].map((name) => lines(`${name}.jsonl`));
const number = (x) => (x === undefined ? '' : x >= 1e6 ? `${(x / 1e6).toFixed(2)} M` : x >= 100 ? x.toFixed(0) : x.toFixed(1));

console.log(`Benches of ${new Date().toISOString().slice(0, 10)} on ${machine}\n`);
console.log('| kernel | per | target ns | native ns | wasm ns | wasm ÷ native | instructions |');
console.log('|---|---|---|---|---|---|---|');
for (const kernel of native) {
  const inWasm = wasm.find(({ name }) => name === kernel.name);
  const count = counts.find(({ name }) => name === kernel.name);
  console.log(`| ${kernel.name} | ${kernel.unit} | ${number(kernel.target_ns)} | ${number(kernel.ns)} | ${number(inWasm?.ns)} | ${inWasm ? (inWasm.ns / kernel.ns).toFixed(2) : ''} | ${number(count?.instructions)} |`);
}
if (peers.length) {
  console.log('\n| peer, same machine and run | kernel | peer ns | native is faster by | wasm by |');
  console.log('|---|---|---|---|---|');
  for (const peer of peers) {
    const ours = native.find(({ name }) => name === peer.name);
    const inWasm = wasm.find(({ name }) => name === peer.name);
    console.log(`| ${peer.peer} | ${peer.name} | ${number(peer.ns)} | ${ours ? `${(peer.ns / ours.ns).toFixed(1)} ×` : ''} | ${inWasm ? `${(peer.ns / inWasm.ns).toFixed(1)} ×` : ''} |`);
  }
}
for (const [what, figures] of [['the native program', program], ['page, Chromium, single file from disk', page], ['page, Chromium, served over a line of this rate', network]]) {
  if (!figures.length) continue;
  console.log(`\n| ${what} | measured | target |`);
  console.log('|---|---|---|');
  for (const { name, value, target, unit } of figures) console.log(`| ${name} | ${number(value)} ${unit} | ${target === undefined ? '' : `${target} ${unit}`} |`);
}
