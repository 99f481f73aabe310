import { useEffect, useState } from 'preact/hooks';
import { calibrations, inForce, keep } from '../../store/calibrations.ts';
import { panel } from '../../store/notifications.ts';
import { change, plan } from '../../store/plan.ts';
import { readPhotograph } from '../../store/recorded.ts';
import { soundPlan, stale } from '../../store/results.ts';
import { aboutWords, busy, design, designed, designFailed, find, fit, fitFailed, misfit, readProof, setSteps, stepsRange, takeDesign, takeValues } from './stepPlate.ts';
import { onBench } from './kept.ts';
import { Amiss } from './Amiss.tsx';
import { HeldUp } from '../../ui/HeldUp.tsx';
import { Term } from '../glossary/Term.tsx';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { View } from '../../ui/View.tsx';
import { Found } from './Found.tsx';
import { FromPicture } from './FromPicture.tsx';
import { Guide } from './Guide.tsx';
import { OwnGround } from './OwnGround.tsx';
import { OtherKind, Readings } from './Readings.tsx';
import { use } from './use.ts';
import '../backwards/backwards.css?sheet';
import './calibrate.css?sheet';

function stepWords(): (readonly [string, string])[] {
  const [fewest, most] = stepsRange();
  return Array.from({ length: most - fewest + 1 }, (_, i) => [String(i + fewest), String(i + fewest)] as const);
}

const KINDS = [['plate', 'bath and ink, from a step plate'], ['ground', 'your own ground, from two pictures']] as const;

/** From a step plate, or from pictures of a ground, to this shop's own constants. */
export function Calibrate() {
  const [kind, setKind] = useState<'plate' | 'ground'>('plate');
  const ground = kind === 'ground';
  return (
    <View name="calibrate" title={ground ? 'Measure your own ground' : undefined} class="calibrate" acts={!ground && (
      <button type="button" class="act" disabled={!designed.value || onBench.value.proof} onClick={() => print()}>Print the guide</button>
    )}>
      <div class="calibrate-sheet">
        <div role="radiogroup" aria-label="What is measured" class="calibrate-line calibrate-kind">
          <span class="back-word" aria-hidden="true">Measure</span>
          <Words name="calibrate-what" options={KINDS} chosen={kind} onChoose={(word) => setKind(word === 'ground' ? 'ground' : 'plate')} />
        </div>
        {ground ? <OwnGround /> : <FromStepPlate />}
        <Shelf />
      </div>
    </View>
  );
}

const OF = [['steps', 'a step plate'], ['proof', 'a proof of this plan, already pulled']] as const;

/** From one step plate, or from a proof of the plan, to the constants of bath and ink. */
function FromStepPlate() {
  const { readings, proof } = onBench.value;
  const [how, setHow] = useState<'typed' | 'picture'>('typed');
  const of = soundPlan.value;
  useEffect(() => { if (of && proof) takeValues(of); }, [of, proof]);
  const read = readings.filter((reading) => reading !== null).length;
  return (
    <>
      <p class="section-why">
        One <Term id="step-plate">small plate, bitten in steps</Term> with your own ground, bath and ink, tells what no book can: how fast this bath bites, how strong this ink is,
        how black its black, and when the ground breaks down. It is calculated for this plan: {aboutWords()}.
      </p>
      {stale.value && <p class="problem">The plan can’t be used as it stands: <HeldUp /></p>}
      <div role="radiogroup" aria-label="What is read" class="calibrate-line">
        <span class="back-word" aria-hidden="true">Read</span>
        <Words name="calibrate-of" options={OF} chosen={proof ? 'proof' : 'steps'} onChoose={(word) => readProof(word === 'proof')} />
      </div>
      {proof ? <TakeProof /> : <BiteSteps />}
      <section aria-labelledby="calibrate-read">
        <h3 id="calibrate-read">2 · Read its print</h3>
        {!proof && (
          <div role="radiogroup" aria-label="How the print is read" class="calibrate-line">
            <span class="back-word" aria-hidden="true">Read</span>
            <Words name="calibrate-how" options={[['typed', 'with a densitometer, typed in'], ['picture', 'from a scan or photograph']]} chosen={how}
              onChoose={(word) => setHow(word === 'picture' ? 'picture' : 'typed')} />
          </div>
        )}
        {!proof && how === 'picture' && <FromPicture />}
        <Readings />
        <p class="acts">
          {/* An entry that is left takes its figure, and what was found of the old ones goes: not until the finger is up, or the page would shrink under it. */}
          <button type="button" class="act" disabled={read === 0 || busy.value || stale.value} onMouseDown={(event) => event.preventDefault()}
            onClick={(event) => { event.currentTarget.focus(); if (of) void find(of); }}>Find the constants</button>
          {busy.value && <span class="finding" role="status">One moment</span>}
        </p>
        {/* Below what is pressed, so that nothing moves away from under a finger. */}
        <OtherKind />
        {fitFailed.value && <p class="problem" role="alert">{fitFailed.value}</p>}
        {misfit.value && <Amiss misfit={misfit.value} />}
      </section>
      {fit.value && <Found fit={fit.value} />}
    </>
  );
}

