/**
 * Starts reckoning workers from the parts that the build put into the page.
 *
 * A worker is a classic one made from a Blob, since a page opened from disk may start no other kind.
 * Its source and the compiled Rust sit in data blocks: in the single file they hold the content itself,
 * in the hosted folder they name a file beside the page.
 */

import { unpacked } from './z85.ts';

/** A module of one instruction on four lanes (v128.const), to ask whether the browser knows them. */
const FOUR_LANES = new Uint8Array([
  0, 97, 115, 109, 1, 0, 0, 0, 1, 5, 1, 96, 0, 1, 123, 3, 2, 1, 0, 10, 22, 1, 20, 0, 253, 12,
  ...new Array<number>(16).fill(0), 11,
]);

/** Starts one worker. Its first message is the compiled module; every later one is a `Sent` of `calls.ts`. */
export type Start = () => Worker;

let startPlate: Start | null = null;

/**
 * Compiles the Rust that the page opens with, once, for `startWorker`. Throws an Error whose message is for the user.
 */
export async function readyToStart(): Promise<void> {
  if (typeof WebAssembly !== 'object' || !WebAssembly.validate(FOUR_LANES)) {
    throw new Error('This browser is too old for Platewright: it needs one from 2023 or later.');
  }
  startPlate = await starter('plate');
  // Until now the machine's own letters have served.
  document.querySelector<HTMLLinkElement>('link#letters')?.setAttribute('media', 'all');
}

/** Starts one more worker for plates. */
export function startWorker(): Worker {
  if (!startPlate) throw new Error('A worker was asked for before the page was ready.');
  return startPlate();
}

/** What starts workers for studies, once it has been fetched. In the single file every worker knows them. */
export async function studiesStarter(): Promise<Start> {
  return document.getElementById('studies-wasm') ? starter('studies') : startWorker;
}

async function starter(name: 'plate' | 'studies'): Promise<Start> {
  const [source, module] = await Promise.all([
    part(`${name}-worker`).then((answer) => answer.blob()),
    part(`${name}-wasm`).then(compiled),
  ]);
  const url = URL.createObjectURL(new Blob([source], { type: 'text/javascript' }));
  return () => {
    const worker = new Worker(url);
    worker.postMessage(module);
    return worker;
  };
}

/** Compiles what has arrived while the rest is on its way, where the host names the file's type. */
async function compiled(wasm: Response): Promise<WebAssembly.Module> {
  if (wasm.headers.get('content-type') === 'application/wasm') return WebAssembly.compileStreaming(wasm);
  return WebAssembly.compile(await wasm.arrayBuffer());
}

/** What a data block holds or names. */
async function part(id: string): Promise<Response> {
  const block = document.getElementById(id);
  if (!block) throw new Error(`This copy of the page is incomplete: it has no ${id}.`);
  const file = block.dataset.src;
  if (file !== undefined) {
    const answer = await fetch(file);
    if (!answer.ok) throw new Error(`A part of the page did not arrive (${file}: ${answer.status}). Load it again.`);
    return answer;
  }
  const text = block.textContent ?? '';
  if (block.dataset.form !== 'deflate-raw;z85') return new Response(text);
  return unpacked(text, Number(block.dataset.bytes));
}
