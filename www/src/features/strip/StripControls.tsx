import { useId, useState } from 'preact/hooks';
import type { Plan } from '../../engine/protocol.ts';
import { limitsOf, toStep } from '../../store/catalogue.ts';
import { conversion, decimalsOf } from '../../store/settings.ts';
import { patchRange, rangeFor, sideProblem, variable, variables, type StripSettings, type Vary } from './vary.ts';
import { readNumber } from '../../ui/numbers.ts';

interface Props { base: Plan; settings: StripSettings; onChange: (next: StripSettings) => void }

/** What varies, from where to where, and which value is printed. */
export function StripControls({ base, settings, onChange }: Props) {
  const id = useId();
  const { along, down, value, minutes } = settings;
  const single = along.key === 'minutes' || down?.key === 'minutes';
  const bite = limitsOf('bites.bite_min');
  return (
    <div class="strip-controls">
      <Side base={base} name="Along" side={along} none={false} other={down?.key ?? null}
        onChange={(next) => { if (next) onChange({ ...settings, along: next }); }} />
      <Side base={base} name="Down" side={down} none other={along.key}
        onChange={(next) => onChange({ ...settings, down: next })} />
      {!single && (
        <p class="strip-side">
          <label class="strip-word" for={`${id}v`}>Printed</label>
          <select id={`${id}v`} value={value === null ? 'once' : String(value)}
            onChange={(event) => onChange({ ...settings, value: event.currentTarget.value === 'once' ? null : Number(event.currentTarget.value) })}>
            {base.bites.map((_, i) => <option key={i} value={String(i + 1)}>value {i + 1}</option>)}
            <option value="once">one bite of …</option>
          </select>
          {value === null && (
            <NumberBox label="Minutes of the one bite" unit="min" metric={minutes} step={bite.step}
              onChange={(next) => onChange({ ...settings, minutes: toStep(bite, Number.isFinite(next) ? next : minutes) })} />
          )}
        </p>
      )}
    </div>
  );
}

interface SideProps { base: Plan; name: string; side: Vary | null; none: boolean; other: string | null; onChange: (next: Vary | null) => void }

function Side({ base, name, side, none, other, onChange }: SideProps) {
  const id = useId();
  const known = side ? variable(base, side.key) : undefined;
  const field = known?.field;
  const wrong = side && sideProblem(base, side);
  const [least, most] = patchRange();
  return (
    <>
      <p class="strip-side">
        <label class="strip-word" for={`${id}k`}>{name}</label>
        <select id={`${id}k`} value={side?.key ?? ''} onChange={(event) => {
          const key = event.currentTarget.value;
          onChange(key ? rangeFor(base, key, side?.count ?? (none ? 5 : 7)) : null);
        }}>
          {none && <option value="">nothing</option>}
          {variables(base).filter(({ key }) => key !== other).map(({ key, label, field: of }) => (
            <option key={key} value={key}>{label}{of?.unit ? `, ${conversion(of.unit, 0).unit}` : ''}</option>
          ))}
        </select>
        {side && known && field && (
          <span class="strip-range">
            <NumberBox label={`${known.label}, from`} unit="" metric={side.from} step={field.step} of={field.unit} onChange={(from) => onChange({ ...side, from })} />
            <span class="unit">to</span>
            <NumberBox label={`${known.label}, to`} unit={conversion(field.unit, 0).unit} metric={side.to} step={field.step} of={field.unit} onChange={(to) => onChange({ ...side, to })} />
            <span class="unit">in</span>
            <select aria-label={`Patches ${name.toLowerCase()}`} value={String(side.count)} onChange={(event) => onChange(withCount(base, side, Number(event.currentTarget.value)))}>
              {Array.from({ length: most - least + 1 }, (_, i) => i + least).map((count) => <option key={count} value={String(count)}>{count}</option>)}
            </select>
          </span>
        )}
      </p>
      {wrong && <p class="problem" role="alert">{wrong}</p>}
    </>
  );
}

/** As many patches over the same range; a range nobody has touched is laid out anew. */
function withCount(base: Plan, side: Vary, count: number): Vary {
  const laid = rangeFor(base, side.key, side.count);
  return laid.from === side.from && laid.to === side.to ? rangeFor(base, side.key, count) : { ...side, count };
}

interface BoxProps { label: string; unit: string; metric: number; step: number; of?: string; onChange: (metric: number) => void }

/** A number typed in the units in use; it counts when the entry is left, or at Enter. */
function NumberBox({ label, unit, metric, step, of = '', onChange }: BoxProps) {
  const [typed, setTyped] = useState<string | null>(null);
  const { to, from, decimals } = conversion(of, decimalsOf(step));
  const done = (): void => {
    if (typed === null) return;
    setTyped(null);
    onChange(Number(from(readNumber(typed)).toFixed(4)));
  };
  return (
    <span class="strip-number">
      <input class="entry-value" inputMode="decimal" autocomplete="off" aria-label={label}
        value={typed ?? (Number.isFinite(metric) ? to(metric).toFixed(decimals) : '')}
        onInput={(event) => setTyped(event.currentTarget.value)} onBlur={done}
        onKeyDown={(event) => { if (event.key === 'Enter') done(); }} onFocus={(event) => event.currentTarget.select()} />
      {unit && <span class="unit">{unit}</span>}
    </span>
  );
}
