import type { Diagnostic } from '../engine/protocol.ts';
import { waysOut } from '../store/heldUp.ts';

/** One press each: the ways out of what holds the plan up, each named once. */
export function Ways({ all }: { all: Diagnostic[] }) {
  const ways = all.filter(({ severity }) => severity === 'error')
    .flatMap(waysOut)
    // What several problems have in common comes last.
    .filter((way, i, every) => every.slice(i + 1).every(({ what }) => what !== way.what));
  if (!ways.length) return null;
  return <p class="acts ways-out">{ways.map((way) => <button key={way.what} type="button" class="act" onClick={way.run}>{way.name}</button>)}</p>;
}
