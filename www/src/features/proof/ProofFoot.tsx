import { usePlan } from '../../store/plan.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { state } from '../../store/viewState.ts';
import { progress, stale } from '../../store/results.ts';
import { chooseGrain, grainEverywhere, memoryShort } from '../../engine/memory.ts';
import { conversion, lengthWords, units } from '../../store/settings.ts';
import { HeldUp } from '../../ui/HeldUp.tsx';
import { AT_SIZE, view, type Fit } from '../../ui/sheetView.ts';

interface Props { fit: (what: Fit) => void; atSize: () => void; grain: () => void; nearer: () => void; farther: () => void }

/** Beneath the proof: how near one is, and how much of the grain is in. */
export function ProofFoot({ fit, atSize, grain, nearer, farther }: Props) {
  const { scale, fit: fills } = view.value;
  const times = scale / AT_SIZE;
  const states = usePlan((plan) => plan.states);
  void units.value;
  return (
    <div class="proof-foot">
      <p class="acts" role="group" aria-label="View of the proof">
        <button type="button" class="quiet" aria-pressed={fills === 'plate'} onClick={() => fit('plate')}>plate</button>
        <button type="button" class="quiet" aria-pressed={fills === 'sheet'} onClick={() => fit('sheet')}>whole sheet</button>
        <button type="button" class="quiet" aria-pressed={!fills && Math.abs(times - 1) < 0.01} onClick={atSize}>at size</button>
        <button type="button" class="quiet" aria-pressed={!fills && Math.abs(scale - 0.08) < 0.001} onClick={grain}>grain</button>
        <button type="button" class="quiet step" aria-label="Farther" onClick={farther}>−</button>
        <button type="button" class="quiet step" aria-label="Nearer" onClick={nearer}>+</button>
        {states && (
          <span role="radiogroup" aria-label="State of the plate">
            <Words name="state-shown" chosen={String(state.value || states.length + 1)} onChoose={(word) => { state.value = Number(word); }}
              options={[1, ...states.map((_, i) => i + 2)].map((n): [string, string] => [String(n), n === 1 ? 'state 1' : String(n)])} />
          </span>
        )}
        <ScaleBar scale={scale} />
      </p>
      <Grain />
    </div>
  );
}

/** A round length that is 40 to 100 pixels long on the screen. */
function ScaleBar({ scale }: { scale: number }) {
  const { unit: sign, to } = conversion('mm', 0);
  const unit = 1000 / to(1);
  const longest = 100 / scale / unit;
  const power = 10 ** Math.floor(Math.log10(longest));
  const length = ([5, 2, 1].find((m) => m * power <= longest) ?? 1) * power;
  const words = `${Number(length.toPrecision(3))} ${sign}`;
  return (
    <span class="scale-bar">
      <span class="scale-bar-rule" style={{ width: `${(length * unit * scale).toFixed(1)}px` }} aria-hidden="true" />
      <span class="number">{words}</span>
    </span>
  );
}

function Grain() {
  const { done, of, seconds_left } = progress.value;
  const { width_mm, height_mm } = usePlan((plan) => plan.plate);
  if (stale.value) return <p class="grain grain-held"><HeldUp so="this is the proof of the last valid plan" /></p>;
  if (of > 0 && done >= of) {
    return <p class="grain">Proof complete<span class="grain-more">, on {lengthWords(width_mm)} × {lengthWords(height_mm)}</span>.</p>;
  }
  if (!grainEverywhere.value) {
    return (
      <p class="grain">
        Grain where you look{memoryShort.value && ', and the rest as fine as the screen shows it: this device is short of memory'} · <button type="button" class="act" onClick={() => chooseGrain(true)}>every grain</button>
      </p>
    );
  }
  const share = of > 0 ? Math.floor((100 * done) / of) : 0;
  return (
    <p class="grain">
      <span class="grain-more">Every grain </span><span class="number">{share}</span> <span class="unit">%</span>
      {seconds_left !== null && <> · <span class="number">{timeWords(seconds_left)}</span> left</>}
    </p>
  );
}

function timeWords(seconds: number): string {
  if (seconds < 90) return `${Math.max(1, Math.round(seconds))} s`;
  return `${Math.round(seconds / 60)} min`;
}
