import { effect, signal, untracked, type Signal } from '@preact/signals';
import { mirror, recall } from './mirror.ts';

/*
 * What the page keeps in the browser's small store, `localStorage`. Nothing in it is trusted: other versions, other
 * tabs and users write it, too. A store that is forbidden or full does no harm; values then last as long as the page.
 */

/** What stands under `key`, unchecked: the value of its JSON, or the text itself where it is none; undefined where nothing does. */
export function readKept(key: string): unknown {
  let text: string | null = null;
  try {
    text = localStorage.getItem(key);
    return text === null ? undefined : JSON.parse(text) as unknown;
  } catch {
    return text ?? undefined;
  }
}

/** Keeps a value, text as it is and all else as JSON, or removes it where it is undefined; false when the store refuses. */
export function writeKept(key: string, value: unknown): boolean {
  const text = typeof value === 'string' ? value : JSON.stringify(value);
  try {
    if (text === undefined) localStorage.removeItem(key);
    else localStorage.setItem(key, text);
    mirror(key, text);
    return true;
  } catch {
    return false;
  }
}

/** Keys in the store that begin with `prefix`. */
export function keysKept(prefix: string): string[] {
  try {
    return Object.keys(localStorage).filter((key) => key.startsWith(prefix));
  } catch {
    return [];
  }
}

const rereads: (() => void)[] = [];

/** Before anything is taken from the store to go on with: has it hold what was last written, also where it forgot. */
export async function recallAll(): Promise<void> {
  if (await recall()) for (const reread of rereads) reread();
}

/** A signal whose value is kept; `reread` takes what another tab has written. */
export type Persisted<T> = Signal<T> & { reread: () => void };

interface Options<T> {
  /** How a value is written down; undefined removes it. */
  form?: (value: T) => unknown;
  /** Told after every write whether the store took it. */
  onWrite?: (kept: boolean) => void;
}

/**
 * A signal that begins with what is kept under `key` and is written there at every change. `read` gives sound data
 * only; where it throws, or nothing is kept, the value is `usual`.
 */
export function persisted<T>(key: string, usual: T, read: (kept: unknown) => T, { form = (value) => value, onWrite }: Options<T> = {}): Persisted<T> {
  const stored = (): T => {
    const kept = readKept(key);
    if (kept === undefined) return usual;
    try {
      return read(kept);
    } catch {
      return usual;
    }
  };
  // The value that the store has, as far as this tab knows: it needs no writing.
  let known = stored();
  const value = signal(known);
  effect(() => {
    const next = value.value;
    if (next === known) return;
    known = next;
    untracked(() => {
      const kept = writeKept(key, form(next));
      onWrite?.(kept);
    });
  });
  const reread = (): void => { value.value = known = stored(); };
  rereads.push(reread);
  return Object.assign(value, { reread });
}
