import { bitesDone, CUT_UM, inked, stage } from '../../state/look';
import { plan } from '../../state/plan';
import { cut, summary } from '../../state/results';
import { pane, units } from '../../state/settings';
import { copperShape, cutWords, inkShape, resinShape, spanOf } from './cutShapes';

const WIDTH = 320;
/** Heights are drawn this many times taller than widths. */
const TALLER = 2;
/** Room above the domes and below the deepest pit, µm. */
const ABOVE_UM = 6;
const BELOW_UM = 9;
/** The drawing always shows at least this much, µm, so that it doesn't jump about. */
const LEAST_UP_UM = 16;
const LEAST_DOWN_UM = 24;

/** The section through the plate across the middle of the linen tester, bite by bite. */
export function CutView() {
  const now = cut.value;
  const count = plan.value.bites.length;
  const names = [...Array.from({ length: count + 1 }, (_, i) => String(i)), 'wiped'];
  const at = Math.min(stage.value, count + 1);
  const key = (event: KeyboardEvent): void => {
    const by = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (by === undefined) return;
    event.preventDefault();
    const next = Math.min(count + 1, Math.max(0, at + by));
    stage.value = next;
    (event.currentTarget as HTMLElement).querySelectorAll('input')[next]?.focus();
  };
  return (
    <section class="cut" aria-labelledby="cut-title" data-shown={pane.value === 'cut'}>
      <header class="tester-head">
        <h2 id="cut-title">The cut</h2>
        <p class="cut-stage">{inked.value ? 'after the last bite, inked and wiped' : bitesDone.value === 0 ? 'before the first bite' : `after bite ${bitesDone.value} of ${count}`}</p>
      </header>
      {now && now.copper_um.length > 1 ? <Drawing /> : <div class="cut-empty" />}
      <div class="cut-steps" role="radiogroup" aria-label="How far the work has got" onKeyDown={key}>
        {names.map((name, i) => (
          <label key={name} class="word">
            <input type="radio" name="cut-stage" checked={at === i} aria-label={name === 'wiped' ? 'inked and wiped' : i === 0 ? 'before the first bite' : `after bite ${i}`}
              onChange={() => { stage.value = i > count ? Infinity : i; }} />
            <span aria-hidden="true">{name}</span>
          </label>
        ))}
      </div>
    </section>
  );
}

function Drawing() {
  const now = cut.value;
  void units.value;
  if (!now) return null;
  const span = spanOf(now);
  const up = Math.max(LEAST_UP_UM, span.highest + ABOVE_UM);
  // The deepest value of the plan sets the foot, so that the drawing keeps its size from bite to bite.
  const deepest = Math.max(-span.deepest, ...(summary.value?.values ?? []).map((value) => value.bitten_um));
  const down = Math.max(LEAST_DOWN_UM, deepest + BELOW_UM);
  const px = WIDTH / CUT_UM;
  const height = (up + down) * px * TALLER;
  const x = (um: number): number => um * px;
  const y = (um: number): number => (up - um) * px * TALLER;
  const words = cutWords(now, bitesDone.value, inked.value);
  return (
    <figure class="cut-figure">
      <svg viewBox={`0 0 ${WIDTH} ${height.toFixed(1)}`} role="img" aria-labelledby="cut-svg-title" aria-describedby="cut-svg-words">
        <title id="cut-svg-title">Section through the plate</title>
        <desc id="cut-svg-words">{words}</desc>
        <defs>
          <pattern id="hatch" width="4" height="4" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <line class="cut-hatch" x1="0" x2="0" y1="0" y2="4" />
          </pattern>
        </defs>
        <path class="cut-ink" d={inkShape(now, x, y)} />
        <path class="cut-resin" d={resinShape(now, x, y)} />
        <path class="cut-copper" d={copperShape(now, x, y, height)} />
        <path class="cut-copper-hatch" fill="url(#hatch)" d={copperShape(now, x, y, height)} />
        <line class="cut-old" x1={0} x2={WIDTH} y1={y(0)} y2={y(0)} />
        <g class="cut-scale" aria-hidden="true">
          <line x1={WIDTH - 8 - x(100)} x2={WIDTH - 8} y1={height - 9} y2={height - 9} />
          <text x={WIDTH - 8 - x(100) - 4} y={height - 5} text-anchor="end">100 µm</text>
          <line x1={8} x2={8} y1={height - 5} y2={height - 5 - 20 * px * TALLER} />
          <text x={12} y={height - 5}>20 µm</text>
        </g>
      </svg>
      <figcaption>
        <span>Heights ×{TALLER}</span>
        <span class="key key-copper">copper</span>
        {span.resin && <span class="key key-resin">resin</span>}
        {span.ink && <span class="key key-ink">ink</span>}
        <span class="key key-old">old surface</span>
      </figcaption>
    </figure>
  );
}
