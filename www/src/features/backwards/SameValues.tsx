import { useEffect, useState } from 'preact/hooks';
import { askStudies } from '../../engine/studies.ts';
import type { SameValues as Found } from '../../engine/protocol.ts';
import { wordsOf } from '../../engine/workerClient.ts';
import { takeMinutes } from './backwards.ts';
import { sharesOf } from '../../store/shares.ts';
import type { Plan } from '../../engine/protocol.ts';
import { plan } from '../../store/plan.ts';
import { soundPlan } from '../../store/results.ts';
import { minutesWords } from '../../ui/MinutesEntry.tsx';

/** The bath has changed since the minutes were set: those that would print the same values. */
export function SameValues({ before }: { before: Plan }) {
  const [now, setNow] = useState<Found | null>(null);
  const [failed, setFailed] = useState('');
  useEffect(() => {
    let here = true;
    if (soundPlan.value) {
      const of = plan.value;
      askStudies('same_values', { plan: of, shares: sharesOf(of) }, { ...of, bath: before.bath, bites: before.bites }, 'by_hand')
        .then((found) => { if (here) { setNow(found); setFailed(''); } }, (error: unknown) => { if (here) setFailed(wordsOf(error)); });
    }
    return () => { here = false; };
  }, [soundPlan.value, before]);
  if (failed || !now) return null;
  if (!now.reached) return <p class="same-values problem">However long, this bath does not bite as deep as before: it is too spent, too cold or too still.</p>;
  const own = plan.value.bites.map((bite) => bite.bite_min);
  if (now.bite_min.every((minutes, i) => minutes === own[i])) return <p class="same-values">The same minutes print the same values in this bath.</p>;
  return (
    <p class="same-values" role="status">
      In this bath the same values take {now.bite_min.map(minutesWords).join(' · ')} minutes, lightest first.{' '}
      <button type="button" class="act" onClick={() => takeMinutes('minutes for this bath', now.bite_min)}>Take these minutes</button>
    </p>
  );
}
