import { bitesDone, CUT_UM, inked, stage } from '../../store/viewState.ts';
import { usePlan } from '../../store/plan.ts';
import { cut, summary } from '../../store/results.ts';
import { pane } from '../../store/settings.ts';
import { Term } from '../glossary/Term.tsx';
import { watchHere } from '../watch/later.ts';
import { CutDrawing } from '../../ui/CutDrawing.tsx';

/** The section through the plate across the middle of the linen tester, bite by bite. */
export function CutView() {
  const now = cut.value;
  const count = usePlan((plan) => plan.bites.length);
  const values = summary.value?.values ?? [];
  const names = [...Array.from({ length: count + 1 }, (_, i) => String(i)), 'wiped'];
  const at = Math.min(stage.value, count + 1);
  const key = (event: KeyboardEvent): void => {
    const by = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (by === undefined) return;
    event.preventDefault();
    const next = Math.min(count + 1, Math.max(0, at + by));
    stage.value = next;
    (event.currentTarget as HTMLElement).querySelectorAll('input')[next]?.focus();
  };
  return (
    <section class="cut" aria-labelledby="cut-title" data-shown={pane.value === 'cut'}>
      <header class="tester-head">
        <h2 id="cut-title">The <Term id="cut">section</Term></h2>
        <p class="cut-stage">{inked.value ? 'after the last bite, inked and wiped' : bitesDone.value === 0 ? 'before the first bite' : `after bite ${bitesDone.value} of ${count}`}</p>
      </header>
      {now && now.copper_um.length > 1
        ? <CutDrawing cut={now} width_um={CUT_UM} bites={bitesDone.value} inked={inked.value} deepest_um={Math.max(0, ...values.map((value) => value.bitten_um))} />
        : <div class="cut-empty" />}
      <div class="cut-steps" role="radiogroup" aria-label="How far the work has got" onKeyDown={key}>
        {names.map((name, i) => (
          <label key={name} class="word">
            <input type="radio" name="cut-stage" checked={at === i} aria-label={name === 'wiped' ? 'inked and wiped' : i === 0 ? 'before the first bite' : `after bite ${i}`}
              onChange={() => { stage.value = i > count ? Infinity : i; }} />
            <span aria-hidden="true">{name}</span>
          </label>
        ))}
      </div>
      <button type="button" class="act" onClick={() => void watchHere()}>watch it happen…</button>
    </section>
  );
}
