import type { BenchStep } from '../../steps/types.ts';
import { isPlateId } from '../../store/recorded.ts';

/*
 * The clock's arithmetic. It stores timestamps (ms since 1970) and never counts ticks, so the time stays right
 * after a hidden tab, a reload or a phone's sleep.
 */

/** When one step ran. */
export interface Mark {
  start: number;
  /** Total time on hold, and when the current hold began. */
  held_ms: number; held_at: number | null;
  end: number | null;
  /** Actual time as corrected by the user, s. */
  ran_s: number | null;
}

/** One job at the bench. */
export interface Run {
  /** Title of the plan it was started with. */
  title: string; bites: number;
  /** The plate in whose record it is written, and under what; empty until the first step begins. */
  plate: string; job: string;
  step: string;
  marks: Record<string, Mark>;
  /** Seconds added to a step by hand. */
  extra_s: Record<string, number>;
  /** Planned L* when the first bite started, value 1 first. */
  target_l: number[];
  /** Set time of bites that are to make up for what ran otherwise, s by step; with 0 one falls away. */
  instead: Record<string, number>;
  /** The plan's own minutes are kept all the same. */
  keeps: boolean;
}

export type Phase = 'ready' | 'running' | 'held' | 'done';

export const newRun = (title: string, bites: number, step: string): Run =>
  ({ title, bites, plate: '', job: '', step, marks: {}, extra_s: {}, target_l: [], instead: {}, keeps: false });

export function phaseOf(mark: Mark | undefined): Phase {
  if (!mark) return 'ready';
  if (mark.end !== null) return 'done';
  return mark.held_at === null ? 'running' : 'held';
}

/** Elapsed time without holds, s. */
export function elapsed_s(mark: Mark | undefined, now: number): number {
  if (!mark) return 0;
  return Math.max(0, (mark.end ?? mark.held_at ?? now) - mark.start - mark.held_ms) / 1000;
}

/** Actual time of a finished step, s; null before. */
export function ran_s(mark: Mark | undefined): number | null {
  return mark && mark.end !== null ? mark.ran_s ?? elapsed_s(mark, mark.end) : null;
}

/** Set time plus time added by hand, s; null for a step without a set time. */
export function set_s(run: Run, step: BenchStep): number | null {
  return step.seconds === null ? null : step.seconds + (run.extra_s[step.id] ?? 0);
}

/** Remaining time, s, negative when over; null for a step without a set time. */
export function left_s(run: Run, step: BenchStep, now: number): number | null {
  const set = set_s(run, step);
  return set === null ? null : set - elapsed_s(run.marks[step.id], now);
}

/** When the time is up, or null while it isn't running. */
export function upAt(run: Run, step: BenchStep): number | null {
  const [set, mark] = [set_s(run, step), run.marks[step.id]];
  return set === null || !mark || phaseOf(mark) !== 'running' ? null : mark.start + mark.held_ms + set * 1000;
}

function withMark(run: Run, id: string, mark: Mark): Run {
  return { ...run, marks: { ...run.marks, [id]: mark } };
}

/** Starts the step, resumes it after a hold, or resumes a finished step; the time between doesn't count. */
export function started(run: Run, now: number): Run {
  const mark = run.marks[run.step];
  if (!mark) return withMark(run, run.step, { start: now, held_ms: 0, held_at: null, end: null, ran_s: null });
  const since = mark.end ?? mark.held_at;
  return since === null ? run : withMark(run, run.step, { ...mark, held_ms: mark.held_ms + now - since, held_at: null, end: null, ran_s: null });
}

export function held(run: Run, now: number): Run {
  const mark = run.marks[run.step];
  return mark && phaseOf(mark) === 'running' ? withMark(run, run.step, { ...mark, held_at: now }) : run;
}

/** Ends the current step. */
export function ended(run: Run, now: number): Run {
  const mark = run.marks[run.step];
  if (!mark || mark.end !== null) return run;
  return withMark(run, run.step, { ...mark, end: mark.held_at ?? now, held_at: null });
}

/** Ends the current step and goes to another. A step without a set time starts at once. */
export function goneTo(run: Run, step: BenchStep, now: number): Run {
  const there = { ...ended(run, now), step: step.id };
  return step.seconds === null && !there.marks[step.id] ? started(there, now) : there;
}

/** Undoes the last “next”: the previous step continues as if it had never ended. */
export function goneBack(run: Run, list: BenchStep[], now: number): Run {
  const place = list.findIndex(({ id }) => id === run.step);
  const [step, before] = [list[place], list[place - 1]];
  if (!step || !before) return run;
  const { [step.id]: mark, ...others } = run.marks;
  // A step that had a set time and was begun is kept as it ran; one that only counted up is forgotten.
  const left = mark && step.seconds !== null ? ended(run, now) : { ...run, marks: others };
  const last = left.marks[before.id];
  return { ...(last && last.ran_s === null ? withMark(left, before.id, { ...last, end: null }) : left), step: before.id };
}

export function withMinute(run: Run, id: string): Run {
  return { ...run, extra_s: { ...run.extra_s, [id]: (run.extra_s[id] ?? 0) + 60 } };
}

/** Corrects the actual time of a finished step. */
export function corrected(run: Run, id: string, seconds: number): Run {
  const mark = run.marks[id];
  return mark && mark.end !== null ? withMark(run, id, { ...mark, ran_s: seconds }) : run;
}

