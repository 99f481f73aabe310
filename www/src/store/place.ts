import { batch, computed, effect, signal } from '@preact/signals';
import { catalogue } from './catalogue.ts';
import { costOf, exercise, stepOfFault, type FaultStep } from './faults.ts';
import { GIVEN, given, handout, lesson, ownLesson, presenting, term } from './lessons.ts';
import { panel, type PanelName } from './notifications.ts';
import { plan } from './plan.ts';
import { isPlateId, readPhotograph, recordPlate } from './recorded.ts';
import { state } from './viewState.ts';

/* Where one is: which step of the work stands open, which panel lies over the page, which lesson. Each has an address. */

/** The steps of the work, in the order of the bench. */
export const STEPS = ['picture', 'dust', 'bake', 'bath', 'bites', 'ink', 'states'] as const;
export type StepName = typeof STEPS[number];

/** The step that stands open; null when all are folded, as the page opens. */
export const openStep = signal<StepName | null>(null);
/** What the running clock says, for the tab; null while none runs. */
export const ticking = signal<string | null>(null);

const PANEL_TITLES: Record<PanelName, string> = {
  share: 'Share this plan', shelf: 'Shelf', compare: 'Side by side', strip: 'Test strip', backwards: 'Plan backwards', baths: 'Bath book', calibrate: 'Calibrate from a step plate',
  sheet: 'Bench sheet', guides: 'Stop-out guides', clock: 'Clock', lessons: 'Lessons', glossary: 'Glossary', watch: 'Watch it happen', numbers: 'How sure the numbers are',
  record: 'Plate record', pulled: 'Read a real proof', teach: 'Your own lessons', risks: 'Form for a risk assessment',
  faults: 'Book of faults', cost: 'What would it cost?', 'what-went-wrong': 'What went wrong here?',
};
const STEP_TITLES: Record<StepName, string> = {
  picture: 'Picture and plate', dust: 'Dust', bake: 'Bake', bath: 'Bath', bites: 'Bites', ink: 'Ink and paper', states: 'States',
};
/** What a step or a panel is called, at its head and in the tab. */
export const titles = { ...STEP_TITLES, ...PANEL_TITLES };

interface Place { step: StepName | null; panel: PanelName | null; lesson: string | null; presenting: boolean; ownLesson: string | null; term: string | null; state: number; plate: string | null; photograph: string | null; cost: FaultStep; exercise: string | null }

/** The part of the address after #, without it; nothing for the page as it opens. */
const fragment = computed((): string => {
  if (panel.value === 'lessons' && lesson.value !== null) {
    // A lesson that came with a link is found by that link.
    const at = lesson.value === GIVEN && given.value ? given.value.link : `lesson-${lesson.value}`;
    return at + (presenting.value ? '/present' : handout.value ? '/handout' : '');
  }
  if (panel.value === 'teach' && ownLesson.value !== null) return `teach-${ownLesson.value}`;
  if (panel.value === 'glossary' && term.value !== null) return `glossary-${term.value}`;
  if (panel.value === 'record' && recordPlate.value !== null) return `record-${recordPlate.value}`;
  if (panel.value === 'pulled' && readPhotograph.value !== null) return `pulled-${readPhotograph.value}`;
  if (panel.value === 'cost') return `cost-${costOf.value}`;
  if (panel.value === 'what-went-wrong' && exercise.value !== null) return `what-went-wrong-${exercise.value}`;
  if (panel.value !== null) return panel.value;
  if (openStep.value === 'states' && state.value > 0) return `states-${state.value}`;
  return openStep.value ?? '';
});

const isStep = (text: string): text is StepName => (STEPS as readonly string[]).includes(text);

