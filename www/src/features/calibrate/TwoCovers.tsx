import { compareCovers, coversBusy, coversFailed, coversFit, readOnBench, takeFromBench, takeOut, twoCovers } from './twoCovers.ts';
import { aboutWords } from './stepPlate.ts';
import { soundPlan, stale } from '../../store/results.ts';
import { ConstantsTable, NameIt } from './Found.tsx';
import { today } from '../../store/today.ts';

const SLOTS = ['The first cover', 'The other cover'];
const percent = (share: number): string => `${(share * 100).toFixed(0)} %`;

/** From step plates under two grounds of unlike cover to how the open share counts. */
export function TwoCovers() {
  const of = soundPlan.value;
  const kept = twoCovers.value;
  const read = readOnBench() > 0;
  const fit = coversFit.value;
  return (
    <section aria-labelledby="two-covers">
      <h3 id="two-covers">3 · The step plate at two covers</h3>
      <p>
        The less copper a ground leaves open, the faster that copper is bitten; how much faster is estimated. Two step plates tell it: one with this ground, one with half or twice the powder. Bite
        both side by side in one tray for the same minutes, print both alike, and read each under “bath and ink”, the plan set to its own powder. Then take it here.
      </p>
      <ul class="two-covers">
        {SLOTS.map((name, i) => {
          const one = kept[i];
          return (
            <li key={name}>
              <b>{name}</b>{' '}
              {one
                ? <span class="unit">{one.plan.dust.powder_g_per_m2} g/m², {one.readings.filter((reading) => reading !== null).length} of {one.bite_min.length} steps read, taken {one.at}</span>
                : <span class="unit">not yet</span>}
              {' '}
              <button type="button" class="act" disabled={!of || stale.value || !read} aria-label={`${name}: take the step plate that was read`} onClick={() => { if (of) takeFromBench(i, of); }}>
                take the step plate that was read
              </button>
              {one && ' '}
              {one && <button type="button" class="quiet" aria-label={`${name}: remove`} onClick={() => takeOut(i)}>remove</button>}
            </li>
          );
        })}
      </ul>
      {!read && <p class="unit">Under “bath and ink” nothing has been read yet.</p>}
      <p class="acts">
        <button type="button" class="act" disabled={!kept[0] || !kept[1] || coversBusy.value} onClick={() => void compareCovers()}>Find how the open share counts</button>
        {coversBusy.value && <span class="finding" role="status">One moment: both grounds are printed at every depth.</span>}
      </p>
      {coversFailed.value && <p class="problem" role="alert">{coversFailed.value}</p>}
      {fit && (
        <div class="calibrate-found covers-found">
          <div class="verdict" role="status">{fit.verdict.map((words) => <p key={words}>{words}</p>)}</div>
          <ConstantsTable constants={fit.constants} />
          <div class="back-scroll">
            <table class="back-table">
              <caption class="unseen">L* of each step, read and with the constants found</caption>
              <thead><tr><th scope="col">Cover</th>{fit.plates[0]?.steps.map((step) => <th key={step.minutes} scope="col">{step.minutes} min</th>)}</tr></thead>
              <tbody>
                {fit.plates.map((plate) => (
                  <tr key={plate.cover}>
                    <th scope="row">{percent(plate.cover)}</th>
                    {plate.steps.map((step) => <td key={step.minutes}>{step.read_l?.toFixed(0) ?? '–'} <span class="unit">({step.printed_l.toFixed(0)})</span></td>)}
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
          <p class="unit">L* read, and in brackets as printed with the constants found. Both are taken together: the power without its rate would be of another bath.</p>
          <NameIt fresh={`Two covers of ${today()}`} found={{ about: aboutWords(), values: fit.calibration, limits: fit.limits, good_to_l: fit.good_to_l }} />
        </div>
      )}
    </section>
  );
}
