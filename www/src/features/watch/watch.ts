import { signal, type Signal } from '@preact/signals';
import { givePicture, givePlan } from '../../engine/planWorker.ts';
import { WorkerClient, Refused, WorkerLost } from '../../engine/workerClient.ts';
import type { Moment, Plan, Printed, WatchStage } from '../../engine/protocol.ts';
import { linesMissing } from '../../store/linePictures.ts';
import { lens, printed, state } from '../../store/viewState.ts';
import { panel } from '../../store/notifications.ts';
import { keptOf, picture } from '../../store/picture.ts';
import { soundPlan } from '../../store/results.ts';
import type { Patch, StripWork } from '../strip/strip.ts';
import type { KeptPicture } from '../../store/pictureStore.ts';
import { lastState, stateInHand, stateWords } from '../../store/versions.ts';

/* Watching the work at one place of a plate: what is watched, and the moments that have been reckoned. */

/** What is watched: the plan in hand, or a lesson's patch, and where. */
export interface Watched {
  plan: Plan;
  picture: KeptPicture | null;
  /** One value of a plate that has nothing else on it; null for the picture's own values. */
  sample: { value: number; shares: number[] } | null;
  /** The state that is looked at, 0 for the last, and what of lines and tone is printed. */
  state: number; printed: Printed;
  /** Middle of the place, µm on the print. */
  x: number; y: number;
  /** What it is, for the heading. */
  words: string;
  /** Where to begin: the first stage of this work; null from the start. */
  from: WatchStage['work'] | null;
}

export const watched = signal<Watched | null>(null);

const PRINTED_WORDS: Record<Printed, string> = { both: '', lines: ', its lines alone', tone: ', its tone without the lines' };

/** What is watched, in words: the state and what of it is printed, as the linen tester shows it. */
function seenWords(of: Plan): string {
  const name = lastState(of) > 1 ? ', up to' : '';
  return `Your plan, under the linen tester${name} ${stateWords(of, stateInHand(of))}`.trimEnd() + (of.lines ? PRINTED_WORDS[printed.value] : '');
}

/** Watches the newest sound plan under the linen tester, up to the state that is looked at. */
export function watchHere(): void {
  if (!soundPlan.value) return;
  const { x, y } = lens.value;
  const plan = soundPlan.value;
  watched.value = {
    plan, picture: keptOf(picture.value), sample: null, state: state.value, printed: printed.value, x, y, words: seenWords(plan), from: null,
  };
  panel.value = 'watch';
}

/** Watches a patch of a test strip, at the place all patches are cut from. */
export function watchPatch(strip: StripWork, patch: Patch, words: string, from: string | null): void {
  const { plan } = patch;
  const { value, shares } = strip.sampleOf(patch);
  const { x, y } = strip.placeOf(patch);
  watched.value = { plan, picture: null, sample: { value, shares }, state: 0, printed: 'both', x, y, words, from: from as Watched['from'] };
  panel.value = 'watch';
}

/** Moments that each stage is shown in; for a tool each stroke, up to so many in all. */
const MOMENTS: Record<WatchStage['work'], number> = { lines: 12, wait: 8, dust: 24, bake: 30, bite: 10, clean: 8, tool: 6, ink: 8, wipe: 12, print: 14 };
const MOST_TOOL_MOMENTS = 36;

function momentsOf({ work, length }: WatchStage): number {
  return work === 'tool' ? Math.min(MOST_TOOL_MOMENTS, MOMENTS.tool * length) : MOMENTS[work];
}
/** Pixels of the place from above. */
export const FIELD = { width_px: 320, height_px: 160 };
/** Widths of the place, mm. */
export const WIDTHS_MM = [0.4, 0.8, 1.6] as const;
/** Moments reckoned ahead of the one that is seen, and most that are kept, some 300 kB each. */
const AHEAD = 60;
const MOST_KEPT = 180;

export interface Span { stage: WatchStage; index: number; first: number; count: number }

/** A plate being watched. Moment 0 is the plate before anything, then come those of the stages. */
export class WatchWork {
  readonly spans = signal<Span[]>([]);
  /** The moment that is wanted, and the newest that is in. */
  readonly at = signal(0);
  readonly shown = signal<{ at: number; moment: Moment } | null>(null);
  readonly wrong = signal('');
  /** What is left out, and why. */
  readonly missing = signal('');
  /** Middle and width of the place. */
  readonly place: Signal<{ x: number; y: number; width_mm: number }>;
  /** Settled once the stages are known, or it is said why they are not. */
  readonly ready: Promise<void>;
  private readonly moments = new Map<number, Moment>();
  private link: WorkerClient | null = null;
  private working = false;
  private ended = false;
  private waiting: { at: number; there: () => void }[] = [];

  constructor(private readonly of: Watched) {
    this.place = signal({ x: of.x, y: of.y, width_mm: WIDTHS_MM[0] as number });
    this.ready = this.begin();
  }

