import { computed, effect, signal, untracked } from '@preact/signals';
import type { Plan } from '../../engine/protocol.ts';
import { askStudies } from '../../engine/studies.ts';
import type { RemainingBites } from '../../engine/protocol.ts';
import { benchList } from '../../steps/list.ts';
import { clockWords, spokenTime } from '../../steps/benchUnits.ts';
import {
  asRun, corrected, ended, goneBack, goneTo, held, insteadOf, left_s, newRun, phaseOf, ranBites, runningOver, started, upAt, withInstead, withMinute,
  type Run,
} from './clockTime.ts';
import { carry, forget } from './carry.ts';
import { callAt, lookAgain, notice, notices, putNoticeAway } from './clockNotice.ts';
import { hush, setSounds, soundAwake, trySound, wakeSound } from './clockSound.ts';
import { CLOCK_OPEN, note, panel, putAway } from '../../store/notifications.ts';
import { persisted, writeKept } from '../../store/persisted.ts';
import { ticking } from '../../store/place.ts';
import { change, plan, plateId } from '../../store/plan.ts';
import { newId } from '../../store/pictureStore.ts';
import { summary } from '../../store/results.ts';
import { amountsWrong, known, plateNow } from '../../steps/shop.ts';

const KEY = 'platewright.clock';
/** First step of every job. */
const FIRST = 'plate';

/** A job idle for longer probably belongs to another plate, ms. */
const LONG_MS = 12 * 3600 * 1000;

/** Whether the run survives a reload. */
export const keeps = signal(true);
export const run = persisted<Run>(KEY, newRun('', 0, FIRST), (kept) => asRun(kept) ?? newRun('', 0, FIRST), { onWrite: (kept) => { keeps.value = kept; } });
export const now = signal(Date.now());
/** The steps of the job, the same list that the sheet prints. */
const planned = computed(() => benchList(known.value));
/** The plan's bites under the first ground. */
export const bites = computed(() => planned.value.filter(({ bite }) => bite !== undefined));
const instead = computed(() => insteadOf(run.value));
/** The same steps with what the bites that remain are to make up for. */
export const list = computed(() => (Object.keys(instead.value).length > 0 ? benchList({ ...known.value, instead: instead.value }) : planned.value));
/** Whether the user wants sound, and whether the browser allows it. */
export const sound = persisted('platewright.clock-sound', true, (kept) => kept !== 'off', { form: (on) => (on ? 'on' : 'off') });
export const heard = signal(false);
/** Why the screen may go dark, or null. */
export const sleepy = signal<string | null>(null);
/** Announced to screen readers. */
export const spoken = signal('');
/** What bites that ran print, and what the rest should be; null until calculated. The last of `ran_min` may still be in the bath. */
export const toGo = signal<{ ran_min: number[]; running: boolean; found: RemainingBites } | null>(null);

export const step = computed(() => {
  const found = list.value.find(({ id }) => id === run.value.step) ?? list.value[0];
  if (!found) throw new Error('The list of steps is empty.');
  return found;
});
export const place = computed(() => list.value.indexOf(step.value));
export const phase = computed(() => phaseOf(run.value.marks[step.value.id]));
export const left = computed(() => left_s(run.value, step.value, now.value));
/** The step has been started and not yet finished. */
export const busy = computed(() => phase.value === 'running' || phase.value === 'held');
/** Minutes that each finished bite ran. */
export const ran = computed(() => ranBites(run.value, planned.value));
/** How long the bite in the bath that has run over has run, s, or null. */
const over_s = computed(() => runningOver(run.value, step.value, now.value)?.ran_s ?? null);
/** Last activity of this run, if longer ago than `LONG_MS`. */
export const longAgo = computed(() => {
  const latest = Math.max(0, ...Object.values(run.value.marks).map(({ start, end }) => end ?? start));
  return latest > 0 && now.value - latest > LONG_MS ? new Date(latest) : null;
});
/** The run was started with the plan of another plate. */
export const otherPlate = computed(() => run.value.plate !== '' && run.value.plate !== plateId.value && Object.keys(run.value.marks).length > 0);
/** The plan no longer has as many bites as the one the run was started with. */
export const otherPlan = computed(() => run.value.bites !== 0 && run.value.bites !== plan.value.bites.length);

function keep(next: Run): void {
  run.value = next;
  now.value = Date.now();
  carry(next, planned.value, list.value);
}

/** The run at a step that exists in the plan; it takes the plan's title while nothing has been started. */
function present(): Run {
  const begun = Object.keys(run.value.marks).length > 0;
  const there = { ...run.value, step: step.value.id };
  const named = begun ? there : { ...there, title: plan.value.title, bites: plan.value.bites.length };
  return named.job ? named : { ...named, plate: plateId.value, job: newId() };
}

