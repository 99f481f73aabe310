import { useEffect, useRef, useState } from 'preact/hooks';
import type { Fault } from '../../engine/protocol.ts';
import { gazeMoved } from '../../engine/scheduler.ts';
import { askStudies } from '../../engine/studies.ts';
import { capital } from '../../store/capital.ts';
import { costKind, costOf, faultKinds, stepOfFault } from '../../store/faults.ts';
import { panel } from '../../store/notifications.ts';
import { titles } from '../../store/place.ts';
import { keptOf, picture } from '../../store/picture.ts';
import { plan } from '../../store/plan.ts';
import { soundPlan, stale } from '../../store/results.ts';
import { worded } from '../../store/settings.ts';
import { stateInHand } from '../../store/versions.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { HeldUp } from '../../ui/HeldUp.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { drawn, sides } from '../compare/compare.ts';
import { SideViews } from '../compare/SideViews.tsx';
import { layBeside, letGoSides, lookAt, lookAtMost, lookOf, mapBeside, weighAnother } from './beside.ts';
import { CostFigures } from './CostFigures.tsx';
import { faultsFull, infoOf, learnFaults, nameOf, shortSize, sizeWords, takeFault, type Kind } from './faults.ts';
import '../compare/compare.css?sheet';
import './faults.css?sheet';

/** Sizes that are weighed. */
const SIZES = [0.25, 0.5, 0.75, 1];
const STEPS = ['dust', 'bake', 'bites', 'ink'] as const;

/** What a fault of a step would cost this plan: its print beside the plan's own, in figures, and how it is mended. */
export function Cost() {
  const step = costOf.value;
  const [kind, setKind] = useState<Kind | null>(() => costKind.peek());
  const [size, setSize] = useState(0.5);
  const [fault, setFault] = useState<Fault | null>(null);
  /** Where the kind that is weighed shows; its size is chosen apart. */
  const placed = useRef<Fault | null>(null);
  const [wrong, setWrong] = useState('');
  // The plan as it was when this was opened: it is not touched here.
  const [of] = useState(() => (stale.value && soundPlan.value ? soundPlan.value : plan.value));
  useEffect(() => {
    learnFaults().catch((error: Error) => setWrong(error.message));
    return () => { costKind.value = null; letGoSides(); gazeMoved(); };
  }, []);
  const kinds = faultKinds.value.filter((info) => info.step === step);
  const chosen = kind && stepOfFault(kind) === step ? kind : kinds[0]?.kind ?? null;
  useEffect(() => {
    if (!chosen) return undefined;
    let here = true;
    setWrong('');
    weighAnother();
    const weigh = async (): Promise<void> => {
      const pair = { plan: of, picture: keptOf(picture.value), state: stateInHand(of), named: ['this plan', `with ${nameOf(chosen)}`] as [string, string] };
      const another = placed.current?.kind !== chosen;
      const next = { ...(placed.current && !another ? placed.current : await askStudies('fault_here', of, chosen, ...await mapBeside(pair))), size };
      if (!here) return;
      placed.current = next;
      setFault(next);
      const laid = layBeside({ ...pair, fault: next });
      if (another) lookAt(of, await askStudies('fault_middle', next), lookOf(next));
      await laid;
      // What is sparse is hardly ever in the middle of its place.
      if (here && another) lookAtMost(of);
    };
    weigh().catch((error: Error) => { if (here) setWrong(error.message); });
    return () => { here = false; };
  }, [chosen, size, of]);
  void drawn.value;
  const info = chosen && infoOf(chosen);
  /** What is weighed, or was, is what is chosen. */
  const ready = fault?.kind === chosen && fault?.size === size;
  const take = (): void => {
    if (fault) takeFault(fault);
    panel.value = null;
  };
  return (
    <Panel name="cost" class="compare cost">
      {stale.value && <p class="problem"><HeldUp so="this is weighed on the last valid plan" /></p>}
      <div class="cost-choose">
        <div role="radiogroup" aria-label="Step of the work">
          <Words name="cost-step" options={STEPS.map((one) => [one, titles[one]] as const)} chosen={step} onChoose={(word) => { costOf.value = word as typeof step; }} />
        </div>
        <label class="cost-kind">What goes wrong{' '}
          <select value={chosen ?? ''} onChange={(event) => setKind(event.currentTarget.value as Kind)}>
            {kinds.map((one) => <option key={one.kind} value={one.kind}>{one.name}</option>)}
          </select>
        </label>
        <div role="radiogroup" aria-label="How bad it is">
          <Words name="cost-size" options={SIZES.map((one) => [String(one), shortSize(one)] as const)} chosen={String(size)} onChoose={(word) => setSize(Number(word))} />
        </div>
      </div>
      {wrong && <p class="problem" role="alert">{wrong}</p>}
      <div class="compare-sides cost-sides" data-sides={2} style={{ '--sides': 2 }}>
        {sides.value.map((side, i) => (
          <section key={side.key} class="compare-side" aria-label={side.name}>
            <p class="compare-name"><strong>{i === 0 ? 'As planned' : 'With the fault'}</strong></p>
            <SideViews side={side} letter={i === 0 ? 'the plan' : 'the fault'} />
          </section>
        ))}
      </div>
      <div class="cost-words">
        <CostFigures ready={ready} />
        {info && (
          <div>
            <p>{info.happens}</p>
            <p><b>To avoid it:</b> {info.avoid}</p>
            <p><b>To mend it:</b> {info.mend} {info.mended_in}</p>
            <p class="why">{sizeWords(size) && `${capital(sizeWords(size))}. `}{worded(info.full_size)}</p>
          </div>
        )}
      </div>
      <p class="acts">
        <button type="button" class="act" disabled={!ready || stale.value || faultsFull(plan.value)} onClick={take}>Take it into the plan</button>
        <button type="button" class="quiet" onClick={() => { panel.value = 'sheet'; }}>bench sheet…</button>
        <button type="button" class="quiet" onClick={() => { panel.value = 'faults'; }}>book of faults…</button>
      </p>
    </Panel>
  );
}