  get last(): number {
    const end = this.spans.value.at(-1);
    return end ? end.first + end.count - 1 : 0;
  }

  /** The stage of a moment, and how much of it has passed. */
  spanOf(at: number): { span: Span; share: number } | null {
    const spans = this.spans.value;
    const span = spans.find(({ first, count }) => at < first + count) ?? spans.at(-1);
    if (!span) return null;
    const share = at === 0 ? 0 : (at - span.first + 1) / span.count;
    // The dust melts in the first minutes of a bake; the rest of it changes little.
    return { span, share: span.stage.work === 'bake' ? share * share : share };
  }

  /** Shows a moment as soon as it is reckoned. */
  see(at: number): void {
    this.at.value = Math.max(0, Math.min(this.last, at));
    const known = this.moments.get(this.at.value);
    if (known) this.shown.value = { at: this.at.value, moment: known };
    void this.work();
  }

  /** Resolves when a moment is in. */
  there(at: number): Promise<void> {
    if (this.moments.has(at) || this.wrong.value) return Promise.resolve();
    return new Promise((there) => { this.waiting.push({ at, there }); });
  }

  /** Another place of the same plate. */
  move(x: number, y: number, width_mm: number): void {
    const { width_mm: across, height_mm: down } = this.of.plan.plate;
    const half = { x: width_mm * 500, y: (width_mm * 500 * FIELD.height_px) / FIELD.width_px };
    this.place.value = {
      x: Math.min(across * 1000 - half.x, Math.max(half.x, x)),
      y: Math.min(down * 1000 - half.y, Math.max(half.y, y)),
      width_mm,
    };
    this.moments.clear();
    this.see(this.at.value);
  }

  end(): void {
    this.ended = true;
    this.link?.end();
  }

  private async begin(): Promise<void> {
    const { plan, picture, sample, state, printed } = this.of;
    try {
      const link = new WorkerClient();
      this.link = link;
      if (!sample) {
        if (plan.lines && printed !== 'tone') this.missing.value = await linesMissing(plan.lines.picture) ?? '';
        await givePicture(link, picture, plan);
        await givePlan(link, plan, state, printed);
      }
      if (sample) await link.ask('take_sample', { plan, ...sample });
      const stages = await link.ask('stages');
      let first = 1;
      this.spans.value = stages.map((stage, index) => ({ stage, index, count: momentsOf(stage) }))
        // A patch has no part in bites that it is stopped out of.
        .filter(({ stage: { work, length, open: [lightest, darkest] } }) => length > 0
          && !(sample && work === 'bite' && (sample.value < lightest || sample.value > darkest)))
        .map((one) => { const span = { ...one, first }; first += one.count; return span; });
      const begun = this.of.from && this.spans.value.find(({ stage }) => stage.work === this.of.from);
      this.move(this.of.x, this.of.y, this.place.value.width_mm);
      this.see(begun ? begun.first : 0);
    } catch (error) {
      this.fail(error);
    }
  }

  private fail(error: unknown): void {
    if (this.ended) return;
    if (!(error instanceof Error)) throw error;
    this.wrong.value = error instanceof WorkerLost || error instanceof Refused
      ? `This place could not be calculated (${error.message}). Choose another, or close and open again.` : error.message;
    for (const { there } of this.waiting.splice(0)) there();
  }

  /** What to reckon next: the moment wanted, then those after it. */
  private next(): number | null {
    const from = this.at.value;
    for (let at = from; at <= Math.min(this.last, from + AHEAD); at++) if (!this.moments.has(at)) return at;
    return null;
  }

  /** Forgets the moment farthest from the one wanted when there are too many. */
  private forgetFar(): void {
    if (this.moments.size <= MOST_KEPT) return;
    const off = (at: number): number => Math.abs(at - this.at.value);
    const farthest = [...this.moments.keys()].reduce((a, b) => (off(b) > off(a) ? b : a));
    this.moments.delete(farthest);
  }

  private async work(): Promise<void> {
    const { link } = this;
    if (this.working || !link || this.spans.value.length === 0) return;
    this.working = true;
    try {
      for (let at = this.next(); at !== null && !this.ended; at = this.next()) {
        const found = this.spanOf(at);
        if (!found) return;
        const place = this.place.value;
        const { x, y, width_mm } = place;
        const px_um = (width_mm * 1000) / FIELD.width_px;
        const moment = await link.ask('moment', {
          left_um: x - width_mm * 500, top_um: y - (FIELD.height_px * px_um) / 2, ...FIELD, px_um,
        }, found.span.index, found.share);
        // The place may have been moved meanwhile.
        if (this.place.value !== place) continue;
        this.moments.set(at, moment);
        this.forgetFar();
        if (at === this.at.value) this.shown.value = { at, moment };
        const there = this.waiting.filter((one) => one.at === at);
        this.waiting = this.waiting.filter((one) => one.at !== at);
        for (const one of there) one.there();
      }
    } catch (error) {
      this.fail(error);
    } finally {
      this.working = false;
    }
  }
}
