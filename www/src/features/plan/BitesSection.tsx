import { useSignal } from '@preact/signals';
import { useId } from 'preact/hooks';
import { addBite, removeBite } from '../../store/bites.ts';
import { panel } from '../../store/notifications.ts';
import { limitsOf } from '../../store/catalogue.ts';
import { usePlan } from '../../store/plan.ts';
import { ToneCurve } from './ToneCurve.tsx';
import { MinutesEntry, minutesWords } from '../../ui/MinutesEntry.tsx';
import { Said } from '../../ui/Said.tsx';
import { FaultsFold } from './FaultsFold.tsx';
import { Section } from './Section.tsx';

export function BitesSection() {
  const bites = usePlan((plan) => plan.bites);
  const { min, max } = limitsOf('bites');
  let total = 0;
  return (
    <Section name="bites"
      why="The whites are varnished first. After each [[bite]] the lightest [[value]] still open is [[stop-out|stopped out]], so the darkest gets every minute in the bath."
      caution="bites">
      <ToneCurve />
      <p class="bites-head" aria-hidden="true"><span>minutes</span><span>in all</span></p>
      <ol class="bites" aria-label="Bites, lightest first">
        {bites.map((bite, i) => {
          total += bite.bite_min;
          return <Bite key={i} index={i} total_min={total} last={bites.length <= min} />;
        })}
      </ol>
      <div data-field="bites"><Said field="bites" /></div>
      <p class="acts">
        <button type="button" class="act" disabled={bites.length >= max} onClick={addBite}>Add a darker value</button>
        <button type="button" class="act" onClick={() => { panel.value = 'backwards'; }}>Plan backwards…</button>
      </p>
      <FaultsFold step="bites" />
    </Section>
  );
}

/** One bite of the list; the last few can't be taken out. */
function Bite({ index, total_min, last }: { index: number; total_min: number; last: boolean }) {
  const id = useId();
  const unread = useSignal('');
  const field = `bites.${index}.bite_min`;
  return (
    <li data-field={field}>
      <span class="bite-name">Bite {index + 1}</span>
      <MinutesEntry index={index} unit={false} unread={unread} saidBy={`${id}u ${id}p`} />
      <span class="bite-total"><span class="number">{minutesWords(total_min)}</span><span class="unseen"> minutes in all</span></span>
      <button type="button" class="quiet take-out" disabled={last} aria-label={`Remove bite ${index + 1}`} onClick={() => removeBite(index)}>remove</button>
      {unread.value && <p class="problem" id={`${id}u`} role="alert">{unread.value}</p>}
      <Said field={field} id={`${id}p`} />
    </li>
  );
}
