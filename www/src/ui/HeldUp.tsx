import { nameOf } from '../store/heldUp.ts';
import { errors } from '../store/results.ts';
import { GoTo } from './GoTo.tsx';

/** Which entry holds the plan up, what that means here, and the way to it. Nothing where the plan can be calculated. */
export function HeldUp({ so }: { so?: string }) {
  const [first, ...others] = errors.value;
  if (!first) return null;
  return (
    <>
      <strong>{nameOf(first.field)}</strong>{others.length > 0 && ` and ${others.length} more`} {others.length > 0 ? 'hold' : 'holds'} everything up{so && `; ${so}`}.{' '}
      <GoTo field={first.field} />
    </>
  );
}
