/**
 * One worker: passes calls on to the Rust and its answers back.
 *
 * It runs as a classic worker after the wasm-bindgen glue, which leaves a global `wasm_bindgen`.
 * The first message carries the compiled module; every later one is a `Sent`.
 */
import type { Beat, Hold, Module, Returned, Sent } from './calls.ts';
import { beat } from './beat.ts';
import { decoding } from './decoding.ts';
import { OUT_OF_MEMORY } from './outOfMemory.ts';
import { free, laidInto } from './room.ts';

declare const wasm_bindgen: Module & { initSync(module: { module: WebAssembly.Module }): unknown };

declare const self: DedicatedWorkerGlobalScope & { platewrightPanic(words: string): void };

type ByName = Record<string, (...args: unknown[]) => unknown>;

/** The plate in hand, the studies where the module has them, the module itself, and the decoding of pictures: a call is a method of one of them. */
let asked: ByName[] = [];

/** The Rust has told of a panic. */
let reported = false;

self.platewrightPanic = (words) => {
  reported = true;
  send({ panic: words });
};

function send(returned: Returned, transfer: Transferable[] = []): void {
  self.postMessage(returned, transfer);
}

/** Buffers of an answer that can be handed over instead of copied. */
function buffers(answer: unknown): Transferable[] {
  if (ArrayBuffer.isView(answer)) return [answer.buffer as ArrayBuffer];
  if (!(answer instanceof Object) || Array.isArray(answer)) return [];
  return Object.values(answer).flatMap(buffers);
}

/** Holds a lock until the worker ends, however it ends. */
function hold(name: string): void {
  navigator.locks.request(name, () => {
    send({ held: name });
    return new Promise(() => undefined);
  }).catch(() => undefined);
}

self.onmessage = (event: MessageEvent<WebAssembly.Module | Sent | Hold | Beat>) => {
  if (event.data instanceof WebAssembly.Module) {
    wasm_bindgen.initSync({ module: event.data });
    const studies = wasm_bindgen.Studies && new wasm_bindgen.Studies();
    asked = [new wasm_bindgen.PlateInHand(), ...(studies ? [studies] : []), wasm_bindgen, decoding] as unknown as ByName[];
    return;
  }
  if ('hold' in event.data) {
    hold(event.data.hold);
    return;
  }
  if ('beat' in event.data) {
    beat(event.data.beat);
    return;
  }
  const { id, call, args, room } = event.data;
  const give = (answer: unknown): void => send({ id, answer }, room && laidInto(room, answer) ? [room] : buffers(answer));
  const fail = (error: unknown): void => {
    const failed = error instanceof Error ? error.message : String(error);
    // A panic has already been reported by its hook and leaves a RuntimeError behind. Memory that can't grow leaves
    // the same one, without a word before it.
    const panic = !reported && /unreachable/i.test(failed) ? OUT_OF_MEMORY : failed;
    send(error instanceof WebAssembly.RuntimeError ? { panic } : { id, failed });
  };
  try {
    const of = asked.find((one) => call in one);
    if (!of) throw new Error(`Nothing here answers ${call}.`);
    const answer = of[call]?.(...args);
    if (answer instanceof Promise) answer.then(give).catch(fail);
    else {
      // The Rust has its own copy of a picture.
      for (const arg of args) if (arg instanceof Uint8Array) free(arg);
      give(answer);
    }
  } catch (error) {
    fail(error);
  }
};