/** The step plate that is bitten for this. */
function BiteSteps() {
  const { steps, bite_min } = onBench.value;
  const of = soundPlan.value;
  useEffect(() => { if (of) void design(of, steps); }, [of, steps]);
  const made = designed.value;
  const other = made !== null && made.bite_min.length === bite_min.length && made.bite_min.some((minutes, i) => minutes !== bite_min[i]);
  return (
    <section aria-labelledby="calibrate-plate">
      <h3 id="calibrate-plate">1 · Bite the step plate</h3>
      <div role="radiogroup" aria-label="Steps" class="calibrate-line">
        <span class="back-word" aria-hidden="true">Steps</span>
        <Words name="calibrate-steps" options={stepWords()} chosen={String(steps)} onChoose={(word) => setSteps(Number(word))} />
      </div>
      {designFailed.value && <p class="problem" role="alert">{designFailed.value}</p>}
      {!made && !designFailed.value && <p class="finding" role="status">One moment: the ground is printed at every depth.</p>}
      {made && <Guide plate={made} />}
      {/* Its room stays when it has nothing to say, so that nothing below moves away from under a finger. */}
      {made && <p class="calibrate-anew" data-said={other}><button type="button" class="act" onClick={takeDesign}>Begin anew with these minutes</button> <span class="unit">Below stand those that were bitten.</span></p>}
    </section>
  );
}

/** A proof of the plan in hand instead: each value is a step. */
function TakeProof() {
  return (
    <section aria-labelledby="calibrate-plate">
      <h3 id="calibrate-plate">1 · Take a proof of this plan</h3>
      <p>
        Its values are the steps. The plan must be the plate’s own: dust and bake, bath, ink, wipe and paper as they were. Below, set the minutes that really ran, and read each value where it lies plain and
        wide, before anything was scraped, burnished or bitten again. Five values are needed; a step plate reaches farther into the darks and tells more.
      </p>
      <p class="acts"><button type="button" class="act" onClick={() => { readPhotograph.value = null; panel.value = 'pulled'; }}>Or have a photograph of the proof read…</button></p>
    </section>
  );
}

/** Calibrations kept, and the way back to the built-in constants. */
function Shelf() {
  const now = inForce(plan.value);
  const own = Object.keys(plan.value.calibration ?? {}).length > 0;
  const plain = (): void => {
    const { calibration: _, calibration_name: __, ...rest } = plan.value;
    change('built-in constants', rest);
  };
  const set = (id: string, name: string): void => keep(calibrations.value.map((one) => (one.id === id ? { ...one, name } : one)));
  return (
    <section aria-labelledby="calibrate-kept">
      <h3 id="calibrate-kept">Calibrations kept</h3>
      {calibrations.value.length === 0 && <p class="finding">None yet. They stay in this browser and go out with the shelf’s file.</p>}
      <ul class="calibrate-kept">
        {calibrations.value.map((one) => (
          <li key={one.id} aria-current={one === now}>
            <input class="bath-name" aria-label="Name of the calibration" value={one.name} maxLength={80} onChange={(event) => set(one.id, event.currentTarget.value.trim() || one.name)} />
            <p class="unit">{[one.at, one.about, ...(one.good_to_l === undefined ? [] : [`good to ± ${one.good_to_l.toFixed(1)} L*`])].join(' · ')}</p>
            <p class="acts">
              {one === now ? <span>in force for this plan</span> : <button type="button" class="act" aria-label={`Use ${one.name} in this plan`} onClick={() => use(one)}>use it in this plan</button>}
              <button type="button" class="quiet" aria-label={`${one.name}: remove`} onClick={() => keep(calibrations.value.filter(({ id }) => id !== one.id))}>remove</button>
            </p>
          </li>
        ))}
      </ul>
      {own && (
        <p>
          {now ? '' : plan.value.calibration_name ? `This plan came with “${plan.value.calibration_name}”. ` : 'This plan has constants of its own. '}
          <button type="button" class="act" onClick={plain}>Use the built-in constants</button>
        </p>
      )}
    </section>
  );
}
