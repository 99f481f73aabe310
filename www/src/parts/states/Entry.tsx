import { useId } from 'preact/hooks';
import { conversion, decimalsOf } from '../../state/settings';
import { useDraft } from '../plan/draft';

interface Props {
  label: string; unit: string; value: number; min: number; max: number; step: number;
  onSet: (value: number) => void;
}

/** A number beside the plan's own, in metric units or shown in US ones: typed, or stepped with the arrow keys. */
export function Entry({ label, unit: metric, value, min, max, step, onSet }: Props) {
  const id = useId();
  const [typed, setTyped] = useDraft(value);
  const { unit, to, from, decimals } = conversion(metric, decimalsOf(step));
  const said = (number: number): string => (unit === metric ? String(number) : to(number).toFixed(decimals));
  const within = (number: number): number => Number(Math.min(max, Math.max(min, number)).toFixed(2));
  const key = (event: KeyboardEvent): void => {
    if (event.key === 'Enter') setTyped(null);
    const steps = { ArrowUp: 1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[event.key];
    if (steps === undefined) return;
    event.preventDefault();
    setTyped(null);
    onSet(within(value + steps * step));
  };
  const meantBy = (text: string): number => {
    const number = text.trim() === '' ? NaN : from(Number(text.replace(',', '.')));
    // A bound that was rounded for showing is still within.
    const slack = unit === metric ? 0 : Math.abs(from(10 ** -decimals) - from(0)) / 2;
    return number >= min - slack && number <= max + slack ? within(number) : NaN;
  };
  const read = (text: string): void => {
    const number = meantBy(text);
    const meant = Number.isNaN(number) ? value : number;
    setTyped(text, meant);
    if (meant !== value) onSet(meant);
  };
  const off = typed !== null && Number.isNaN(meantBy(typed));
  return (
    <div class="entry">
      <div class="entry-line">
        <label for={id}>{label}</label>
        <input id={id} class="entry-value" inputMode="decimal" autocomplete="off" spellcheck={false} role="spinbutton"
          aria-valuemin={to(min)} aria-valuemax={to(max)} aria-valuenow={to(value)} aria-valuetext={`${said(value)} ${unit}`} aria-invalid={off}
          value={typed ?? said(value)} onInput={(event) => read(event.currentTarget.value)} onKeyDown={key}
          onFocus={(event) => event.currentTarget.select()} onBlur={() => setTyped(null)} />
        <span class="unit">{unit}</span>
      </div>
      {off && <p class="problem">Type a number from {said(min)} to {said(max)}.</p>}
    </div>
  );
}
