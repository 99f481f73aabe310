import { leadTo, nameOf } from '../store/heldUp.ts';

/** Leads to the entry at a field, whatever is folded round it. */
export function GoTo({ field }: { field: string }) {
  return <button type="button" class="act" aria-label={`go to it: ${nameOf(field)}`} onClick={() => leadTo(field)}>go to it</button>;
}
