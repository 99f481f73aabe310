import { signal } from '@preact/signals';
import { workersFor } from '../../engine/memory.ts';
import { WorkerClient, Refused, WorkerLost } from '../../engine/workerClient.ts';
import type { Cut, Image, OneValueOf, Place, Plan, Sample, SampleNumbers, SampleRequest, Strip } from '../../engine/protocol.ts';
import { ownPlace, stepWords, variable, type StripSettings, type Step, type Variable } from './vary.ts';
import { explained } from '../../store/settings.ts';

/** One patch of a strip, and what is known of it so far. */
export interface Patch {
  column: number; row: number;
  plan: Plan; value: number;
  /** Share of the plate per value, paper first. */
  shares: number[];
  numbers: SampleNumbers | null;
  /** The numbers come from a first look at little ground; better ones follow. */
  rough: boolean;
  /** Its printed grain. */
  print: Image | null;
  /** Its grain under the linen tester and its cut; in a single row of every patch. */
  look: Look | null;
  /** Why it can't be reckoned, in a sentence. */
  wrong: string | null;
}

export interface Look { grain: Image; cut: Cut }

/** The patch under the linen tester. */
export interface Detail extends Look { patch: Patch }

/** Printed size of a patch, 2.8 × 1.68 mm: every grain is computed, then averaged as the eye does. */
export const PATCH = { width_px: 280, height_px: 168, px_um: 10, fine_um: 5 };
/**
 * Every patch is cut from the same place of its plate, so that grain can be compared: the middle of a corner
 * whose ground the numbers need anyway, µm from the right and from the top.
 */
const CORNER_UM = 2000;
/** Field of the linen tester, and the line of the cut across its middle. */
const GRAIN = { width_px: 400, height_px: 400, px_um: 5 };
export const CUT_WIDTH_UM = 400;
type Size = Pick<Place, 'width_px' | 'height_px' | 'px_um' | 'fine_um'>;

/** A window of this size round the place of all patches. */
function about({ plate }: Plan, size: Size): Place {
  return {
    left_um: plate.width_mm * 1000 - CORNER_UM - (size.width_px * size.px_um) / 2,
    top_um: CORNER_UM - (size.height_px * size.px_um) / 2,
    ...size,
  };
}

/** Most workers for one strip. */
const MOST_WORKERS = 4;

/**
 * A test strip at work. Workers of its own take a first look at every patch, then reckon its numbers and
 * its grain; `end` stops them.
 */
export class StripWork {
  readonly columns: Step[];
  readonly rows: (Step | null)[];
  readonly patches: Patch[];
  /** The plan itself, when none of the patches is; null where it prints nothing of the kind. */
  readonly own: Patch | null;
  /** The patch that is the plan itself. */
  readonly ownPatch: Patch | null;
  /** Raised whenever something new can be shown. */
  readonly drawn = signal(0);
  readonly detail = signal<Detail | null>(null);
  private links: WorkerClient[] = [];
  private readonly jobs: SampleJob[];
  private readonly took = performance.now();
  private wanted: Patch | null = null;
  private looked: Patch | null = null;
  private ended = false;

  constructor(readonly base: Plan, shares: number[], readonly settings: StripSettings, strip: Strip) {
    const { along, down } = settings;
    this.columns = strip.columns.map((at) => ({ key: along.key, at }));
    this.rows = down ? strip.rows.map((at) => ({ key: down.key, at })) : [null];
    const across = this.columns.length;
    this.patches = strip.patches.map((of, i) => patchOf(of, i % across, Math.floor(i / across)));
    this.ownPatch = this.patches[strip.own ?? -1] ?? null;
    this.own = strip.once || this.ownPatch ? null : patchOf({ plan: base, value: settings.value ?? 1, shares }, -1, -1);
    // Patches of one ground follow each other, so that a worker lays it once.
    const order = strip.order.flatMap((at) => this.patches[at] ?? []);
    this.jobs = order.map((patch) => ({ patch, glance: true }));
    if (this.own) this.jobs.push({ patch: this.own });
    this.jobs.push(...order.map((patch) => ({ patch, print: true, look: this.rows[0] === null })));
    this.begin();
  }

  /** A step in words: "60 s", "tarlatan only". */
  words({ key, at }: Step): string {
    return stepWords(this.variable(key), at);
  }

