import type { Explained, Suspect } from '../../engine/protocol.ts';
import { lastJob } from '../../store/plateRecord.ts';
import { records } from '../../store/records.ts';
import { worded } from '../../store/settings.ts';
import { bitesThatRanOtherwise } from '../record/recordWords.ts';
import type { Pulled } from './asking.ts';
import { suppose } from './pulled.ts';
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
      {told.causes.slice(from, to).map((one, i) => <Cause key={i} one={one} chosen={of.cause === from + i} reach={reach(told)} onSuppose={() => void suppose(from + i)} />)}
    </ol>
  );
  return (
    <section aria-labelledby="pulled-why">
      <h3 id="pulled-why">Why it prints so</h3>
      <p class="pulled-said">{worded(told.said)}</p>
      <Ran plate={of.subject.plate} />
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

/** What the clock says of its bites, which nobody needs to guess. */
function Ran({ plate }: { plate: string }) {
  const record = records.value.get(plate);
  const ran = bitesThatRanOtherwise((record && lastJob(record))?.steps ?? []);
  return ran === '' ? null : <p>By the plate’s record {ran}. The causes are weighed as if the minutes of the plan had run: look at those of the minutes first.</p>;
}

/** How far the causes move values, L*: darker at most, and lighter. */
const reach = ({ causes }: Explained): [darkest: number, lightest: number] => {
  const all = causes.flatMap(({ moves_l }) => moves_l);
  return [Math.min(0, ...all), Math.max(0, ...all)];
};

function Cause({ one, chosen, reach: within, onSuppose }: { one: Suspect; chosen: boolean; reach: [number, number]; onSuppose: () => void }) {
  return (
    <li data-chosen={chosen}>
      <p class="pulled-likely"><span class="pulled-share" aria-hidden="true"><span style={{ '--share': `${(100 * one.share).toFixed(1)}%` }} /></span><strong>{one.likely}</strong></p>
      <div>
        <p>{worded(one.said)}</p>
        <p class="acts">
          {chosen ? <span class="unit">what next, below, is reckoned for this</span> : <button type="button" class="quiet" onClick={onSuppose}>what next, if it is this</button>}
        </p>
      </div>
      <Moves of={one.moves_l} within={within} />
    </li>
  );
}

/** Height of the drawing of moves, and width of a value in it. */
const TALL = 28;
const WIDE = 10;

/** By how much it moves each value: up is lighter. */
function Moves({ of, within: [darkest, lightest] }: { of: number[]; within: [number, number] }) {
  const moved = of.map((l, value) => (Math.abs(l) >= MOVED_L ? `${value === 0 ? 'bare copper' : `value ${value}`} ${signed(l)}` : '')).filter(Boolean);
  const words = moved.length > 0 ? `Moves, in L*: ${moved.join(', ')}` : 'Moves no value by half an L*';
  const at = (l: number): number => (TALL * (lightest - l)) / Math.max(1, lightest - darkest);
  return (
    <svg class="pulled-moves" viewBox={`0 0 ${of.length * WIDE} ${TALL + 9}`} role="img" aria-label={words}>
      <title>{words}</title>
      <line x1={0} x2={of.length * WIDE} y1={at(0)} y2={at(0)} />
      {of.map((l, value) => <rect key={value} x={value * WIDE + 2} width={WIDE - 4} y={at(Math.max(0, l))} height={at(Math.min(0, l)) - at(Math.max(0, l))} />)}
      {of.map((_, value) => <text key={`t${value}`} x={(value + 0.5) * WIDE} y={TALL + 8}>{value === 0 ? '–' : value}</text>)}
    </svg>
  );
}
