/**
 * What can be asked of a worker: every method of the Rust `PlateInHand` and `Studies`, and every function of the
 * module, by name. Types come from what the build made of the Rust: a new question is a new method there, and a call.
 * Only what needs the browser's own decoding of pictures is answered by TypeScript, in `decoding.ts`.
 */
import type * as Module from '../../generated/page.d.ts';
import type { decoding } from './decoding.ts';

export type Page = typeof Module;

type Asked = (...args: never[]) => unknown;
type Methods<Of> = { [Name in keyof Of as Of[Name] extends Asked ? Exclude<Name & string, 'free'> : never]: Of[Name] };

type OfPlateInHand = Methods<Module.PlateInHand>;
type OfStudies = Methods<Module.Studies>;
type OfModule = Omit<Methods<Page>, 'initSync' | 'default'>;

type OfDecoding = typeof decoding;

/** Names that two of them have: there must be none, since the first would answer for both. */
type Twice =
  | (keyof OfPlateInHand & keyof OfStudies)
  | (keyof OfModule & (keyof OfPlateInHand | keyof OfStudies))
  | (keyof OfDecoding & (keyof OfPlateInHand | keyof OfStudies | keyof OfModule));

export type Calls = [Twice] extends [never] ? OfPlateInHand & OfStudies & OfModule & OfDecoding : never;
export type Call = keyof Calls;
export type Args<C extends Call> = Parameters<Calls[C]>;
export type Answer<C extends Call> = Awaited<ReturnType<Calls[C]>>;

/** Page to worker. */
export interface Sent { id: number; call: string; args: unknown[] }

/**
 * Worker to page: one answer for each call, in the order asked, but for pictures: other questions are answered while
 * one is decoded. `failed` is a refusal in words; `panic` means that the worker is broken and must be replaced.
 */
export type Returned = { id: number; answer: unknown } | { id: number; failed: string } | { panic: string };
