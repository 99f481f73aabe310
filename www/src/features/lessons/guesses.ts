import { persisted } from '../../store/persisted.ts';

/** Guesses by lesson and question: the index of the option, or -1 for “show me”. Stored on this device only. */
type Guesses = Record<string, Record<number, number>>;

const KEY = 'platewright.guesses';
export const SHOW_ME = -1;

function read(kept: unknown): Guesses {
  if (typeof kept !== 'object' || kept === null) return {};
  return Object.fromEntries(Object.entries(kept).map(([id, of]) => [id, whole(of)]));
}

function whole(of: unknown): Record<number, number> {
  if (typeof of !== 'object' || of === null) return {};
  return Object.fromEntries(Object.entries(of).filter(([at, guess]) => /^\d$/.test(at) && Number.isInteger(guess)));
}

export const guesses = persisted<Guesses>(KEY, {}, read, { form: (all) => (Object.keys(all).length > 0 ? all : undefined) });

export function guessed(id: string, question: number): number | undefined {
  return guesses.value[id]?.[question];
}

export function guess(id: string, question: number, option: number): void {
  guesses.value = { ...guesses.value, [id]: { ...guesses.value[id], [question]: option } };
}

/** Clears the guesses of one lesson. */
export function forget(id: string): void {
  const { [id]: gone, ...others } = guesses.value;
  void gone;
  guesses.value = others;
}
