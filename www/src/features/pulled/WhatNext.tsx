import { useState } from 'preact/hooks';
import type { Retimed, Suggestion } from '../../engine/protocol.ts';
import { panel, tell } from '../../store/notifications.ts';
import { newId } from '../../store/pictureStore.ts';
import { picture } from '../../store/picture.ts';
import { openStep, type StepName } from '../../store/place.ts';
import { change, plan, plateId } from '../../store/plan.ts';
import { worded } from '../../store/settings.ts';
import { handIsKept, keepHand } from '../../store/shelf.ts';
import { minutesWords } from '../../ui/MinutesEntry.tsx';
import type { Pulled } from './asking.ts';

/** Where on the page a way is gone. */
const WHERE: Record<Suggestion['way'], [StepName, string]> = {
  bite: ['states', 'to the states'], burnish: ['states', 'to the states'], thin_ink: ['ink', 'to the ink'], strong_ink: ['ink', 'to the ink'], print_again: ['ink', 'to the ink'],
};

/** What can be done with this plate, and with the next. */
export function WhatNext({ of }: { of: Pulled }) {
  const next = of.next.get(of.cause);
  const go = (step: StepName): void => {
    openStep.value = step;
    panel.value = null;
  };
  const inHand = of.subject.plate === plateId.value;
  return (
    <section aria-labelledby="pulled-next">
      <h3 id="pulled-next">What next</h3>
      {!next && <p class="finding" role="status">One moment: the ways on are tried.</p>}
      {next && (
        <div class="pulled-pair">
          <div>
            <h4>With this plate as it is</h4>
            {next.ways.length === 0 && <p>Nothing need be done to it.</p>}
            <ul class="pulled-next">
              {next.ways.map((one) => (
                <li key={one.way}>
                  <p>{worded(one.said)}</p>
                  {inHand && <p class="acts"><button type="button" class="act" onClick={() => go(WHERE[one.way][0])}>{WHERE[one.way][1]}…</button></p>}
                </li>
              ))}
            </ul>
          </div>
          <div>
            <h4>With the next plate</h4>
            {next.retimed ? <NextPlate of={of} retimed={next.retimed} /> : <p>The plan’s own minutes do as well as any.</p>}
          </div>
        </div>
      )}
    </section>
  );
}

function NextPlate({ of, retimed }: { of: Pulled; retimed: Retimed }) {
  const [busy, setBusy] = useState(false);
  const inHand = of.subject.plate === plateId.value;
  const there = plan.value.bites.length === retimed.bite_min.length && plan.value.bites.every(({ bite_min }, i) => bite_min === retimed.bite_min[i]);
  const take = async (): Promise<void> => {
    setBusy(true);
    try {
      await takeForNext(retimed.bite_min);
    } finally {
      setBusy(false);
    }
  };
  return (
    <>
      <p>{worded(retimed.said)}</p>
      <div class="back-scroll">
        <table class="back-table pulled-retimed">
          <caption class="unseen">Minutes of each bite for the next plate, and what they print</caption>
          <thead><tr><th scope="col">Bite</th><th scope="col">planned</th><th scope="col">next</th><th scope="col">wished <span class="unit">L*</span></th><th scope="col">prints <span class="unit">L*</span></th></tr></thead>
          <tbody>
            {retimed.values.map((one, i) => (
              <tr key={one.value}>
                <th scope="row">{one.value}</th><td>{minutesWords(of.subject.plan.bites[i]?.bite_min ?? 0)}</td><td class="back-minutes">{minutesWords(retimed.bite_min[i] ?? 0)}</td>
                <td>{one.wished_l.toFixed(1)}</td><td>{one.after_l.toFixed(1)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p class="acts">
        {there ? <span role="status">These minutes are in the plan in hand.</span>
          : inHand ? <button type="button" class="act" disabled={busy} onClick={() => void take()}>Take these minutes into the next plate’s plan</button>
            : <span class="unit">take this plate’s plan in hand to use them</span>}
      </p>
    </>
  );
}

/** The next piece of copper gets these minutes, in one step; the plate of this proof stands on the shelf with its record. */
async function takeForNext(minutes: number[]): Promise<void> {
  const of = plan.value;
  if (!handIsKept()) await keepHand();
  if (plan.value !== of) return;
  const bites = of.bites.map((bite, i) => ({ ...bite, bite_min: minutes[i] ?? bite.bite_min }));
  change('minutes by the proof', { ...of, bites }, picture.value, newId());
  tell('These minutes are in the next plate’s plan. The plate of this proof stands on the shelf with its record.');
}
