import type { Value } from '../../reckon/protocol';
import { ofDay } from '../../state/benchList';
import { timeWords } from '../../state/benchUnits';
import type { Row } from './StepRow';

/** Bites and stop-outs, a row each with room to write what really ran. */
export function BiteTable({ rows, begin_min, values }: { rows: Row[]; begin_min: number; values: Value[] }) {
  const bites = rows.filter(({ step }) => step.bite !== undefined);
  const first = bites[0]?.step;
  const later = bites[1]?.step;
  const stop = rows.find(({ step }) => step.stop !== undefined)?.step;
  const second = rows.find(({ step }) => step.stop === 2)?.step;
  let together_s = 0;
  return (
    <div class="sheet-bites">
      {first && <p>{first.todo[0]}</p>}
      {stop && <p><b>After each bite but the last:</b> {stop.todo[0]?.replace(/value 1/, 'the lightest value still open')}</p>}
      <table>
        <caption class="unseen">Bites, lightest value first</caption>
        <thead>
          <tr>
            <th scope="col">Step</th><th scope="col">Bite</th><th scope="col">in at</th><th scope="col" class="sheet-minutes">min</th>
            <th scope="col">out at</th><th scope="col">in all, min</th><th scope="col">then</th><th scope="col">prints L*</th><th scope="col">ran</th>
          </tr>
        </thead>
        <tbody>
          {bites.map(({ step, number, from_s, to_s }) => {
            together_s += step.seconds ?? 0;
            const bite = step.bite ?? 0;
            const then = rows.find((row) => row.step.stop === bite);
            return (
              <tr key={step.id}>
                <td>{number}</td>
                <th scope="row">{bite}</th>
                <td>{ofDay(begin_min, from_s)}</td>
                <td class="sheet-minutes">{timeWords(step.seconds ?? 0).replace(/\u00a0min$/, '')}</td>
                <td>{ofDay(begin_min, to_s)}</td>
                <td>{timeWords(together_s).replace(/\u00a0min$/, '')}</td>
                <td class="sheet-then">{then ? <><span class="sheet-number">{then.number}</span> rinse, dry, stop out value {bite}</> : 'out: the darkest value is done'}</td>
                <td>{values[bite]?.lightness.toFixed(0) ?? ''}</td>
                <td class="sheet-ran" aria-label="to be written in" />
              </tr>
            );
          })}
        </tbody>
      </table>
      {first && <p><b>Look, bite 1:</b> {first.look} <b>If not:</b> {first.ifNot}{later && <> <b>Later bites:</b> {later.look} <b>If not:</b> {later.ifNot}</>}</p>}
      {second && <p><b>Mind:</b> What is under varnish stays under varnish: no need to stop out again what is covered already; mend only what has chipped. A value waits for its own row, however dark it looks.</p>}
    </div>
  );
}
