import { effect, signal } from '@preact/signals';
import type { Moment, Plan, WatchStage } from '../../engine/protocol.ts';
import { keptOf, picture, type Picture } from '../../store/picture.ts';
import { soundPlan } from '../../store/results.ts';
import { WatchWork } from '../watch/watch.ts';

/* The first proof pulled: a handful of moments of the work at one place, each reckoned as any other. */

/** Moments of each kind of work: few, since all together take four seconds. */
const MOMENTS: Partial<Record<WatchStage['work'], number>> = { dust: 4, bake: 4, bite: 2, ink: 1, wipe: 3, print: 3 };
/** All moments together are shown for this long, ms; longer only where they can't be reckoned in it. */
const SHOW_MS = 4000;
/** The plan has come to rest: its picture's values are spaced. */
const AT_REST_MS = 350;
/** Places looked at for a dark one, along each side. */
const LOOKED_AT = 9;

/** What is said of each kind of work. */
const WORDS: Partial<Record<WatchStage['work'], string>> = {
  dust: 'Rosin dust falls on the copper', bake: 'Heat melts it into islands', ink: 'Ink is rubbed in', wipe: 'The cloth takes it off the land', print: 'Damp paper lifts it out',
};

export interface Shown { moment: Moment; words: string; work: WatchStage['work'] }

/** Where the picture is dark, µm on the print: there the bath is at work from the first bite to the last. */
function darkPlace({ plate, picture: { crop } }: Plan, shown: Picture): { x: number; y: number } {
  let found = { x: plate.width_mm * 500, y: plate.height_mm * 500, tone: 256 };
  if (!shown.lightness) return found;
  for (let i = 1; i < LOOKED_AT; i++) {
    for (let k = 1; k < LOOKED_AT; k++) {
      const [u, v] = [i / LOOKED_AT, k / LOOKED_AT];
      const [column, row] = [Math.floor((crop.left + u * crop.width) * shown.width), Math.floor((crop.top + v * crop.height) * shown.height)];
      const tone = shown.lightness[row * shown.width + column] ?? 255;
      if (tone < found.tone) found = { x: u * plate.width_mm * 1000, y: v * plate.height_mm * 1000, tone };
    }
  }
  return found;
}

/** The newest sound plan of the picture in hand, once it stands still. */
function atRest(): Promise<Plan> {
  return new Promise((there) => {
    let timer = 0;
    const stop = effect(() => {
      const now = soundPlan.value;
      clearTimeout(timer);
      if (now && typeof now.picture.source !== 'string') timer = window.setTimeout(() => { stop(); there(now); }, AT_REST_MS);
    });
  });
}

/** The moments, one after another; `still` keeps the last of each kind of work instead of letting them pass. */
export class Pull {
  readonly now = signal<Shown | null>(null);
  readonly stills = signal<Shown[]>([]);
  private work: WatchWork | null = null;
  private left = false;

  constructor(private readonly still: boolean, private readonly done: () => void) {}

  async run(): Promise<void> {
    const plan = await atRest();
    if (this.left) return;
    const { x, y } = darkPlace(plan, picture.value);
    const work = new WatchWork({ plan, picture: keptOf(picture.value), sample: null, state: 0, printed: 'both', x, y, words: '', from: null });
    this.work = work;
    await work.ready;
    const spans = work.spans.value;
    const lastBite = spans.filter(({ stage }) => stage.work === 'bite').at(-1);
    const moments = spans.filter((span) => !this.still || span.stage.work !== 'bite' || span === lastBite).flatMap(({ stage, first, count }) => {
      const shown = Math.min(count, this.still ? 1 : MOMENTS[stage.work] ?? 0);
      const words = stage.work === 'bite' ? this.still ? 'The bath bites between them' : `Bite ${stage.bite} deepens the pits` : WORDS[stage.work];
      return words === undefined ? [] : Array.from({ length: shown }, (_, i) => ({ at: first + Math.ceil(((i + 1) * count) / shown) - 1, words, work: stage.work }));
    });
    for (const { at, words, work: kind } of moments) {
      work.see(at);
      await Promise.all([work.there(at), new Promise((later) => { setTimeout(later, this.still ? 0 : SHOW_MS / moments.length); })]);
      const seen = work.shown.value;
      if (this.left || work.wrong.value || seen?.at !== at) break;
      this.now.value = { moment: seen.moment, words, work: kind };
      this.stills.value = [...this.stills.value, this.now.value];
    }
    work.end();
    if (!this.left && !this.still) this.done();
  }

  end(): void {
    this.left = true;
    this.work?.end();
  }
}
