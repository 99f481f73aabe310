import { useId } from 'preact/hooks';
import { readNumber, shortened } from './numbers.ts';
import { conversion, decimalsOf } from '../store/settings.ts';
import { useDraft } from './draft.ts';

interface Props {
  label: string;
  /** What it is a number of, where the label alone does not say. */
  of?: string;
  /** The label is told, not shown. */
  unseen?: boolean;
  unit: string; value: number; min: number; max: number; step: number;
  onSet: (value: number) => void;
}

/** A number beside the plan's own, in metric units or shown in US ones: typed, or stepped with the arrow keys. */
export function Entry({ label, of, unseen = false, unit: metric, value, min, max, step, onSet }: Props) {
  const id = useId();
  const [typed, setTyped] = useDraft(value);
  const { unit, to, from, decimals } = conversion(metric, decimalsOf(step));
  const said = (number: number): string => (unit === metric ? String(number) : to(number).toFixed(decimals));
  const within = (number: number): number => Number(Math.min(max, Math.max(min, number)).toFixed(2));
  const meantBy = (text: string): number => {
    const number = text.trim() === '' ? NaN : from(readNumber(text));
    // A bound that was rounded for showing is still within.
    const slack = unit === metric ? 0 : Math.abs(from(10 ** -decimals) - from(0)) / 2;
    return number >= min - slack && number <= max + slack ? within(number) : NaN;
  };
  // What can't be taken stays as it was typed, with the sentence for it.
  const off = typed !== null && typed.trim() !== '' && Number.isNaN(meantBy(typed));
  const key = (event: KeyboardEvent): void => {
    if (event.key === 'Escape' || (event.key === 'Enter' && !off)) setTyped(null);
    const steps = { ArrowUp: 1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[event.key];
    if (steps === undefined) return;
    event.preventDefault();
    setTyped(null);
    onSet(within(value + steps * step));
  };
  const read = (text: string): void => {
    const number = meantBy(text);
    const meant = Number.isNaN(number) ? value : number;
    setTyped(text, meant);
    if (meant !== value) onSet(meant);
  };
  return (
    <div class="entry">
      <div class="entry-line">
        <label for={id} class={unseen ? 'unseen' : undefined}>{label}</label>
        <input id={id} aria-label={of && `${label}, ${of}`} class="entry-value" inputMode="decimal" autocomplete="off" spellcheck={false} role="spinbutton"
          aria-valuemin={to(min)} aria-valuemax={to(max)} aria-valuenow={to(value)} aria-valuetext={`${said(value)} ${unit}`} aria-invalid={off} aria-describedby={`${id}o`}
          value={typed ?? said(value)} onInput={(event) => read(event.currentTarget.value)} onKeyDown={key}
          onFocus={(event) => event.currentTarget.select()} onBlur={() => { if (!off) setTyped(null); }} />
        <span class="unit">{unit}</span>
      </div>
      {off && (
        <>
          <p class="problem" id={`${id}o`} role="alert">“{shortened(typed)}” can’t be used: {said(value)} still holds. Type a number from {said(min)} to {said(max)}.</p>
          <p class="acts ways-out"><button type="button" class="act" onClick={() => setTyped(null)}>put back {said(value)}</button></p>
        </>
      )}
    </div>
  );
}
