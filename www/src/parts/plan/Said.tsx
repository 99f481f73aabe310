import { useComputed } from '@preact/signals';
import type { Problem } from '../../reckon/protocol';
import { saidAt } from '../../state/results';

/** What is wrong, or deserves a look, at one field. */
export function Said({ field }: { field: string }) {
  // Compared by its words: most fields have nothing said at them whatever is reckoned.
  const words = useComputed(() => JSON.stringify(saidAt(field))).value;
  const found = JSON.parse(words) as Problem[];
  if (!found.length) return null;
  return <>{found.map((one) => <p key={one.message} class={one.severity === 'error' ? 'problem' : 'warning'}>{one.message}</p>)}</>;
}
