import { catalogue, setBite, toQuarter, usePlan } from '../../state/plan';
import { useDraft } from './draft';

/** Quarter minutes, written short: 2, 2.5, 2.25. */
export function minutesWords(minutes: number): string {
  return String(Number(minutes.toFixed(2)));
}

/** Minutes of one bite: typed, or stepped by quarters. */
export function MinutesEntry({ index, steps = true, unit = true }: { index: number; steps?: boolean; unit?: boolean }) {
  const minutes = usePlan((plan) => plan.bites[index]?.bite_min ?? 0);
  const [typed, setTyped] = useDraft(minutes);
  const [least, most] = catalogue.value?.limits.bite_min ?? [0.25, 120];
  const by = (quarters: number): void => { setTyped(null); setBite(index, toQuarter(minutes + quarters * 0.25)); };
  const key = (event: KeyboardEvent): void => {
    if (event.key === 'Enter') setTyped(null);
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
        value={typed ?? minutesWords(minutes)}
        onInput={(event) => {
          const text = event.currentTarget.value;
          const number = text.trim() === '' ? NaN : Number(text.replace(',', '.'));
          const meant = Number.isFinite(number) ? number : minutes;
          setTyped(text, meant);
          setBite(index, meant);
        }}
        onKeyDown={key} onBlur={() => setTyped(null)} onFocus={(event) => event.currentTarget.select()} />
      {steps && <button type="button" class="quiet step" tabIndex={-1} aria-label={`Bite ${index + 1}, a quarter minute more`} disabled={minutes >= most} onClick={() => by(1)}>+</button>}
      {unit && <span class="unit">min</span>}
    </span>
  );
}
