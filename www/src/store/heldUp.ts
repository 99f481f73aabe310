import type { Plan, Diagnostic } from '../engine/protocol.ts';
import { biteIn, mendedAt, withoutConstant } from './mend.ts';
import { panel } from './notifications.ts';
import { catalogue, toQuarter } from './catalogue.ts';
import { openStep, stepOf } from './place.ts';
import { change, numberAt, plan, withEntry } from './plan.ts';
import { atFocus, constantIn, lastGood } from './results.ts';
import { shown } from './settings.ts';

/* What keeps the plan from being calculated: its name, the way there, and the ways out. */

/** What the page calls the entry at a field. */
export function nameOf(field: string): string {
  const known = catalogue.value;
  const named = known?.fields.find(({ key }) => key === field) ?? known?.choices.find(({ key }) => key === field);
  if (named) return named.label;
  const constant = constantIn(field);
  if (constant !== null) return `“${constant}” in the calibration`;
  const [part = '', index] = field.split('.');
  const number = Number(index) + 1;
  if (part === 'bites') return index === undefined ? 'The number of bites' : `Bite ${number}`;
  if (part === 'areas') return index === undefined ? 'The areas by hand' : `Area ${number}`;
  if (part === 'states') return index === undefined ? 'The states' : `State ${number + 1}`;
  const parts: Record<string, string> = {
    picture: 'The picture', lines: 'The etched lines', edition: 'The edition', title: 'The title', notes: 'The notes', calibration_name: 'The calibration’s name',
  };
  return parts[part] ?? 'The plan';
}

/** What the press says, what the step is then called, and the press. */
export interface WayOut { name: string; what: string; run: () => void }

/** What can be done about a problem with one press; each is a step that can be undone. */
export function waysOut({ field }: Diagnostic): WayOut[] {
  const known = catalogue.value;
  if (!known) return [];
  const way = (name: string, what: string, next: () => Plan): WayOut => ({ name, what, run: () => change(what, next()) });
  const constant = constantIn(field);
  if (constant !== null) {
    const one = way(`leave out “${constant}”`, `constant ${constant} left out`, () => withoutConstant(plan.value, constant));
    const all = way('leave out the whole calibration', 'calibration left out', () => withoutConstant(plan.value, null));
    return Object.keys(plan.value.calibration ?? {}).length > 1 ? [one, all] : [one];
  }
  const good = lastGood.value;
  const number = known.fields.find(({ key }) => key === field);
  const back = (): Plan => mendedAt(plan.value, field, good, known);
  if (number) {
    const { to, decimals, unit } = shown(number);
    const words = (metric: number): string => `${to(metric).toFixed(decimals)}${unit && `\u00a0${unit}`}`;
    const last = atFocus.get(field) ?? numberAt(back(), field);
    const what = number.label.toLowerCase();
    const put = (name: string, step: string, value: number): WayOut => way(`${name} ${words(value)}`, `${what} ${step}`, () => withEntry(plan.value, field, value));
    const usual = put('take the usual', 'as usual', number.default);
    return last === number.default ? [usual] : [put('put back', 'put back', last), usual];
  }
  const i = biteIn(field);
  const bite = plan.value.bites[i]?.bite_min;
  if (bite !== undefined) {
    const put = (minutes: number, name: string): WayOut => way(`${name} ${minutes}\u00a0min`, `bite ${i + 1} made ${minutes} min`,
      () => ({ ...plan.value, bites: plan.value.bites.map((one, k) => (k === i ? { ...one, bite_min: minutes } : one)) }));
    const last = good?.bites.length === plan.value.bites.length ? atFocus.get(field) ?? good.bites[i]?.bite_min : undefined;
    const nearest = toQuarter(bite);
    return [...(last === undefined ? [] : [put(last, 'put back')]), ...(nearest === last ? [] : [put(nearest, 'take')])];
  }
  return field && good ? [way(`put ${nameOf(field).replace(/^The /, 'the ')} back as it was`, `${nameOf(field)} put back`, back)] : [];
}

/** Where the sentence at a field stands: elements say with `data-field` which field they show. */
function placeOf(field: string): HTMLElement | null {
  const steps = field.split('.');
  for (let most = steps.length; most > 0; most--) {
    const place = document.querySelector<HTMLElement>(`[data-field="${CSS.escape(steps.slice(0, most).join('.'))}"]`);
    if (place) return place;
  }
  return document.getElementById('plan');
}

/** Goes to the entry at a field, whatever lies over it or is folded round it. */
export function leadTo(field: string): void {
  panel.value = null;
  openStep.value = stepOf(field);
  // A closing panel gives the keyboard back to where it was; the entry gets it after that.
  setTimeout(() => {
    const place = placeOf(field);
    if (!place) return;
    for (let round = place.closest('details'); round; round = round.parentElement?.closest('details') ?? null) round.open = true;
    const entry = place.querySelector<HTMLElement>('[aria-invalid="true"]') ?? place.querySelector<HTMLElement>('input, select, textarea') ?? place.querySelector<HTMLElement>('button') ?? place;
    place.scrollIntoView({ block: 'center' });
    entry.focus({ preventScroll: true });
  });
}
