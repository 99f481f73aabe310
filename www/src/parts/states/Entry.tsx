import { useId } from 'preact/hooks';
import { useDraft } from '../plan/draft';

interface Props { label: string; unit: string; value: number; min: number; max: number; step: number; onSet: (value: number) => void }

/** A number beside the plan's own: typed, or stepped with the arrow keys. */
export function Entry({ label, unit, value, min, max, step, onSet }: Props) {
  const id = useId();
  const [typed, setTyped] = useDraft(value);
  const within = (number: number): number => Number(Math.min(max, Math.max(min, number)).toFixed(2));
  const key = (event: KeyboardEvent): void => {
    if (event.key === 'Enter') setTyped(null);
    const steps = { ArrowUp: 1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[event.key];
    if (steps === undefined) return;
    event.preventDefault();
    setTyped(null);
    onSet(within(value + steps * step));
  };
  const read = (text: string): void => {
    const number = text.trim() === '' ? NaN : Number(text.replace(',', '.'));
    const meant = Number.isFinite(number) && number >= min && number <= max ? number : value;
    setTyped(text, meant);
    if (meant !== value) onSet(meant);
  };
  const off = typed !== null && !(Number(typed.replace(',', '.')) >= min && Number(typed.replace(',', '.')) <= max);
  return (
    <div class="entry">
      <div class="entry-line">
        <label for={id}>{label}</label>
        <input id={id} class="entry-value" inputMode="decimal" autocomplete="off" spellcheck={false} role="spinbutton"
          aria-valuemin={min} aria-valuemax={max} aria-valuenow={value} aria-valuetext={`${value} ${unit}`} aria-invalid={off}
          value={typed ?? String(value)} onInput={(event) => read(event.currentTarget.value)} onKeyDown={key}
          onFocus={(event) => event.currentTarget.select()} onBlur={() => setTyped(null)} />
        <span class="unit">{unit}</span>
      </div>
      {off && <p class="problem">Type a number from {min} to {max}.</p>}
    </div>
  );
}
