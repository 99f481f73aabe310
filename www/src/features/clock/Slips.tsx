import { backIn, bites, keepPlanned, left, list, phase, place, run, step, toGo } from './clock.ts';
import { ran_s } from './clockTime.ts';
import { slipOf } from './slip.ts';
import { timeWords } from '../../steps/benchUnits.ts';
import { limitsOf, toStep } from '../../store/catalogue.ts';
import { tell } from '../../store/notifications.ts';
import { change, plan } from '../../store/plan.ts';
import type { Plan } from '../../engine/protocol.ts';

/** What has run otherwise than planned, and what to do now: it stands on the first screen. */
export function Slips() {
  const asked = toGo.value;
  const slip = asked && slipOf(bites.value, run.value.target_l, asked);
  if (!slip || !news(bites.value[asked.ran_min.length - 1]?.id, slip.until)) return <Late />;
  const { words, back, differs } = slip;
  return (
    <div class="clock-slip" role="status">
      <p>{words.join(' ')}</p>
      {!asked.running && (back !== null || differs) && (
        <p class="acts">
          {back && <button type="button" class="act" onClick={() => backIn(back.id)}>back in for {timeWords(Math.round(back.left_s))}</button>}
          {differs && <span>{run.value.keeps ? 'The plan’s own minutes are loaded.' : 'The clock has these minutes loaded.'}</span>}
          {differs && <button type="button" class="quiet" onClick={() => keepPlanned(!run.value.keeps)}>{run.value.keeps ? 'load these' : 'keep the plan’s'}</button>}
        </p>
      )}
    </div>
  );
}

/** From the bite that slipped until the next one runs. */
function news(from: string | undefined, until: string | null): boolean {
  const at = (id: string | null | undefined): number => list.value.findIndex((one) => one.id === id);
  const here = place.value;
  const end = until === null ? at(from) + 1 : at(until);
  return here >= at(from) && here <= end && !(step.value.id === until && phase.value !== 'ready');
}

/** Over by less needs no word, s. */
const LATE_S = 10;

/** A step of any other kind that runs over its set time, or that did before the present one. */
function Late() {
  const before = list.value[place.value - 1];
  const ran = before && (step.value.seconds === null || phase.value === 'ready') ? ran_s(run.value.marks[before.id]) : null;
  const [now, over] = before?.late !== undefined && ran !== null ? [before, ran - (before.seconds ?? ran)] : [step.value, -(left.value ?? 0)];
  if (now.late === undefined || over < LATE_S) return null;
  const taken = TAKEN[now.id];
  return (
    <div class="clock-slip" role="status">
      <p>{now !== step.value && `${now.name}, ${timeWords(Math.round(ran ?? 0))}. `}{now.late}</p>
      {taken && ran !== null && (
        <p class="acts"><button type="button" class="act" onClick={() => {
          change('what ran', taken(plan.value, ran));
          tell('What ran is in the plan, and everything after it is calculated anew. Undo takes it out again.');
        }}>take {timeWords(Math.round(ran))} into the plan</button></p>
      )}
    </div>
  );
}

/** The plan with what really ran. */
const TAKEN: Record<string, (of: Plan, ran_s: number) => Plan> = {
  wait: (of, ran) => ({ ...of, dust: { ...of.dust, wait_s: toStep(limitsOf('dust.wait_s'), ran) } }),
  dusting: (of, ran) => ({ ...of, dust: { ...of.dust, dusting_min: toStep(limitsOf('dust.dusting_min'), ran / 60) } }),
  bake: (of, ran) => ({ ...of, bake: { ...of.bake, bake_min: toStep(limitsOf('bake.bake_min'), ran / 60) } }),
};
