import { useEffect } from 'preact/hooks';
import { doubts, spreads, tryConstants } from './doubt.ts';
import type { Constant, Sensitivity } from '../../engine/protocol.ts';
import './doubts.css?sheet';

/** Rows that are shown. */
const MOST = 12;
const NAMES = ['pale', 'middle', 'darkest'];
const L = (lightness: number): string => lightness.toFixed(1);

/** Which constants of the model move this plan's palest, middle and darkest value most, tried one by one. */
export function Doubts() {
  useEffect(tryConstants, []);
  const { of, tried, found } = doubts.value;
  const shown = found.slice(0, MOST);
  const most = Math.max(1, ...shown.flatMap(({ doubt }) => spreads(doubt)));
  const first = found[0]?.doubt;
  return (
    <div class="doubts">
      <p>
        {first
          ? `Value ${first.values[0]}, pale, prints at L*\u00a0${L(first.lightness[0])}, value ${first.values[1]}, the middle one, at ${L(first.lightness[1])}, and value ${first.values[2]}, the darkest, at ${L(first.lightness[2])}. Each constant has been moved across its plausible range, the others held; this is how far the three move, in L*:`
          : 'Moving each constant across its plausible range …'}
      </p>
      <ol>
        {shown.map(({ constant, doubt }) => <Row key={constant.key} constant={constant} doubt={doubt} most={most} />)}
      </ol>
      <p role="status">{tried < of ? `Tried ${tried} of ${of} constants.` : rest(of, found.length)}</p>
    </div>
  );
}

function rest(of: number, moving: number): string {
  const shown = Math.min(moving, MOST);
  return `All ${of} constants have been tried; ${shown < moving ? `these ${shown} move a value most` : 'the others move nothing'}. A step plate of your own tells what they are in your shop.`;
}

function Row({ constant, doubt, most }: { constant: Constant; doubt: Sensitivity; most: number }) {
  return (
    <li>
      <span class="constant-name">{constant.meaning}</span>
      <span class="constant-source"><em>{constant.tag}</em>, {constant.min}–{constant.max} {constant.unit}</span>
      <dl class="doubt-values">
        {spreads(doubt).map((moves, i) => {
          const at = [doubt.lightness_at_min[i], doubt.lightness_at_max[i], doubt.lightness[i]].map((l) => l ?? 0);
          return (
            <div key={i} title={`L* ${L(Math.min(...at))}–${L(Math.max(...at))}`}>
              <dt>{NAMES[i]}</dt>
              <dd class="number">{L(moves)}</dd>
              <dd class="doubt-bar" aria-hidden="true"><span class="doubt-range" style={{ width: `${(100 * moves) / most}%` }} /></dd>
            </div>
          );
        })}
      </dl>
    </li>
  );
}
