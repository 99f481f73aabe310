import { useComputed, type Signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { readNumber, shortened } from './numbers.ts';
import { limitsOf, toQuarter } from '../store/catalogue.ts';
import { setBite, usePlan } from '../store/plan.ts';
import { entered, errors } from '../store/results.ts';
import { useDraft } from './draft.ts';

/** Quarter minutes, written short: 2, 2.5, 2.25. */
export function minutesWords(minutes: number): string {
  return String(Number(minutes.toFixed(2)));
}

interface Props {
  index: number; steps?: boolean; unit?: boolean;
  /** Takes the sentence for words that are no number, to be shown where there is room. */
  unread: Signal<string>;
  /** Ids of what tells that sentence and what else is wrong. */
  saidBy: string;
}

/** Minutes of one bite: typed, or stepped by quarters. */
export function MinutesEntry({ index, steps = true, unit = true, unread, saidBy }: Props) {
  const minutes = usePlan((plan) => plan.bites[index]?.bite_min ?? 0);
  const [typed, setTyped] = useDraft(minutes);
  const field = `bites.${index}.bite_min`;
  const wrong = useComputed(() => errors.value.some((problem) => problem.field === field)).value;
  const { min: least, max: most, step } = limitsOf('bites.bite_min');
  const unreadable = typed !== null && typed.trim() !== '' && !Number.isFinite(readNumber(typed));
  const sentence = unreadable ? `“${shortened(typed)}” is not a number: bite ${index + 1} still takes ${minutesWords(minutes)} min. Type its minutes, such as 2.5.` : '';
  useEffect(() => {
    if (!sentence) return undefined;
    unread.value = sentence;
    return () => { unread.value = ''; };
  }, [sentence, unread]);
  const by = (quarters: number): void => { setTyped(null); setBite(index, toQuarter(minutes + quarters * step)); };
  const key = (event: KeyboardEvent): void => {
    if (event.key === 'Enter' && toQuarter(minutes) === minutes) entered(field, minutes);
    if (event.key === 'Escape' || (event.key === 'Enter' && !unreadable)) setTyped(null);
    const quarters = { ArrowUp: 1, ArrowDown: -1, PageUp: 4, PageDown: -4 }[event.key];
    if (quarters === undefined) return;
    event.preventDefault();
    by(quarters);
  };
  return (
    <span class="minutes">
      {steps && <button type="button" class="quiet step" tabIndex={-1} aria-label={`Bite ${index + 1}, a quarter minute less`} disabled={minutes <= least} onClick={() => by(-1)}>−</button>}
      <input class="minutes-value" inputMode="decimal" autocomplete="off" role="spinbutton" aria-label={`Minutes of bite ${index + 1}`}
        aria-valuemin={least} aria-valuemax={most} aria-valuenow={minutes} aria-valuetext={`${minutesWords(minutes)} minutes`}
        aria-invalid={unreadable || wrong} aria-describedby={saidBy} value={typed ?? minutesWords(minutes)}
        onInput={(event) => {
          const text = event.currentTarget.value;
          const number = readNumber(text);
          const meant = Number.isFinite(number) ? number : minutes;
          setTyped(text, meant);
          setBite(index, meant);
        }}
        onKeyDown={key} onBlur={() => { if (!unreadable) setTyped(null); }} onFocus={(event) => { entered(field, minutes); event.currentTarget.select(); }} />
      {steps && <button type="button" class="quiet step" tabIndex={-1} aria-label={`Bite ${index + 1}, a quarter minute more`} disabled={minutes >= most} onClick={() => by(1)}>+</button>}
      {unit && <span class="unit">min</span>}
    </span>
  );
}
