import { useComputed } from '@preact/signals';
import type { Diagnostic } from '../engine/protocol.ts';
import { saidAt } from '../store/results.ts';
import { Ways } from './Ways.tsx';
import { explained } from '../store/settings.ts';

/** Problems told at one place at most; a calibration may have thousands. */
const MOST = 4;

/** What is wrong, or deserves a look, at one field, with the ways out. `id` names the sentences alone, to describe an entry with. */
export function Said({ field, id }: { field: string; id?: string }) {
  // Compared by its words: most fields have nothing said at them whatever is reckoned.
  const words = useComputed(() => JSON.stringify(saidAt(field))).value;
  return <Told all={JSON.parse(words) as Diagnostic[]} id={id} />;
}

/** Sentences with their ways out. */
export function Told({ all, id }: { all: Diagnostic[]; id?: string | undefined }) {
  if (!all.length) return null;
  const some = all.slice(0, MOST);
  return (
    <>
      <div class="said" id={id}>{some.map((one) => <p key={one.field + explained(one)} class={one.severity === 'error' ? 'problem' : 'warning'}>{explained(one)}</p>)}</div>
      {all.length > MOST && <p class="problem">And {all.length - MOST} more like these.</p>}
      {some.some(({ severity }) => severity === 'error') && <Ways all={some} />}
    </>
  );
}
