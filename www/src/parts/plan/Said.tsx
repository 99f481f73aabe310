import { saidAt } from '../../state/results';

/** What is wrong, or deserves a look, at one field. */
export function Said({ field }: { field: string }) {
  const found = saidAt(field);
  if (!found.length) return null;
  return <>{found.map((one) => <p key={one.message} class={one.severity === 'error' ? 'problem' : 'warning'}>{one.message}</p>)}</>;
}
