import { leadTo, nameOf } from '../store/heldUp.ts';
import { errors } from '../store/results.ts';

/** Which entry holds the plan up, what that means here, and the way to it. Nothing where the plan can be calculated. */
export function HeldUp({ so }: { so?: string }) {
  const [first, ...others] = errors.value;
  if (!first) return null;
  const name = nameOf(first.field);
  return (
    <>
      <strong>{name}</strong>{others.length > 0 && ` and ${others.length} more`} {others.length > 0 ? 'hold' : 'holds'} everything up{so && `; ${so}`}.{' '}
      <button type="button" class="act" aria-label={`go to it: ${name}`} onClick={() => leadTo(first.field)}>go to it</button>
    </>
  );
}