function after(next: Run): void {
  keep(next);
  lastLeft = null;
  arrange();
}

/** After every press: unlocks audio, which needs a user gesture, and reschedules sounds and the wake lock. */
function arrange(): void {
  const running = phase.value === 'running';
  hush();
  if (sound.value) {
    wakeSound();
    if (running && left.value !== null) setSounds(left.value);
  }
  heard.value = soundAwake();
  void stayAwake(running);
}

export function start(): void {
  after(started(present(), Date.now()));
  const set = left.value;
  spoken.value = set === null ? `${step.value.name}.` : `${step.value.name}: ${spokenTime(set)} to go.`;
}

export function hold(): void {
  after(held(present(), Date.now()));
  const over = left.value;
  spoken.value = over === null ? 'Held.' : `Held, ${spokenTime(Math.abs(over))} ${over < 0 ? 'over' : 'left'}.`;
}

export function goTo(id: string): void {
  const to = list.value.find((one) => one.id === id);
  if (!to || to.id === step.value.id) return;
  after(goneTo(present(), to, Date.now()));
  spoken.value = `Step ${place.value + 1} of ${list.value.length}: ${to.name}.`;
}

export function next(): void {
  const to = list.value[place.value + 1];
  if (to) goTo(to.id);
  else finish();
}

function finish(): void {
  after(ended(present(), Date.now()));
  spoken.value = 'The last step is done.';
}

export function back(): void {
  after(goneBack(present(), list.value, Date.now()));
  spoken.value = `Back to step ${place.value + 1}: ${step.value.name}.`;
}

export function addMinute(): void {
  after(withMinute(present(), step.value.id));
  spoken.value = `A minute more: ${spokenTime(Math.max(0, left.value ?? 0))} left.`;
}

/** Goes on with a bite that was ended too early. */
export function backIn(id: string): void {
  goTo(id);
  start();
}

/** Whether the bites that remain keep the plan's minutes. */
export function keepPlanned(keeps: boolean): void {
  keep({ ...run.value, keeps });
}

export function correct(id: string, seconds: number): void {
  keep(corrected(run.value, id, seconds));
}

/** Resets the run to the first step. */
export function beginAnew(): void {
  forget(run.value);
  after(newRun(plan.value.title, plan.value.bites.length, list.value[0]?.id ?? FIRST));
  spoken.value = 'The clock begins anew.';
}

export function setSound(on: boolean): void {
  sound.value = on;
  arrange();
  if (on) trySound();
}

/* Remaining bites. */

/** The plan with finished bites as they ran, to the nearest quarter minute, and the rest as suggested or as planned. */
export function asBitten({ plan_min, kept_plan_min }: RemainingBites, suggested: boolean): Plan {
  const minutes = suggested ? plan_min : kept_plan_min;
  return { ...plan.value, bites: plan.value.bites.map((bite, i) => ({ ...bite, bite_min: minutes[i] ?? bite.bite_min })) };
}

/** Applies them to the plan as one undoable change. */
export function takeIntoPlan(found: RemainingBites): void {
  change('bites as they ran', asBitten(found, true));
}

/** Tracks the planned lightness of the values until the first bite starts, then freezes it as the target. */
function aim(): void {
  const values = summary.value?.values.slice(1) ?? [];
  const begun = untracked(() => list.value.some(({ id, bite }) => bite !== undefined && run.value.marks[id] !== undefined) && run.value.target_l.length > 0);
  const { target_l } = untracked(() => run.value);
  const meant = values.map(({ lightness }) => lightness);
  if (!begun && values.length > 0 && JSON.stringify(meant) !== JSON.stringify(target_l)) untracked(() => keep({ ...run.value, target_l: meant }));
}

let newest = 0;
let asked = '';
function askToGo(): void {
  const [ran_s, { target_l }, of] = [over_s.value, run.value, plateNow.value];
  const running = ran_s !== null;
  const ran_min = running ? ranBites(run.value, planned.value, { id: untracked(() => step.value.id), ran_s }) : ran.value;
  const question = JSON.stringify([ran_min, target_l, of]);
  if (question === asked) return;
  asked = question;
  newest += 1;
  const mine = newest;
  // While a bite runs over, what was last calculated stands until the next is.
  if (!running || untracked(() => toGo.value?.ran_min.length !== ran_min.length)) toGo.value = null;
  if (!of || ran_min.length === 0 || target_l.length !== plan.value.bites.length) return;
  askStudies('bites_to_go', of, Float64Array.from(ran_min), Float64Array.from(target_l)).then(
    (found) => {
      if (mine !== newest) return;
      toGo.value = { ran_min, running, found };
      if (!running) keep(withInstead(run.value, bites.value, ran_min.length, found.bite_min));
    },
    (error: unknown) => { if (mine === newest) { asked = ''; amountsWrong.value = error instanceof Error ? error.message : String(error); } },
  );
}

