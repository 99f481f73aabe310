import { signal } from '@preact/signals';
import { Link, Refused, WorkerLost } from '../reckon/link';
import type { Cut, Plan, Sample, SampleNumbers, SampleRequest } from '../reckon/protocol';
import { startWorker } from './hand';
import type { Pixels } from './results';
import { stepsOf, withSteps, type StripSettings, type Step } from './vary';

/** One patch of a strip, and what is known of it so far. */
export interface Patch {
  column: number; row: number;
  plan: Plan; value: number;
  numbers: SampleNumbers | null;
  /** Its printed grain. */
  print: Pixels | null;
  /** Why it can't be reckoned, in a sentence. */
  wrong: string | null;
}

/** The patch under the linen tester. */
export interface Detail { patch: Patch; grain: Pixels; cut: Cut }

/** Printed size of a patch: 4 × 2.4 mm. */
export const PATCH = { width_px: 200, height_px: 120, px_um: 20 };
/** Every patch is cut from the same place of its plate, so that grain can be compared. */
const PLACE = { left_um: 6000, top_um: 6000 };
/** Field of the linen tester, and the line of the cut across its middle. */
const GRAIN = { width_px: 400, height_px: 400, px_um: 5 };
export const CUT_WIDTH_UM = 400;
/** Most workers for one strip. */
const MOST_WORKERS = 4;

/**
 * A test strip at work. Workers of its own reckon first the numbers of every patch, then its grain;
 * `end` stops them.
 */
export class StripWork {
  readonly columns: Step[];
  readonly rows: (Step | null)[];
  readonly patches: Patch[];
  /** Raised whenever something new can be shown. */
  readonly drawn = signal(0);
  readonly detail = signal<Detail | null>(null);
  private readonly links: Link[];
  private readonly waiting: (() => SampleJob | null)[] = [];
  private readonly took = performance.now();
  private wanted: Patch | null = null;
  private ended = false;

  constructor(readonly base: Plan, private readonly shares: number[], readonly settings: StripSettings) {
    this.columns = stepsOf(settings.along);
    this.rows = settings.down ? stepsOf(settings.down) : [null];
    this.patches = this.rows.flatMap((row, r) => this.columns.map((step, c) => this.patchAt(step, row, c, r)));
    this.links = Array.from({ length: Math.min(MOST_WORKERS, Math.max(2, navigator.hardwareConcurrency || 2)) },
      () => new Link(startWorker, () => undefined));
    // Patches of one ground follow each other, so that a worker lays it once.
    const order = [...this.patches].sort((a, b) => groundOf(a.plan).localeCompare(groundOf(b.plan)));
    const quick = order.map((patch) => ({ patch, print: false }));
    const whole = order.map((patch) => ({ patch, print: true }));
    const jobs = [...quick, ...whole];
    this.waiting.push(() => this.wantedDetail(), () => jobs.shift() ?? null);
    for (const link of this.links) void this.work(link);
  }

  /** Patches whose grain is in (or that can't be reckoned). */
  get done(): number {
    return this.patches.filter((patch) => patch.print !== null || patch.wrong !== null).length;
  }

  /** Puts a patch under the linen tester. */
  lookAt(patch: Patch): void {
    this.wanted = patch;
    for (const link of this.links) if (link.idle) void this.work(link);
  }

  end(): void {
    this.ended = true;
    for (const link of this.links) link.end();
  }

  private patchAt(column: Step, row: Step | null, c: number, r: number): Patch {
    const once = this.settings.value === null;
    const first = once ? withSteps(this.base, [{ key: 'minutes', at: this.settings.minutes }]) : this.base;
    const plan = withSteps(first, row ? [column, row] : [column]);
    const single = once || column.key === 'minutes' || row?.key === 'minutes';
    const value = single ? 1 : Math.min(this.settings.value ?? 1, plan.bites.length);
    return { column: c, row: r, plan, value, numbers: null, print: null, wrong: null };
  }

  private wantedDetail(): SampleJob | null {
    const patch = this.wanted;
    this.wanted = null;
    return patch && { patch, print: false, detail: true };
  }

  private request({ patch, print, detail }: SampleJob): SampleRequest {
    const { plan, value } = patch;
    const even = plan.bites.length + 1 === this.shares.length;
    // One bite for everything but the paper.
    const alone = (index: number): number => (index === 0 ? this.shares[0] ?? 0 : index === 1 ? 1 - (this.shares[0] ?? 0) : 0);
    return {
      json: JSON.stringify(plan), value,
      shares: even ? this.shares : Array.from({ length: plan.bites.length + 1 }, (_, i) => alone(i)),
      ...(print && { print: { ...PLACE, ...PATCH } }),
      ...(detail && {
        print: { ...PLACE, ...GRAIN },
        cut: {
          left_um: PLACE.left_um + (GRAIN.width_px * GRAIN.px_um - CUT_WIDTH_UM) / 2,
          y_um: PLACE.top_um + (GRAIN.height_px * GRAIN.px_um) / 2,
          // Ink is seen after the last bite only; this value was stopped out by then.
          width_um: CUT_WIDTH_UM, after_bites: plan.bites.length, inked: true,
        },
      }),
    };
  }

  /** The most urgent job. Only one is taken from its row: whoever is asked gives it away. */
  private next(): SampleJob | null {
    for (const from of this.waiting) {
      const job = from();
      if (job) return job;
    }
    return null;
  }

  private async work(link: Link): Promise<void> {
    for (;;) {
      const job = this.ended ? null : this.next();
      if (!job) return;
      if (job.patch.wrong !== null && !job.detail) continue;
      try {
        this.take(job, await link.ask({ do: 'sample', sample: this.request(job) }));
      } catch (error) {
        if (this.ended) return;
        if (!(error instanceof WorkerLost) && !(error instanceof Refused)) throw error;
        job.patch.wrong = `This patch could not be reckoned (${error.message}).`;
      }
      if (this.done === this.patches.length) performance.measure('strip', { start: this.took });
      this.drawn.value += 1;
    }
  }

  private take({ patch, print, detail }: SampleJob, answer: Sample): void {
    const wrong = answer.problems.find((problem) => problem.severity === 'error');
    if (wrong) patch.wrong = wrong.message;
    patch.numbers = answer.numbers ?? null;
    if (print) patch.print = answer.print ?? null;
    if (detail && answer.print && answer.cut) this.detail.value = { patch, grain: answer.print, cut: answer.cut };
    if (!print && !detail && this.patches.every((one) => one.numbers !== null || one.wrong !== null)) performance.mark('strip-first');
  }
}

interface SampleJob { patch: Patch; print: boolean; detail?: boolean }

/** What decides the ground of a plan. */
function groundOf({ dust, bake, plate, seed }: Plan): string {
  return JSON.stringify([dust, bake, plate.thickness_mm, seed]);
}
