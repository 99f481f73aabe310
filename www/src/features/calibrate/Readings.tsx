import { before, densest, designed, leaveOut, photo, putBackBefore, setBiteMin, setKind, setReading, withoutCamera } from './stepPlate.ts';
import { onBench } from './kept.ts';
import { TakenIntoAccount } from './Amiss.tsx';
import { numberProblem, readNumber } from '../../ui/numbers.ts';
import { rangeOf } from '../../store/catalogue.ts';
import type { PhotoReading, ReadingKind } from '../../engine/protocol.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { minutesWords } from '../../ui/MinutesEntry.tsx';
import { useTyped } from '../../ui/typed.ts';

const KINDS: [ReadingKind, string][] = [['lightness', 'L*'], ['density', 'density'], ['density_over_paper', 'density over the paper']];

/** What is said of words or a number that can be no reading; a number that fits another kind is taken, since the kind may be chosen later. */
function readingProblem(text: string, kind: ReadingKind): string {
  if (text.trim() === '') return '';
  const number = readNumber(text);
  const [[least], [lightest, most]] = [rangeOf('calibration.density'), rangeOf('calibration.lightness')];
  return number >= least && number <= most ? '' : numberProblem(text, [lightest, kind === 'lightness' ? most : densest()], kind === 'lightness' ? 'L*' : '');
}

/** Says so where readings look as if they were of another kind than the one chosen. */
export function OtherKind() {
  const { kind, readings } = onBench.value;
  return <div role="status">{otherKind(kind, readings).map((words) => <p key={words} class="problem">{words}</p>)}</div>;
}

function otherKind(kind: ReadingKind, readings: (number | null)[]): string[] {
  const given = readings.filter((one) => one !== null);
  if (kind !== 'lightness') return given.some((one) => one > densest()) ? [`No print has a density above ${densest()}. If these are L*, choose it above: the readings stay as they are.`] : [];
  return given.length > 1 && given.every((one) => one <= densest()) ? ['These look like densities. If they are, choose so above: the readings stay as they are.'] : [];
}

/** What ran and what was read, step by step. */
export function Readings() {
  const { bite_min, readings, kind, out, proof, camera } = onBench.value;
  if (bite_min.length === 0) return null;
  let all = 0;
  const patches = photo.value?.patches;
  return (
    <>
      <div role="radiogroup" aria-label="Readings are given as" class="calibrate-line">
        <span class="back-word" aria-hidden="true">Given as</span>
        <Words name="calibrate-kind" options={KINDS} chosen={kind} onChoose={(word) => setKind(KINDS.find(([one]) => one === word)?.[0] ?? 'lightness')} />
      </div>
      <div class="back-scroll">
        <table class="back-table step-table">
          <caption class="unseen">Each step: minutes of its bite as they ran, and what its print reads</caption>
          <thead><tr><th scope="col">{proof ? 'Value' : 'Step'}</th><th scope="col">bite, min</th><th scope="col">in all</th><th scope="col">reads</th>{patches && <th scope="col">scatter, L*</th>}<th scope="col"><span class="unseen">in the fit</span></th></tr></thead>
          <tbody>
            {bite_min.map((own, i) => {
              all += own;
              return <Row key={i} index={i} bite_min={own} all_min={all} reading={readings[i] ?? null} out={out.includes(i)} patch={patches?.[i]} wide={patches ? 6 : 5} />;
            })}
          </tbody>
        </table>
      </div>
      {before.value && <p><button type="button" class="act" onClick={putBackBefore}>Put back the readings from before</button></p>}
      {camera && (
        <p>
          Read off a photograph: what its camera may do to tones is allowed for.{' '}
          <button type="button" class="quiet" onClick={withoutCamera}>these were typed from a densitometer</button>
        </p>
      )}
      <TakenIntoAccount />
      <p class="unit">Leave a {proof ? 'value' : 'step'} empty that was not read. Five are needed at least.</p>
    </>
  );
}

interface RowProps { index: number; bite_min: number; all_min: number; reading: number | null; out: boolean; patch: PhotoReading['patches'][number] | undefined; wide: number }

/** What ran and what was read of one step. */
function Row({ index, bite_min, all_min, reading, out, patch, wide }: RowProps) {
  const proof = onBench.value.proof;
  const minutes = useTyped({
    shown: String(bite_min), wrong: (text) => numberProblem(text, rangeOf('bites.bite_min'), 'min'), take: (text) => setBiteMin(index, readNumber(text)),
  });
  const read = useTyped({
    shown: reading === null ? '' : String(reading),
    wrong: (text) => readingProblem(text, onBench.value.kind),
    take: (text) => setReading(index, text.trim() === '' ? null : readNumber(text)),
  });
  return (
    <>
      <tr data-out={out}>
        <th scope="row">{!proof && <span class="back-swatch" style={{ '--l': (designed.value?.expected_l[index] ?? 50).toFixed(1) }} aria-hidden="true" />}{index + 1}</th>
        <td><input class="entry-value back-entry" aria-label={`Minutes of bite ${index + 1}`} {...minutes.entry} /></td>
        <td><span class="number">{minutesWords(Math.round(all_min * 100) / 100)}</span></td>
        <td><input class="entry-value back-entry" aria-label={`Reading of step ${index + 1}`} {...read.entry} /></td>
        {patch && <td class="unit">{ `± ${patch.spread_l.toFixed(1)}${patch.specks > 0 ? `, ${patch.specks} of ${patch.cells + patch.specks} left out` : ''}`}</td>}
        {/* There from the first, so that no row grows, and nothing moves, when its reading is taken. */}
        <td><button type="button" class="quiet" style={{ visibility: reading === null ? 'hidden' : 'visible' }} aria-label={`${out ? 'put back' : 'leave out'} the reading of step ${index + 1}`} onClick={() => leaveOut(index, !out)}>{out ? 'put back' : 'leave out'}</button></td>
      </tr>
      {[minutes, read].filter((one) => one.said !== '').map((one) => (
        <tr key={one.saidId} class="back-why"><td colSpan={wide} id={one.saidId}><span role="alert">{one.said}</span>{' '}<button type="button" class="act" onClick={one.putBack}>put back</button></td></tr>
      ))}
    </>
  );
}
