/**
 * What can be asked of a worker: every method of the Rust `PlateInHand`, every function of the module, by name, and
 * where the module with the studies was started, every method of `Studies` besides. Types come from what the build made
 * of the Rust: a new question is a new method there, and a call.
 * Only what needs the browser's own decoding of pictures is answered by TypeScript, in `decoding.ts`.
 */
import type * as Page from '../../generated/page.d.ts';
import type * as WithStudies from '../../generated/page_studies.d.ts';
import type { decoding } from './decoding.ts';

/** Either module, as a worker finds it. */
export type Module = typeof Page & Partial<typeof WithStudies>;

type Asked = (...args: never[]) => unknown;
type Methods<Of> = { [Name in keyof Of as Of[Name] extends Asked ? Exclude<Name & string, 'free'> : never]: Of[Name] };
type Functions<Of> = Omit<Methods<Of>, 'initSync' | 'default'>;

type OfPlateInHand = Methods<Page.PlateInHand>;
type OfStudies = Methods<WithStudies.Studies>;
type OfModule = Functions<typeof WithStudies>;
type OfDecoding = typeof decoding;

/** Names that two of them have: there must be none, since the first would answer for both. */
type Twice =
  | (keyof OfPlateInHand & keyof OfStudies)
  | (keyof OfModule & (keyof OfPlateInHand | keyof OfStudies))
  | (keyof OfDecoding & (keyof OfPlateInHand | keyof OfStudies | keyof OfModule));

/** What every worker answers. */
export type Call = keyof (OfPlateInHand & Functions<typeof Page> & OfDecoding);
/** What a worker of the studies answers. */
export type StudyCall = keyof Calls;
type Calls = [Twice] extends [never] ? OfPlateInHand & OfStudies & OfModule & OfDecoding : never;
export type Args<C extends StudyCall> = Parameters<Calls[C]>;
export type Answer<C extends StudyCall> = Awaited<ReturnType<Calls[C]>>;

/** Page to worker: what is asked, and room for the bytes of the answer where there is some to be used again. */
export interface Sent { id: number; call: string; args: unknown[]; room: ArrayBuffer | null }

/** Page to worker: a lock to hold for as long as it lives. */
export interface Hold { hold: string }

/** Page to worker, where there are no locks: the door by which its beats go out. */
export interface Beat { beat: MessagePort }

/**
 * Worker to page: one answer for each call, in the order asked, but for pictures: other questions are answered while
 * one is decoded. `failed` is a refusal in words; `panic` means that the worker is broken and must be replaced; `held` names
 * the lock that it holds.
 */
export type Returned = { id: number; answer: unknown } | { id: number; failed: string } | { panic: string } | { held: string };
