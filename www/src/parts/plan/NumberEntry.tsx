import { useId, useState } from 'preact/hooks';
import type { Field } from '../../reckon/protocol';
import { numberAt, setNumber, toStep, usePlan } from '../../state/plan';
import { shown } from '../../state/settings';
import { Rule } from './Rule';
import { Said } from './Said';
import { useDraft } from './draft';

/** One number of the plan: typed, stepped with the arrow keys, or drawn along its rule. */
export function NumberEntry({ field }: { field: Field }) {
  const id = useId();
  const value = usePlan((plan) => numberAt(plan, field.key));
  const [typed, setTyped] = useDraft(value);
  const [open, setOpen] = useState(false);
  const { unit, to, from, decimals } = shown(field);
  const text = typed ?? to(value).toFixed(decimals);
  const unreadable = typed !== null && !Number.isFinite(readNumber(typed));

  const read = (input: string): void => {
    const number = readNumber(input);
    const metric = Number.isFinite(number) ? Number(from(number).toFixed(4)) : value;
    setTyped(input, metric);
    setNumber(field, metric);
  };
  const step = (event: KeyboardEvent): void => {
    if (event.key === 'Enter') { setTyped(null); return; }
    const steps = { ArrowUp: 1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[event.key];
    if (steps === undefined) return;
    event.preventDefault();
    setTyped(null);
    setNumber(field, toStep(field, value + steps * field.step));
  };

  return (
    <div class="entry">
      <div class="entry-line">
        <button type="button" class="entry-label" aria-expanded={open} aria-controls={`${id}w`} onClick={() => setOpen(!open)}>
          {field.label}
        </button>
        <input class="entry-value" inputMode="decimal" autocomplete="off" spellcheck={false}
          role="spinbutton" aria-label={field.label} aria-describedby={`${id}w ${id}p`}
          aria-valuemin={to(field.min)} aria-valuemax={to(field.max)} aria-valuenow={to(value)}
          aria-valuetext={`${to(value).toFixed(decimals)} ${unit}`} aria-invalid={unreadable}
          value={text} onInput={(event) => read(event.currentTarget.value)} onKeyDown={step}
          onFocus={(event) => event.currentTarget.select()} onBlur={() => setTyped(null)} />
        <span class="unit">{unit}</span>
      </div>
      <Rule field={field} value={value} onMove={(next) => { setTyped(null); setNumber(field, next); }} />
      <p class="why" id={`${id}w`} hidden={!open}>{field.why} <Limits field={field} /></p>
      <div id={`${id}p`}>
        {unreadable && <p class="problem">Type a number, such as {to(field.default).toFixed(decimals)}.</p>}
        <Said field={field.key} />
      </div>
    </div>
  );
}

function Limits({ field }: { field: Field }) {
  const { unit, to, decimals } = shown(field);
  const at = (metric: number): string => to(metric).toFixed(decimals);
  return <span class="limits">From {at(field.min)} to {at(field.max)}{unit && `\u00a0${unit}`}; the mark stands at {at(field.default)}.</span>;
}

/** Reads a number written with a point or a comma, or as a fraction such as 7 1/2. */
function readNumber(text: string): number {
  const plain = text.trim().replace(',', '.');
  const fraction = /^(?:(\d+)\s+)?(\d+)\/(\d+)$/.exec(plain);
  if (fraction) return Number(fraction[1] ?? 0) + Number(fraction[2]) / Number(fraction[3]);
  return plain === '' ? NaN : Number(plain);
}
