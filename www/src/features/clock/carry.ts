import type { BenchStep } from '../../steps/types.ts';
import { carried, left, LONGEST, type Job, type Timed } from '../../store/plateRecord.ts';
import { writeRecord } from '../../store/records.ts';
import { soundHand } from '../../store/shelf.ts';
import { ran_s, type Run } from './clockTime.ts';

/* What ran goes into the plate's record by itself, step by step as each ends. */

/** The timed steps of a list, with what of them has ended. */
export function timedSteps(steps: readonly BenchStep[], { marks }: Pick<Run, 'marks'>): Timed[] {
  return steps.filter(({ seconds }) => seconds !== null).map(({ id, name, seconds }) => {
    const mark = marks[id];
    const ran = ran_s(mark);
    return { id, name: name.slice(0, LONGEST.name), planned_s: seconds, ran_s: ran === null ? null : Math.round(ran), at: ran === null ? null : mark?.end ?? null };
  });
}

let written = '';

/** Writes down how far a job has come. `planned` are the steps as the plan has them, `list` as they are run now. */
export function carry(run: Run, planned: readonly BenchStep[], list: readonly BenchStep[]): void {
  const asPlanned = timedSteps(planned, run);
  const timed = [...asPlanned, ...timedSteps(list, run).filter(({ id }) => !asPlanned.some((one) => one.id === id))];
  const starts = timed.flatMap(({ id }) => run.marks[id]?.start ?? []);
  if (run.job === '' || run.plate === '' || starts.length === 0) return;
  const now = JSON.stringify([run.job, starts, timed.map((one) => one.ran_s)]);
  if (now === written) return;
  written = now;
  const begun: Job = {
    id: run.job, at: Math.min(...starts), plan: soundHand(), by_hand: false,
    steps: asPlanned.map((one) => ({ ...one, by_hand: false })),
  };
  void writeRecord(run.plate, (before) => carried(before, begun, timed));
}

/** A job is put away; one in which nothing ended leaves nothing behind. */
export function forget({ job, plate }: Run): void {
  if (job !== '' && plate !== '') void writeRecord(plate, (before) => left(before, job));
}
