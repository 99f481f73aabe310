import { asBitten, bites as planned, correct, ran, run, takeIntoPlan, toGo } from './clock.ts';
import { clockWords, timeWords } from '../../steps/benchUnits.ts';
import { ran_s, readTime } from './clockTime.ts';
import { compareWith } from '../../store/versions.ts';
import { panel, tell } from '../../store/notifications.ts';
import { plan } from '../../store/plan.ts';
import { keptOf, picture } from '../../store/picture.ts';

/** Bites as they really ran, what they print, and what the rest should be. */
export function Ran() {
  const done = ran.value.length;
  const { target_l, marks } = run.value;
  const found = toGo.value !== null && !toGo.value.running ? toGo.value.found : null;
  if (done === 0) return null;
  const bites = planned.value;
  const remaining = found !== null && found.bite_min.length === bites.length - done ? found : null;
  const taken = remaining !== null && JSON.stringify(remaining.plan_min) === JSON.stringify(plan.value.bites.map(({ bite_min }) => bite_min));
  const differs = remaining?.bite_min.some((minutes, i) => 60 * minutes !== bites[done + i]?.seconds) ?? false;
  return (
    <section class="ran" aria-labelledby="ran">
      <h4 id="ran">As it really ran</h4>
      <table>
        <thead>
          <tr>
            <th scope="col">Bite</th><th scope="col">planned</th><th scope="col">ran</th><th scope="col">L* planned</th><th scope="col">L* as bitten</th>
            {remaining && remaining.bite_min.length > 0 && <th scope="col">better now</th>}
          </tr>
        </thead>
        <tbody>
          {bites.map((step, i) => {
            const ran_now = ran_s(marks[step.id]);
            const printed = found && (i < done ? found.lightness[i] : found.kept_lightness[i]);
            const suggested = remaining?.bite_min[i - done];
            const value = (step.bite?.[1] ?? 1) - 1;
            return (
              <tr key={step.id} data-done={i < done}>
                <th scope="row">{step.name.replace(/^Bites? | in one$/g, '')}</th>
                <td>{timeWords(step.seconds ?? 0)}</td>
                <td>{i < done && ran_now !== null ? <RanEntry id={step.id} name={step.name} seconds={ran_now} /> : '–'}</td>
                <td>{target_l[value]?.toFixed(0) ?? ''}</td>
                <td>{printed === null || printed === undefined ? '…' : printed.toFixed(0)}</td>
                {remaining && remaining.bite_min.length > 0 && (
                  <td class="ran-better" data-differs={suggested !== undefined && 60 * suggested !== step.seconds}>
                    {suggested === 0 && <span class="unit">with the one before</span>}
                    {suggested !== undefined && suggested > 0 && <>{timeWords(suggested * 60)}{remaining.outcome[i - done] !== 'met' && <span class="unit"> {OUTCOME[remaining.outcome[i - done] ?? 'met']}</span>}</>}
                  </td>
                )}
              </tr>
            );
          })}
        </tbody>
      </table>
      <p class="clock-say">
        {remaining === null ? 'Calculating what that prints …'
          : remaining.sentence ? `${remaining.sentence} The bites that remain print nothing darker; mix a fresh bath and enter it in the plan.`
          : done === bites.length ? 'All bites are done. Rows without a remark print as planned.'
          : differs ? 'With the minutes under “better now” the bites that remain print as they were planned, where nothing else is said; with the plan’s own they print the L* as bitten.'
          : 'The bites that remain can stay as they are.'}
      </p>
      {remaining && (
        <p class="acts">
          {!taken && (
            <button type="button" class="act" onClick={() => {
              takeIntoPlan(remaining);
              tell('The bites are in the plan, to the nearest quarter minute. Undo takes them out again.');
            }}>
              {differs ? 'Take these bites into the plan' : 'Take what ran into the plan'}
            </button>
          )}
          <button type="button" class="quiet" onClick={() => {
            compareWith({ name: 'as bitten, the rest as planned', plan: asBitten(remaining, false), picture: keptOf(picture.value) });
            panel.value = 'compare';
          }}>
            see the proof as bitten
          </button>
        </p>
      )}
    </section>
  );
}

const OUTCOME = { met: '', darker: 'prints darker than planned all the same', lighter: 'prints lighter than planned all the same' };

/** What a bite ran, to be corrected when one came too late to the clock. */
function RanEntry({ id, name, seconds }: { id: string; name: string; seconds: number }) {
  return (
    <input class="ran-entry" inputMode="text" autocomplete="off" aria-label={`${name} ran, minutes and seconds`} value={clockWords(Math.round(seconds))}
      onFocus={(event) => event.currentTarget.select()}
      onKeyDown={(event) => { if (event.key === 'Enter') event.currentTarget.blur(); }}
      onChange={(event) => {
        const read = readTime(event.currentTarget.value);
        if (read === null || read > 24 * 3600) event.currentTarget.value = clockWords(Math.round(seconds));
        else correct(id, read);
      }} />
  );
}
