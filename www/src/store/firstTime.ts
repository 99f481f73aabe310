import { signal } from '@preact/signals';
import { persisted } from './persisted.ts';

/* What happens once: somebody's first picture of their own becomes a proof. */

/** The proof has been seen to be pulled, or that was put away. */
const seen = persisted('platewright.first-proof', false, (kept) => kept === 'seen', { form: (now) => (now ? 'seen' : undefined) });
/** The place for one's own picture was put away. */
export const harbourKept = persisted('platewright.harbour-kept', false, (kept) => kept === 'kept', { form: (now) => (now ? 'kept' : undefined) });

/** `pulling`: the proof of a first picture comes into being before the eye; `next`: what one may do now stands beside it. */
export const firstProof = signal<'pulling' | 'next' | null>(null);

/** A picture of the user's own was taken; only the first is made a show of. */
export function ownPictureTaken(): void {
  if (!seen.value) firstProof.value = 'pulling';
}

/** The show is over, or was left; it is never shown again unasked. */
export function proofPulled(): void {
  seen.value = true;
  firstProof.value = 'next';
}

export function firstProofLeft(): void {
  firstProof.value = null;
}
