/**
 * Starts reckoning workers from the parts that the build put into the page.
 *
 * A worker is a classic one made from a Blob, since a page opened from disk may start no other kind.
 * Its source and the compiled Rust sit in data blocks: in the single file they hold the content itself,
 * in the hosted folder they name a file beside the page.
 */

import { PartFault, partFault, TOO_OLD, unmade } from './partFault.ts';
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
    throw new PartFault(TOO_OLD, 'again');
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
  const [source, module] = await Promise.all([sourceOf(name), moduleOf(name)]);
  const url = URL.createObjectURL(new Blob([source], { type: 'text/javascript' }));
  return () => {
    const worker = new Worker(url);
    worker.postMessage(module);
    return worker;
  };
}

/** What the parts are called where one of them is missing. */
const CALLED = {
  plate: { worker: 'The script that does the calculations', wasm: 'The part that calculates the plate' },
  studies: { worker: 'The script that does the studies', wasm: 'The part that studies plates' },
} as const;

/** The script of a worker. */
async function sourceOf(name: 'plate' | 'studies'): Promise<Blob> {
  const what = CALLED[name].worker;
  const block = blockOf(`${name}-worker`);
  for (const cache of ['default', 'reload'] as const) {
    const source = await (await part(block, what, cache)).blob().catch(() => null);
    if (source && isWhole(block, source.size)) return source;
  }
  throw await partFault(what, { came: true, file: fileOf(block) });
}

/** The Rust, compiled. Where that fails it is fetched once more, past what the browser has kept of it: that may be damaged. */
async function moduleOf(name: 'plate' | 'studies'): Promise<WebAssembly.Module> {
  const what = CALLED[name].wasm;
  const block = blockOf(`${name}-wasm`);
  const first = await part(block, what);
  try {
    return await compiled(first);
  } catch (error) {
    if (!block.dataset.src) throw error;
  }
  const bytes = await (await part(block, what, 'reload')).arrayBuffer().catch(() => null);
  if (bytes && isWhole(block, bytes.byteLength)) return WebAssembly.compile(bytes).catch(() => { throw unmade(what); });
  throw await partFault(what, { came: bytes !== null, file: fileOf(block) });
}

/** Compiles what has arrived while the rest is on its way, where the host names the file's type. */
async function compiled(wasm: Response): Promise<WebAssembly.Module> {
  if (wasm.headers.get('content-type') === 'application/wasm') return WebAssembly.compileStreaming(wasm);
  return WebAssembly.compile(await wasm.arrayBuffer());
}

function blockOf(id: string): HTMLElement {
  const block = document.getElementById(id);
  if (!block) throw new Error(`This copy of the page is incomplete: it has no ${id}.`);
  return block;
}

const fileOf = (block: HTMLElement): string => block.dataset.src?.replace(/^.*\//, '') ?? '';

/** Whether a file is as long as the build has made it. */
const isWhole = (block: HTMLElement, bytes: number): boolean => !block.dataset.src || bytes === Number(block.dataset.bytes);

/** What a data block holds or names. */
async function part(block: HTMLElement, what: string, cache: RequestCache = 'default'): Promise<Response> {
  const file = block.dataset.src;
  if (file !== undefined) {
    const asked = cache === 'default' ? block.arriving : undefined;
    block.arriving = undefined;
    const answer = await (asked ?? fetch(file, { cache })).catch(() => null);
    if (!answer?.ok) throw await partFault(what, { file: fileOf(block) });
    return answer;
  }
  const text = block.textContent ?? '';
  if (block.dataset.form !== 'deflate-raw;z85') return new Response(text);
  return unpacked(text, Number(block.dataset.bytes));
}
