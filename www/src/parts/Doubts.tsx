import { useEffect } from 'preact/hooks';
import { doubts, spread, tryConstants } from '../state/doubt';
import type { Constant, Doubt } from '../reckon/protocol';
import '../styles/doubts.css?sheet';

/** Rows that are shown. */
const MOST = 12;
const L = (lightness: number): string => lightness.toFixed(1);

/** Which constants of the model move this plan's middle value most, tried one by one. */
export function Doubts() {
  useEffect(tryConstants, []);
  const { of, tried, found } = doubts.value;
  const shown = found.slice(0, MOST);
  const ends = shown.flatMap(({ doubt }) => [doubt.lightness_at_min, doubt.lightness_at_max, doubt.lightness]);
  const from = Math.min(...ends);
  const to = Math.max(...ends, from + 1);
  const first = found[0]?.doubt;
  return (
    <div class="doubts">
      <p>
        {first
          ? `Value ${first.value}, the middle one of this plan, prints at L*\u00a0${L(first.lightness)}. Each constant has been moved across its plausible range, the others held:`
          : 'Moving each constant across its plausible range …'}
      </p>
      <ol>
        {shown.map(({ constant, doubt }) => <Row key={constant.key} constant={constant} doubt={doubt} from={from} to={to} />)}
      </ol>
      <p role="status">{tried < of ? `Tried ${tried} of ${of} constants.` : rest(of, found.length)}</p>
    </div>
  );
}

function rest(of: number, moving: number): string {
  const shown = Math.min(moving, MOST);
  return `All ${of} constants have been tried; ${shown < moving ? `these ${shown} move it most` : 'the others do not move it'}. A step plate of your own tells what they are in your shop.`;
}

function Row({ constant, doubt, from, to }: { constant: Constant; doubt: Doubt; from: number; to: number }) {
  const { lightness, lightness_at_min: a, lightness_at_max: b } = doubt;
  const low = Math.min(a, b, lightness);
  const high = Math.max(a, b, lightness);
  const at = (l: number): string => `${(100 * (l - from)) / (to - from)}%`;
  return (
    <li>
      <span class="constant-name">{constant.meaning}</span>
      <span class="constant-number"><span class="number">{L(low)}–{L(high)}</span> <span class="unit">L*</span></span>
      <span class="doubt-bar" role="img" aria-label={`moves it by ${L(spread(doubt))}, from L* ${L(low)} to ${L(high)}`}>
        <span class="doubt-range" style={{ left: at(low), width: `${(100 * (high - low)) / (to - from)}%` }} />
        <span class="doubt-now" style={{ left: at(lightness) }} />
      </span>
      <span class="constant-source"><em>{constant.tag}</em>, {constant.min}–{constant.max} {constant.unit}</span>
    </li>
  );
}
