import type { Explained, Suspect } from '../../engine/protocol.ts';
import { worded } from '../../store/settings.ts';
import { type Pulled, suppose } from './pulled.ts';
import { signed } from './signed.ts';

/** Less likely than this a cause stands folded away. */
const SHOWN = 0.05;
/** Fewest that stand open. */
const FEWEST = 2;
/** A value is moved from here on, L*. */
const MOVED_L = 0.5;

/** Why it prints as it does: in words, then cause by cause. */
export function Why({ of, told }: { of: Pulled; told: Explained }) {
  const open = told.causes.filter((one, i) => i < FEWEST || one.share >= SHOWN).length;
  const list = (from: number, to: number) => (
    <ol class="pulled-causes">
      {told.causes.slice(from, to).map((one, i) => <Cause key={i} one={one} chosen={of.cause === from + i} most={most(told)} onSuppose={() => void suppose(from + i)} />)}
    </ol>
  );
  return (
    <section aria-labelledby="pulled-why">
      <h3 id="pulled-why">Why it prints so</h3>
      <p class="pulled-said">{worded(told.said)}</p>
      {list(0, open)}
      {open < told.causes.length && (
        <details>
          <summary>{told.causes.length - open} that are less likely</summary>
          {list(open, told.causes.length)}
        </details>
      )}
    </section>
  );
}

/** The farthest that any cause moves any value, L*. */
const most = ({ causes }: Explained): number => Math.max(1, ...causes.flatMap(({ moves_l }) => moves_l.map(Math.abs)));

function Cause({ one, chosen, most: far, onSuppose }: { one: Suspect; chosen: boolean; most: number; onSuppose: () => void }) {
  return (
    <li data-chosen={chosen}>
      <p class="pulled-likely"><span class="pulled-share" aria-hidden="true"><span style={{ '--share': `${(100 * one.share).toFixed(1)}%` }} /></span><strong>{one.likely}</strong></p>
      <div>
        <p>{worded(one.said)}</p>
        <p class="acts">
          {chosen ? <span class="unit">what next, below, is reckoned for this</span> : <button type="button" class="quiet" onClick={onSuppose}>what next, if it is this</button>}
        </p>
      </div>
      <Moves of={one.moves_l} far={far} />
    </li>
  );
}

/** By how much it moves each value: up is lighter. */
function Moves({ of, far }: { of: number[]; far: number }) {
  const moved = of.map((l, value) => (Math.abs(l) >= MOVED_L ? `${value === 0 ? 'bare copper' : `value ${value}`} ${signed(l)}` : '')).filter(Boolean);
  const half = 16;
  const words = moved.length > 0 ? `Moves, in L*: ${moved.join(', ')}` : 'Moves no value by half an L*';
  return (
    <svg class="pulled-moves" viewBox={`0 0 ${of.length * 10} ${2 * half + 10}`} role="img" aria-label={words}>
      <title>{words}</title>
      <line x1={0} x2={of.length * 10} y1={half} y2={half} />
      {of.map((l, value) => {
        const tall = (Math.abs(l) / far) * half;
        return <rect key={value} x={value * 10 + 2} width={6} y={l > 0 ? half - tall : half} height={tall} />;
      })}
      {of.map((_, value) => <text key={`t${value}`} x={value * 10 + 5} y={2 * half + 8}>{value === 0 ? '–' : value}</text>)}
    </svg>
  );
}
