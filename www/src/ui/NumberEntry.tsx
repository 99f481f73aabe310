import { useComputed } from '@preact/signals';
import { useId, useState } from 'preact/hooks';
import type { Field } from '../engine/protocol.ts';
import { readNumber, shortened } from './numbers.ts';
import { toStep } from '../store/catalogue.ts';
import { numberAt, setNumber, usePlan } from '../store/plan.ts';
import { entered, errors } from '../store/results.ts';
import { shown, worded } from '../store/settings.ts';
import { Rule } from './Rule.tsx';
import { Said } from './Said.tsx';
import { useDraft } from './draft.ts';

/** One number of the plan: typed, stepped with the arrow keys, or drawn along its rule. */
export function NumberEntry({ field }: { field: Field }) {
  const id = useId();
  const value = usePlan((plan) => numberAt(plan, field.key));
  const [typed, setTyped] = useDraft(value);
  const [open, setOpen] = useState(false);
  const { unit, to, from, decimals } = shown(field);
  const text = typed ?? to(value).toFixed(decimals);
  const unreadable = typed !== null && typed.trim() !== '' && !Number.isFinite(readNumber(typed));
  const wrong = useComputed(() => errors.value.some((problem) => problem.field === field.key)).value;

  const read = (input: string): void => {
    const number = readNumber(input);
    const metric = Number.isFinite(number) ? Number(from(number).toFixed(4)) : value;
    setTyped(input, metric);
    setNumber(field, metric);
  };
  const step = (event: KeyboardEvent): void => {
    if (event.key === 'Escape' || (event.key === 'Enter' && !unreadable)) {
      if (event.key === 'Enter' && value >= field.min && value <= field.max) entered(field.key, value);
      setTyped(null);
      return;
    }
    const steps = { ArrowUp: 1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[event.key];
    if (steps === undefined) return;
    event.preventDefault();
    setTyped(null);
    setNumber(field, toStep(field, value + steps * field.step));
  };

  return (
    <div class="entry" data-field={field.key}>
      <div class="entry-line">
        <button type="button" class="entry-label" aria-expanded={open} aria-controls={`${id}w`} onClick={() => setOpen(!open)}>
          {field.label}
        </button>
        <input class="entry-value" inputMode="decimal" autocomplete="off" spellcheck={false}
          role="spinbutton" aria-label={field.label} aria-describedby={`${id}w ${id}u ${id}p`}
          aria-valuemin={to(field.min)} aria-valuemax={to(field.max)} aria-valuenow={to(value)}
          aria-valuetext={`${to(value).toFixed(decimals)} ${unit}`} aria-invalid={unreadable || wrong}
          value={text} onInput={(event) => read(event.currentTarget.value)} onKeyDown={step}
          onFocus={(event) => { entered(field.key, value); event.currentTarget.select(); }} onBlur={() => { if (!unreadable) setTyped(null); }} />
        <span class="unit">{unit}</span>
      </div>
      <Rule field={field} value={value} onMove={(next) => { setTyped(null); setNumber(field, next); }} />
      <p class="why" id={`${id}w`} hidden={!open}>{worded(field.why)} <Limits field={field} /></p>
      {unreadable && (
        <>
          <p class="problem" id={`${id}u`} role="alert">
            “{shortened(typed)}” is not a number: {to(value).toFixed(decimals)}{unit && `\u00a0${unit}`} still holds. Type a number, such as {to(field.default).toFixed(decimals)}.
          </p>
          <p class="acts ways-out"><button type="button" class="act" onClick={() => setTyped(null)}>put back {to(value).toFixed(decimals)}{unit && `\u00a0${unit}`}</button></p>
        </>
      )}
      <Said field={field.key} id={`${id}p`} />
    </div>
  );
}

function Limits({ field }: { field: Field }) {
  const { unit, to, decimals } = shown(field);
  const at = (metric: number): string => to(metric).toFixed(decimals);
  return <span class="limits">From {at(field.min)} to {at(field.max)}{unit && `\u00a0${unit}`}; the mark stands at {at(field.default)}.</span>;
}
