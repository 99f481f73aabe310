import type { BathOrder, Value } from '../../engine/protocol.ts';
import { ofDay } from '../../steps/list.ts';
import { everyStop, underVarnish } from '../../steps/steps.ts';
import { timeWords } from '../../steps/benchUnits.ts';
import { measured, units } from '../../store/settings.ts';
import type { BenchStep } from '../../steps/types.ts';
import { CostAct } from './CostAct.tsx';
import type { Row } from './StepRow.tsx';

const minutes = (seconds: number): string => timeWords(seconds).replace(/\u00a0min$/, '');

/** One row for each bite, with its stop-out and room to note the actual time. */
export function BiteTable({ rows, begin_min, values, bath_c, order, short }: { rows: Row[]; begin_min: number; values: Value[]; bath_c: number[]; order: BathOrder; short: boolean }) {
  const bites = rows.filter(({ step }) => step.bite !== undefined);
  const first = bites[0]?.step;
  const later = bites[1]?.step;
  const stop = rows.find(({ step }) => step.stop !== undefined)?.step;
  const said = [...order.bites.map(({ joined }) => joined), order.dropped].filter(Boolean);
  let together_s = 0;
  // A bath that is not kept warm is another at each bite.
  const cools = bath_c.some((one) => one !== bath_c[0]);
  return (
    <div class="sheet-bites">
      {!short && first && <p>{first.todo[0]}</p>}
      {!short && stop && <p><b>After each bite but the last:</b> {everyStop()} <b>Look:</b> {stop.look} <b>If not:</b> {stop.ifNot}</p>}
      {!short && first?.caution && <p class="sheet-caution"><b>Caution, every bite:</b> {first.caution}</p>}
      {!short && stop?.caution && <p class="sheet-caution"><b>Caution, every rinse and stop-out:</b> {stop.caution}</p>}
      {short && <p class="sheet-marks">Bites: {first?.marks.join(' · ')}{stop && `; rinse and stop-out: ${stop.marks.join(' · ')}`}</p>}
      {said.length > 0 && <p class="sheet-joined"><b>Mind:</b> {said.join(' ')}</p>}
      <table>
        <caption class="unseen">Bites, lightest value first</caption>
        <thead>
          <tr>
            <th scope="col">Step</th><th scope="col">Bite</th><th scope="col">in at</th><th scope="col" class="sheet-minutes">min</th>
            <th scope="col">out at</th><th scope="col">in all, min</th><th scope="col">then</th><th scope="col">prints L*</th><th scope="col" class="sheet-ran">ran</th><th scope="col"><span class="unseen">done</span></th>
          </tr>
        </thead>
        <tbody>
          {bites.map(({ step, number, from_s, to_s }, i) => {
            together_s += step.seconds ?? 0;
            const value = step.bite?.[1] ?? 0;
            const then = rows.find((row) => row.step.stop === value);
            return (
              <tr key={step.id}>
                <td>{number}</td>
                <th scope="row">{step.name.replace(/^Bites? | in one$/g, '')}</th>
                <td>{ofDay(begin_min, from_s, units.value)}{cools && `, ${measured(bath_c[(step.bite?.[0] ?? 1) - 1] ?? 0, '°C', 0)}`}</td>
                <td class="sheet-minutes">{minutes(step.seconds ?? 0)}</td>
                <td>{ofDay(begin_min, to_s, units.value)}</td>
                <td>{minutes(together_s)}</td>
                <td class="sheet-then">{then ? <><span class="sheet-tick" aria-hidden="true" /><span class="sheet-number">{then.number}</span> rinse, dry, stop out value {value}</> : i + 1 === bites.length ? 'out: the darkest value is done' : ''}</td>
                <td>{values[value]?.lightness.toFixed(0) ?? ''}</td>
                <td class="sheet-ran" aria-label="to be written in" />
                <td><span class="sheet-tick" aria-hidden="true" /></td>
              </tr>
            );
          })}
        </tbody>
      </table>
      {first && <CostAct id={first.id} name="the bites" />}
      {!short && <Advice first={first} later={later} many={bites.length > 2} />}
    </div>
  );
}

/** What to look for in the bites. */
function Advice({ first, later, many }: { first: BenchStep | undefined; later: BenchStep | undefined; many: boolean }) {
  return (
    <>
      {first && <p><b>Look, first bite:</b> {first.look} <b>If not:</b> {first.ifNot}{later && <> <b>Later bites:</b> {later.look} <b>If not:</b> {later.ifNot}</>}</p>}
      {many && <p><b>Mind:</b> {underVarnish()}</p>}
    </>
  );
}