  /** Whether the plan itself stands at a step. */
  owns({ key, at }: Step): boolean {
    return ownPlace(this.base, key) === at;
  }

  /** What a key varies. */
  variable(key: string | undefined): Variable | undefined {
    return key === undefined ? undefined : variable(this.base, key);
  }

  /** Starts the workers. */
  private begin(): void {
    this.links = Array.from({ length: workersFor(MOST_WORKERS) },
      () => new WorkerClient());
    for (const link of this.links) void this.work(link);
  }

  /** Patches whose grain is in (or that can't be reckoned). */
  get done(): number {
    return this.patches.filter((patch) => patch.print !== null || patch.wrong !== null).length;
  }

  /** Puts a patch under the linen tester. */
  lookAt(patch: Patch): void {
    this.looked = patch;
    if (patch.look) {
      this.detail.value = { patch, ...patch.look };
      return;
    }
    this.wanted = patch;
    for (const link of this.links) if (link.idle) void this.work(link);
  }

  end(): void {
    this.ended = true;
    for (const link of this.links) link.end();
  }

  private wantedDetail(): SampleJob | null {
    // The first look at all of them comes before a close look at one.
    if (this.jobs[0]?.glance) return null;
    const patch = this.wanted;
    this.wanted = null;
    return patch && { patch, look: true };
  }

  /** A patch as one value of a plate of its own. */
  sampleOf({ plan, value, shares }: Patch): OneValueOf {
    return { plan, value, shares };
  }

  /** Middle of the place that a patch is cut from, µm on the print. */
  placeOf({ plan: { plate } }: Patch): { x: number; y: number } {
    return { x: plate.width_mm * 1000 - CORNER_UM, y: CORNER_UM };
  }

  private request({ patch, glance, print, look }: SampleJob): SampleRequest {
    const { plan } = patch;
    return {
      of: this.sampleOf(patch),
      ...(glance && { glance }),
      ...(print && { print: about(plan, PATCH) }),
      ...(look && {
        grain: about(plan, GRAIN),
        cut: {
          left_um: plan.plate.width_mm * 1000 - CORNER_UM - CUT_WIDTH_UM / 2, y_um: CORNER_UM,
          // Ink is seen after the last bite only; this value was stopped out by then.
          width_um: CUT_WIDTH_UM, after_bites: plan.bites.length, inked: true,
        },
      }),
    };
  }

  private async work(link: WorkerClient): Promise<void> {
    for (;;) {
      const job = this.ended ? undefined : this.wantedDetail() ?? this.jobs.shift();
      if (!job) return;
      if (job.patch.wrong !== null) continue;
      try {
        this.take(job, await link.ask('sample', this.request(job)));
      } catch (error) {
        if (this.ended) return;
        if (!(error instanceof WorkerLost) && !(error instanceof Refused)) throw error;
        job.patch.wrong = `This patch could not be calculated (${error.message}).`;
      }
      if (job.print && this.done === this.patches.length) performance.measure('strip', { start: this.took });
      this.drawn.value += 1;
    }
  }

  private take({ patch, glance = false, print, look }: SampleJob, answer: Sample): void {
    const wrong = answer.problems.find((problem) => problem.severity === 'error');
    if (wrong) patch.wrong = explained(wrong);
    if (!glance || !patch.numbers) {
      patch.numbers = answer.numbers ?? null;
      patch.rough = glance;
    }
    if (print) patch.print = answer.print ?? null;
    if (look && answer.grain && answer.cut) {
      const seen = { grain: answer.grain, cut: answer.cut };
      if (this.rows[0] === null) patch.look = seen;
      if (this.looked === patch) this.detail.value = { patch, ...seen };
    }
    if (glance && this.patches.every((one) => one.numbers !== null || one.wrong !== null)) performance.measure('strip-first', { start: this.took });
  }
}

/** A first look; or the numbers, with the print, and with grain and cut under the linen tester. */
interface SampleJob { patch: Patch; glance?: boolean; print?: boolean; look?: boolean }

/** How deep the deepest patch is bitten, within reason: cuts keep one scale from patch to patch. */
export function deepestOf(work: StripWork): number {
  return Math.min(40, Math.max(0, ...work.patches.map(({ numbers }) => numbers?.depth_um ?? 0)));
}

function patchOf(of: OneValueOf, column: number, row: number): Patch {
  return { ...of, column, row, numbers: null, rough: false, print: null, look: null, wrong: null };
}