/* Ticks and announcements. */

let lastLeft: number | null = null;
let timer = 0;
/** A gap of this many seconds between ticks means that the page was suspended. */
const ASLEEP_S = 5;

function tick(): void {
  now.value = Date.now();
  heard.value = soundAwake();
  const left_now = left.value;
  if (phase.value === 'running' && left_now !== null) tell(left_now);
  lastLeft = phase.value === 'running' ? left_now : null;
  clearTimeout(timer);
  // Wakes at the next full second of the display.
  const part = left_now === null ? 0.25 : ((left_now % 1) + 1) % 1;
  timer = window.setTimeout(tick, busy.value ? Math.max(40, part * 1000 + 15) : 1000);
}

/** Vibrates where device and browser allow it; browsers need a user gesture first. */
function shake(pattern: number[]): void {
  if (navigator.userActivation?.hasBeenActive !== false) navigator.vibrate?.(pattern);
}

function tell(left_now: number): void {
  const crossed = (mark_s: number): boolean => lastLeft !== null && lastLeft > mark_s && left_now <= mark_s;
  const slept = lastLeft !== null && lastLeft - left_now > ASLEEP_S;
  if (left_now <= 0 && (slept || lastLeft === null || crossed(0))) {
    spoken.value = left_now > -2 ? `${step.value.name}: time is up.` : `${step.value.name}: time was up ${spokenTime(-left_now)} ago.`;
    const next = list.value[place.value + 1];
    void notice(spoken.value, next ? `Next: ${next.name}.` : 'This was the last step.');
    shake([500, 200, 500, 200, 500]);
  } else if (crossed(10)) spoken.value = '10 seconds.';
  else if (crossed(60)) spoken.value = '1 minute left.';
  else if (left_now < 0 && Math.floor(-left_now / 60) > Math.floor(-(lastLeft ?? 0) / 60)) {
    spoken.value = `Over by ${spokenTime(Math.floor(-left_now / 60) * 60)}.`;
    shake([300, 200, 300]);
  }
}

/* Wake lock. */

let lock: WakeLockSentinel | null = null;

async function stayAwake(running: boolean): Promise<void> {
  if (!running) {
    await lock?.release().catch(() => undefined);
    lock = null;
    sleepy.value = null;
    return;
  }
  if (lock && !lock.released) return;
  try {
    lock = await navigator.wakeLock.request('screen');
    sleepy.value = null;
  } catch {
    sleepy.value = 'The browser does not let the page keep the screen awake: set the device not to sleep. The time stays true all the same.';
  }
}

let wired = false;

/** Starts the ticks; they continue when the view is closed. */
export function wire(): void {
  if (wired) return;
  wired = true;
  effect(aim);
  effect(askToGo);
  tick();
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState !== 'visible') return;
    tick();
    lookAgain();
    void putNoticeAway();
    void stayAwake(phase.value === 'running');
  });
  // Another tab has changed the run.
  addEventListener('storage', (event) => {
    if (event.key !== KEY) return;
    run.reread();
    hush();
  });
  // After a reload audio needs a user gesture again. At its end: the sentence that asks for it goes then, and must move nothing
  // from under the finger.
  addEventListener('click', () => { if (sound.value && phase.value === 'running' && !soundAwake()) arrange(); });
  void stayAwake(phase.value === 'running');
  lookAgain();
  effect(() => {
    const up = notices.value ? upAt(run.value, step.value) : null;
    untracked(() => {
      void putNoticeAway();
      callAt(up !== null && up > Date.now() ? up : null, tick);
    });
  });
  effect(() => {
    const away = busy.value && panel.value !== 'clock' ? step.value.name : null;
    untracked(() => {
      if (away === null) putAway('clock');
      else note({ key: 'clock', words: `The clock goes on: ${away}.`, acts: [{ name: 'show the clock', run: () => { panel.value = 'clock'; } }] });
    });
  });
  // A reload reopens the clock, or says that it goes on.
  effect(() => {
    const open = panel.value === 'clock' || (phase.value === 'running' && step.value.seconds !== null);
    writeKept(CLOCK_OPEN, open ? 'open' : busy.value ? 'goes-on' : undefined);
  });
  effect(() => {
    const seconds = left.value;
    ticking.value = busy.value && seconds !== null ? `${seconds < 0 ? '+' : ''}${clockWords(Math.abs(seconds < 0 ? seconds : Math.ceil(seconds)))} ${step.value.name}` : null;
  });
}