/** What bites of the list are to run, s by step. */
export const insteadOf = ({ instead, keeps }: Run): Record<string, number> => (keeps ? {} : instead);

/**
 * Minutes of the plan's finished bites, from the first without a gap; those that fell away between two that ran have 0.
 * `over` is a bite that runs longer than it was set, and for how long by now.
 */
export function ranBites(run: Run, list: BenchStep[], over?: { id: string; ran_s: number } | null): number[] {
  const minutes: number[] = [];
  let last = 0;
  for (const { id, bite } of list) {
    if (bite === undefined) continue;
    const ran = insteadOf(run)[id] === 0 ? 0 : over?.id === id ? over.ran_s : ran_s(run.marks[id]);
    if (ran === null) break;
    minutes.push(ran / 60);
    if (ran > 0) last = minutes.length;
  }
  return minutes.slice(0, last);
}

/** A bite in the bath that has run over, to the last full quarter minute: what it prints need not be asked every second. */
export function runningOver(run: Run, step: BenchStep, now: number): { id: string; ran_s: number } | null {
  const left = left_s(run, step, now);
  const busy = ['running', 'held'].includes(phaseOf(run.marks[step.id]));
  if (step.bite === undefined || !busy || left === null || left > -OVER_S) return null;
  return { id: step.id, ran_s: Math.floor(elapsed_s(run.marks[step.id], now) / OVER_S) * OVER_S };
}

/** A bite over by less is not worth a word, s. */
const OVER_S = 15;

/**
 * The run with the minutes that the plan's bites that remain after `done` should have. What has begun keeps its own, and whoever stands at a step that falls away goes back to the stop-out of the last bite.
 */
export function withInstead(run: Run, bites: BenchStep[], done: number, bite_min: number[]): Run {
  const instead: Record<string, number> = {};
  bites.forEach(({ id, seconds }, i) => {
    const kept = run.instead[id];
    const new_s = bite_min[i - done];
    if (i < done || run.marks[id]) {
      if (kept !== undefined && !(kept === 0 && run.marks[id])) instead[id] = kept;
    } else if (new_s !== undefined && 60 * new_s !== seconds) instead[id] = 60 * new_s;
  });
  const last = bites[done - 1]?.bite?.[1];
  const gone = bites.some(({ id, bite }) => instead[id] === 0 && [id, `stop-${bite?.[1]}`].includes(run.step));
  return { ...run, instead, step: gone && last !== undefined ? `stop-${last}` : run.step };
}

/** Parses 2:20, 2.5 (minutes), 140s or 2 min 20 s into seconds; null if it can't. */
export function readTime(text: string): number | null {
  const trimmed = text.trim().replace(',', '.');
  const found = /^(?:(\d+):)?(\d+):([0-5]\d)$/.exec(trimmed);
  if (found) return Number(found[1] ?? 0) * 3600 + Number(found[2]) * 60 + Number(found[3]);
  const worded = /^(?:(\d+(?:\.\d+)?)\s*(?:m|min))?\s*(?:(\d+)\s*s)?$/.exec(trimmed);
  if (worded && trimmed) return Number(worded[1] ?? 0) * 60 + Number(worded[2] ?? 0);
  return /^\d+(\.\d+)?$/.test(trimmed) ? Number(trimmed) * 60 : null;
}

/** Longest plausible difference between stored timestamps, ms: a year. */
const YEAR_MS = 3.2e10;

/** Validates a stored run; null if it is none. */
export function asRun(kept: unknown): Run | null {
  if (typeof kept !== 'object' || kept === null) return null;
  const { title, bites, plate, job, step, marks, extra_s, target_l, instead, keeps } = kept as Record<string, unknown>;
  if (typeof title !== 'string' || typeof bites !== 'number' || typeof step !== 'string') return null;
  if (!Array.isArray(target_l) || !target_l.every((l) => typeof l === 'number')) return null;
  const [extras, others] = [asSeconds(extra_s), asSeconds(instead)];
  if (!extras || !others) return null;
  const found: Record<string, Mark> = {};
  for (const [id, one] of Object.entries(typeof marks === 'object' && marks !== null ? marks : {})) {
    const mark = asMark(one);
    if (!mark) return null;
    found[id] = mark;
  }
  const name = (of: unknown): string => (isPlateId(of) ? of : '');
  return { title, bites, plate: name(plate), job: name(job), step, marks: found, extra_s: extras, target_l: target_l as number[], instead: others, keeps: keeps === true };
}

/** Seconds by step; none for what was kept before there were any. */
function asSeconds(kept: unknown): Record<string, number> | null {
  const all = Object.entries(typeof kept === 'object' && kept !== null ? kept : {});
  return all.every(([, s]) => typeof s === 'number' && s >= 0 && s < YEAR_MS) ? Object.fromEntries(all) as Record<string, number> : null;
}

function asMark(kept: unknown): Mark | null {
  if (typeof kept !== 'object' || kept === null) return null;
  const { start, held_ms, held_at, end, ran_s: ran } = kept as Record<string, unknown>;
  const moment = (x: unknown): x is number => typeof x === 'number' && Number.isFinite(x) && x >= 0;
  const maybe = (x: unknown): x is number | null => x === null || moment(x);
  if (!moment(start) || !moment(held_ms) || held_ms > YEAR_MS || !maybe(held_at) || !maybe(end) || !maybe(ran)) return null;
  return { start, held_ms, held_at, end, ran_s: ran };
}
