import { designed, onBench, photo, setBiteMin, setReading } from '../../state/stepPlate';
import type { ReadingKind } from '../../reckon/shopProtocol';
import { Words } from '../plan/ChoiceEntry';
import { useDraft } from '../plan/draft';
import { minutesWords } from '../plan/MinutesEntry';

const KINDS: [ReadingKind, string][] = [['lightness', 'L*'], ['density', 'density'], ['density_over_paper', 'density over the paper']];

/** What ran and what was read, step by step. */
export function Readings() {
  const { bite_min, readings, kind } = onBench.value;
  if (bite_min.length === 0) return null;
  let all = 0;
  const patches = photo.value?.patches;
  return (
    <>
      <div role="radiogroup" aria-label="Readings are given as" class="calibrate-line">
        <span class="back-word" aria-hidden="true">Given as</span>
        <Words name="calibrate-kind" options={KINDS} chosen={kind} onChoose={(word) => {
          onBench.value = { ...onBench.value, kind: KINDS.find(([one]) => one === word)?.[0] ?? 'lightness' };
        }} />
      </div>
      <div class="back-scroll">
        <table class="back-table step-table">
          <caption class="unseen">Each step: minutes of its bite as they ran, and what its print reads</caption>
          <thead><tr><th scope="col">Step</th><th scope="col">bite, min</th><th scope="col">in all</th><th scope="col">reads</th>{patches && <th scope="col">scatter, L*</th>}</tr></thead>
          <tbody>
            {bite_min.map((own, i) => {
              all += own;
              const patch = patches?.[i];
              return (
                <tr key={i}>
                  <th scope="row"><span class="back-swatch" style={{ '--l': (designed.value?.expected_l[i] ?? 50).toFixed(1) }} aria-hidden="true" />{i + 1}</th>
                  <td><Entry label={`Minutes of bite ${i + 1}`} value={own} onChange={(value) => { if (value !== null && value >= 0.25 && value <= 120) setBiteMin(i, value); }} /></td>
                  <td><span class="number">{minutesWords(Math.round(all * 100) / 100)}</span></td>
                  <td><Entry label={`Reading of step ${i + 1}`} value={readings[i] ?? null} onChange={(value) => setReading(i, value)} /></td>
                  {patch && <td class="unit">{ `± ${patch.spread_l.toFixed(1)}${patch.specks > 0 ? `, ${patch.specks} of ${patch.cells + patch.specks} left out` : ''}`}</td>}
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
      <p class="unit">Leave a step empty that was not read. Five are needed at least.</p>
    </>
  );
}

function Entry({ label, value, onChange }: { label: string; value: number | null; onChange: (value: number | null) => void }) {
  const [typed, setTyped] = useDraft(value ?? -1);
  const shown = value === null ? '' : String(value);
  return (
    <input class="entry-value back-entry" inputMode="decimal" autocomplete="off" aria-label={label} value={typed ?? shown}
      onInput={(event) => setTyped(event.currentTarget.value)} onFocus={(event) => event.currentTarget.select()}
      onChange={(event) => {
        const words = event.currentTarget.value.trim().replace(',', '.');
        setTyped(null);
        const number = words === '' ? null : Number(words);
        event.currentTarget.value = shown;
        if (number === null || Number.isFinite(number)) onChange(number);
      }} />
  );
}
