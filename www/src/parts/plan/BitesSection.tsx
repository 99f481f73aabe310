import { panel } from '../../state/notes';
import { addBite, catalogue, removeBite, usePlan } from '../../state/plan';
import { ToneCurve } from '../plots/ToneCurve';
import { MinutesEntry, minutesWords } from './MinutesEntry';
import { Said } from './Said';
import { Section } from './Section';

export function BitesSection() {
  const bites = usePlan((plan) => plan.bites);
  const limits = catalogue.value?.limits;
  let total = 0;
  return (
    <Section title="Bites"
      why="The whites are varnished first. After each [[bite]] the lightest [[value]] still open is [[stop-out|stopped out]], so the darkest gets every minute in the bath."
      caution="bites">
      <ToneCurve />
      <p class="bites-head" aria-hidden="true"><span>minutes</span><span>in all</span></p>
      <ol class="bites" aria-label="Bites, lightest first">
        {bites.map((bite, i) => {
          total += bite.bite_min;
          return (
            <li key={i}>
              <span class="bite-name">Bite {i + 1}</span>
              <MinutesEntry index={i} unit={false} />
              <span class="bite-total"><span class="number">{minutesWords(total)}</span><span class="unseen"> minutes in all</span></span>
              <button type="button" class="quiet" disabled={bites.length <= (limits?.min_values ?? 2)}
                aria-label={`Take out bite ${i + 1}`} onClick={() => removeBite(i)}>take out</button>
              <Said field={`bites.${i}.bite_min`} />
            </li>
          );
        })}
      </ol>
      <Said field="bites" />
      <p class="acts">
        <button type="button" class="act" disabled={bites.length >= (limits?.max_values ?? 12)} onClick={addBite}>Add a darker value</button>
        <button type="button" class="act" onClick={() => { panel.value = 'backwards'; }}>Plan backwards…</button>
      </p>
    </Section>
  );
}