/** The place that a fragment names, or null where it names none: it may be a link to a plan. */
export function placeNamed(text: string): Place | null {
  const none: Place = { step: openStep.peek(), panel: null, lesson: null, presenting: false, ownLesson: null, term: null, state: state.peek(), plate: null, photograph: null, cost: 'dust', exercise: null };
  if (text === '') return { ...none, step: null };
  // The two that lead the keyboard past what lies between.
  if (text === 'plan' || text === 'menu-plan') return none;
  if (isStep(text)) return { ...none, step: text, state: 0 };
  if (Object.hasOwn(PANEL_TITLES, text)) return { ...none, panel: text as PanelName };
  const states = /^states-(\d{1,2})$/.exec(text);
  if (states) return { ...none, step: 'states', state: Number(states[1]) };
  const found = /^lesson-([a-z-]+?)(\/present)?$/.exec(text);
  if (found) return { ...none, panel: 'lessons', lesson: found[1] ?? null, presenting: found[2] !== undefined };
  const plate = text.startsWith('record-') ? text.slice(7) : null;
  if (isPlateId(plate)) return { ...none, panel: 'record', plate };
  const photograph = text.startsWith('pulled-') ? text.slice(7) : null;
  if (isPlateId(photograph)) return { ...none, panel: 'pulled', photograph };
  const own = /^teach-([a-z0-9]+)$/.exec(text);
  if (own) return { ...none, panel: 'teach', ownLesson: own[1] ?? null };
  const cost = /^cost-(dust|bake|bites|ink)$/.exec(text);
  if (cost) return { ...none, panel: 'cost', cost: cost[1] as FaultStep };
  const code = /^what-went-wrong-([a-z0-9]+-[a-z0-9]+)$/.exec(text);
  if (code) return { ...none, panel: 'what-went-wrong', exercise: code[1] ?? null };
  const entry = /^glossary-([a-z-]+)$/.exec(text);
  return entry ? { ...none, panel: 'glossary', term: entry[1] ?? null } : null;
}

/** What the address says. */
let here = '';

const addressOf = (text: string): string => (text === '' ? location.pathname + location.search : `#${text}`);

/** Goes where the address says; false where it names no place of the page. */
export function goToAddress(): boolean {
  const text = location.hash.slice(1);
  const place = placeNamed(text);
  if (!place) return false;
  batch(() => {
    openStep.value = place.step;
    presenting.value = place.presenting;
    handout.value = false;
    ownLesson.value = place.ownLesson;
    lesson.value = place.lesson;
    term.value = place.term;
    recordPlate.value = place.plate;
    readPhotograph.value = place.photograph;
    costOf.value = place.cost;
    exercise.value = place.exercise;
    state.value = place.state > (plan.peek().states?.length ?? 0) + 1 ? 0 : place.state;
    panel.value = place.panel;
    // Nothing is to be written back, also where the address said less than the place it led to.
    here = fragment.peek();
  });
  return true;
}

/** From now on the address follows: every step, panel, lesson and state is a place that Back returns to. */
export function keepAddress(): void {
  effect(() => {
    const next = fragment.value;
    if (next === here) return;
    here = next;
    history.pushState(null, '', addressOf(next));
  });
}

/** The tab says where one is, and how long the bite still runs. */
export function keepTitle(): void {
  effect(() => {
    if (!catalogue.value) return;
    const where = panel.value ?? openStep.value;
    const at = where && titles[where];
    document.title = [ticking.value, at, plan.value.title, 'Platewright'].filter(Boolean).join(' – ');
  });
}

/** Takes a link out of the address, so that a reload doesn't offer it again; what stays says where one is. */
export function clearAddress(): void {
  here = fragment.peek();
  history.replaceState(null, '', addressOf(here));
}

/** The step in which the entry at a field stands. */
export function stepOf(field: string): StepName {
  const part = field.split('.')[0] ?? '';
  if (isStep(part)) return part;
  if (part === 'faults') return stepOfFault(plan.peek().faults?.[Number(field.split('.')[1])]?.kind) ?? 'bites';
  const known = catalogue.peek();
  const entry = known?.fields.find(({ key }) => key === field) ?? known?.choices.find(({ key }) => key === field);
  if (entry && isStep(entry.part)) return entry.part;
  const parts: Record<string, StepName> = { paper: 'ink', calibration: 'bath', calibration_name: 'bath', edition: 'states' };
  return parts[part] ?? 'picture';
}
