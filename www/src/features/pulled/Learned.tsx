import { useEffect } from 'preact/hooks';
import { calibrations } from '../../store/calibrations.ts';
import { plan } from '../../store/plan.ts';
import { worded } from '../../store/settings.ts';
import { ConstantsTable } from '../calibrate/Found.tsx';
import { dayWords } from '../record/recordWords.ts';
import { learn, learned, teach, teaching, unlearned, unteach, takeLearned } from './learn.ts';
import { pulled } from './pulled.ts';

/** What proofs have taught the shop, and the press that lets this one teach it. */
export function Learned() {
  const from = teaching.value;
  useEffect(() => { if (from.length > 0) void learn(from); else learned.value = null; }, [from]);
  const of = pulled.value;
  const here = of && from.find(({ id }) => id === of.photo.id);
  if (from.length === 0 && !of?.told) return null;
  const told = of?.told;
  const fresh = here && told && here.said.metric !== told.said.metric;
  return (
    <section aria-labelledby="pulled-learned">
      <h3 id="pulled-learned">What the shop learns</h3>
      {of && told && (
        <p class="acts pulled-teach" role="status">
          {here
            ? (
              <>
                <span>This proof teaches the shop; it stands in the plate’s record.</span>
                {fresh && <button type="button" class="act" onClick={() => teach(of, told)}>Let it teach what it tells now</button>}
                <button type="button" class="quiet" onClick={() => unteach(here.plate, here.id)}>take it out again</button>
              </>
            )
            : <button type="button" class="act" onClick={() => teach(of, told)}>Let this proof teach the shop</button>}
        </p>
      )}
      {told && of.greys.length === 0 && <p class="section-why">No grey is known in this photograph, so that what the camera did to the tones may pass for ink and bath. A grey scale beside the sheet, or one dark place read by an instrument, makes the lesson surer.</p>}
      {from.length > 0 && <Taught />}
    </section>
  );
}

function Taught() {
  const from = teaching.value;
  const all = learned.value;
  const used = all && Object.entries(all.calibration).every(([key, value]) => plan.value.calibration?.[key] === value) && calibrations.value.length > 0;
  return (
    <>
      <ul class="pulled-taught">
        {from.map((one) => (
          <li key={one.id}>
            <p><strong>{one.title}</strong>, {dayWords(one.at)}</p>
            <p class="pulled-taught-said">{worded(one.said)}</p>
            <button type="button" class="quiet" aria-label={`Take the proof of ${one.title}, ${dayWords(one.at)}, out again`} onClick={() => unteach(one.plate, one.id)}>take out</button>
          </li>
        ))}
      </ul>
      {unlearned.value && <p class="problem" role="alert">{unlearned.value}</p>}
      {all && (
        <>
          <p>
            {from.length === 1 ? 'One proof, which counts' : `${from.length} proofs, which count`} as {all.proofs.toFixed(1)}: as much as each is sure that nothing but bath, ink and wipe went otherwise. The constants stay near those built in until more proofs speak.
          </p>
          <ConstantsTable constants={all.constants.map((one) => ({ ...one, in_force: one.built_in }))} />
          <p class="acts">
            {used ? <span role="status">The plan in hand is calculated with these.</span> : <button type="button" class="act" onClick={() => takeLearned(all, from.length)}>Use these constants</button>}
          </p>
        </>
      )}
    </>
  );
}
