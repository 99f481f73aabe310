import { signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { takeBites } from '../../store/bites.ts';
import { pool } from '../../engine/scheduler.ts';
import type { Plan, Suits as Answer } from '../../engine/protocol.ts';
import { plan } from '../../store/plan.ts';
import { soundPlan } from '../../store/results.ts';
import { lengthWords } from '../../store/settings.ts';
import { minutesWords } from '../../ui/MinutesEntry.tsx';
import '../areas/areas.css?sheet';

const found = signal<{ about: Plan; answer: Answer } | null>(null);

/** Every count of values with how far the print would be off the picture, and the bites that print them. */
export function Suits() {
  const about = soundPlan.value;
  useEffect(() => {
    if (!about || found.value?.about === about) return undefined;
    let here = true;
    // After the numbers, which the eye waits for.
    const timer = setTimeout(() => {
      pool.askNumbers('suits').then((answer) => { if (here) found.value = { about, answer }; }, () => undefined);
    }, 250);
    return () => { here = false; clearTimeout(timer); };
  }, [about]);
  const answer = found.value?.answer;
  if (!answer) return <p class="why" role="status">One moment</p>;
  const count = plan.value.bites.length;
  const fresh = found.value?.about === about;
  const { smallest_mm } = plan.value.picture;
  return (
    <div class="suits" aria-live="polite">
      <p class="why">
        With these {count} values, best placed, a tone prints <span class="number">{answer.now.error_l.toFixed(1)}</span> L* off the picture on
        average (root mean square; the picture’s white stands for the bare paper). {answer.suits[answer.suggested]?.bites_min.length} values
        are suggested: one more would take off less than <span class="number">0.35</span> L*, or could not be told from its neighbour.
        Their bites stop at <span class="number">{(100 * answer.sure_share).toFixed(0)}</span> % of the minutes to the darkest print, short of the ground’s breaking down.
        {smallest_mm > 0 && fresh && <> {answer.merged} {answer.merged === 1 ? 'speck' : 'specks'} smaller than {lengthWords(smallest_mm, 1)} {answer.merged === 1 ? 'was' : 'were'} merged
          away; <span class="number">{(100 * answer.moved_share).toFixed(1)}</span> % of the plate has another value for it.</>}
      </p>
      <table class="suits-table">
        <thead><tr><th scope="col">values</th><th scope="col">off by, L*</th><th scope="col">minutes</th><td /></tr></thead>
        <tbody>
          {answer.suits.map((suit, i) => (
            <tr key={i} data-suggested={i === answer.suggested}>
              <th scope="row">{suit.bites_min.length}{i === answer.suggested && <span class="unit"> suggested</span>}</th>
              <td class="number">{suit.error_l.toFixed(1)}</td>
              <td class="suits-bites">{suit.bites_min.map(minutesWords).join(' ')}</td>
              <td><button type="button" class="quiet" aria-label={`Take ${suit.bites_min.length} values`} onClick={() => takeBites(suit.bites_min, suit.thresholds_l)}>take</button></td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
