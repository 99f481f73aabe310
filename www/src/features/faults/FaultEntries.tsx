import type { Fault, Field } from '../../engine/protocol.ts';
import { limitsOf } from '../../store/catalogue.ts';
import { usePlan } from '../../store/plan.ts';
import { stale } from '../../store/results.ts';
import { worded } from '../../store/settings.ts';
import { Entry } from '../../ui/Entry.tsx';
import { Rule } from '../../ui/Rule.tsx';
import { Said } from '../../ui/Said.tsx';
import { infoOf, lookAtFault, mendFault, nameOf, removeFault, setFault } from './faults.ts';

const FIELDS = ['size', 'x_mm', 'y_mm', 'radius_mm', 'from_bite', 'kind'];

interface Props { fault: Fault; index: number; open: boolean }

/** One fault of the plan: how bad it is, where it lies, how far it reaches; what is wrong with it is said also when it is folded. */
export function FaultEntries({ fault, index, open }: Props) {
  const bites = usePlan((of) => of.bites.length);
  const info = infoOf(fault.kind);
  if (!info) return null;
  const { place, has_bite, happens, mend, mended_by } = info;
  const of = nameOf(fault.kind);
  const set = (what: string, next: Partial<Fault>): void => setFault(index, what, next);
  const entry = (what: string, label: string, key: 'x_mm' | 'y_mm' | 'radius_mm') => (
    <div data-field={`faults.${index}.${key}`}>
      <Entry label={label} of={of} unit="mm" value={fault[key]} {...limitsOf(`faults.${key}`)} onSet={(value) => set(what, { [key]: value })} />
    </div>
  );
  return (
    <div class="faults-entries">
      {open && (
        <>
          <p class="why">{happens}</p>
          <div data-field={`faults.${index}.size`}><Size fault={fault} of={of} onSet={(size) => set('size', { size })} /></div>
          {place === 'spot' && entry('place', 'From the left', 'x_mm')}
          {place === 'spot' && entry('place', 'From the top', 'y_mm')}
          {place !== 'plate' && entry('reach', place === 'edges' ? 'Reach inwards' : 'Reach', 'radius_mm')}
          {has_bite && (
            <div class="entry" data-field={`faults.${index}.from_bite`}>
              <label class="faults-bite">It falls before bite{' '}
                <select value={String(fault.from_bite ?? 1)} aria-label={`Before which bite, ${of}`} onChange={(event) => set('bite', { from_bite: Number(event.currentTarget.value) })}>
                  {Array.from({ length: bites }, (_, i) => <option key={i} value={String(i + 1)}>{i + 1}</option>)}
                </select>
              </label>
            </div>
          )}
          <p class="acts faults-acts">
            {place !== 'plate' && <button type="button" class="act" onClick={() => void lookAtFault(fault)}>look at it under the linen tester</button>}
            {place !== 'plate' && <button type="button" class="act" onClick={() => set('shape', { seed: (fault.seed + 1) % 2 ** 32 })}>another shape</button>}
            {(mended_by === 'burnisher' || mended_by === 'ground') && <button type="button" class="act" disabled={stale.value} onClick={() => mendFault(index)}>mend it in a later state</button>}
            <button type="button" class="act" aria-label={`Remove ${of}`} onClick={({ currentTarget }) => { currentTarget.closest('.faults-here')?.querySelector<HTMLElement>('.faults-kinds button')?.focus(); removeFault(index); }}>remove</button>
          </p>
          <p class="why"><b>To mend it:</b> {mend} <b>To avoid it:</b> {info.avoid}</p>
        </>
      )}
      {FIELDS.map((field) => <Said key={field} field={`faults.${index}.${field}`} />)}
    </div>
  );
}

/** How bad it is, from nothing to the worst: typed, stepped or drawn along its rule. */
export function Size({ fault, of, onSet }: { fault: Pick<Fault, 'kind' | 'size'>; of: string; onSet: (size: number) => void }) {
  const limits = limitsOf('faults.size');
  const full_size = infoOf(fault.kind)?.full_size;
  const field: Field = { key: 'faults.size', part: 'plate', label: `How bad, ${of}`, unit: '', ...limits, default: 0.5, why: { metric: '', us: '' } };
  return (
    <>
      <Entry label="How bad" of={of} unit="" value={fault.size} {...limits} onSet={onSet} />
      <Rule field={field} value={fault.size} onMove={onSet} />
      {full_size && <p class="why">{worded(full_size)}</p>}
    </>
  );
}
