import { ENDED, surely, WorkerClient, Refused, WorkerLost } from './workerClient.ts';
import { memoryCounts, memoryShort, workersFor } from './memory.ts';
import { wantsMemory } from './outOfMemory.ts';
import type { Answer, Args, Call } from './calls.ts';
import { TILE_WIDTH_UM } from './pyramid.ts';
import type { Plan, Printed, Tones } from './protocol.ts';

/** The picture as the workers get it. */
export interface PictureForWorkers extends Tones { mark: number }

/** One piece of the proof for the pool, and where its answer goes. */
export interface Job {
  tile: Args<'tile'>;
  done: (answer: Answer<'tile'>) => void;
  /** The piece can't be reckoned. */
  dropped: () => void;
  /** The worker broke over it: it is still to be reckoned. */
  lost: () => void;
}

/** Times the pool may break over one plan before it stops trying. */
const PATIENCE = 3;
/** Workers for the proof at most. */
const MOST_WORKERS = 8;
/** How long after a change or a move cores are left to what is under the hand, ms. */
const HAND_FIRST_MS = 800;
/** How long nothing is asked for before workers give back their memory, ms. */
const REST_AFTER_MS = 1500;
/** The same for the numbers where memory counts: the proof's second worker waits for it. */
const DESK_RESTS_MS = 250;
/** Room for a tile of the base image and what is made of it in smaller sizes. */
const ROOM_BYTES = 98_304;
/** Mark of a plan that the front worker is still trying. */
const TRYING = -2;

/**
 * The workers: one in front for what the hand is doing now, one for the numbers, the others for the
 * proof.
 * Every worker is brought up to the newest picture and plan just before it is asked something, so
 * a replaced worker needs no special care.
 */
export class WorkerPool {
  /** For what is under the hand: the linen tester, the cut, checking a plan. */
  readonly front: WorkerClient;
  /** For the numbers and patches, which take longer than a hand likes to wait. */
  private readonly desk: WorkerClient;
  private readonly pool: WorkerClient[];
  private picture: PictureForWorkers | null = null;
  private lines: PictureForWorkers | null = null;
  private printed: Printed = 'both';
  private plan: Plan | null = null;
  private state = 0;
  private planMark = 0;
  private lostOverPlan = 0;
  private handAt = -Infinity;
  private changedAt = -Infinity;
  private handTimer = 0;
  private restTimer = 0;
  private deskTimer = 0;
  /** The worker for the numbers holds what it took to find them. */
  private deskFilled = false;
  /** Workers that have grown large over whole tiles of the proof. */
  private readonly grown = new Set<WorkerClient>();
  /** Room for tiles to come. */
  private readonly rooms: ArrayBuffer[] = [];
  private next: (lane: number, lanes: number) => Job | null = () => null;
  private firstWanted: { width_px: number; height_px: number; done: (grey: Uint8Array) => void } | null = null;

  constructor(onLost: (words: string) => void) {
    this.front = new WorkerClient(onLost);
    this.desk = new WorkerClient(onLost);
    this.pool = Array.from({ length: workersFor(MOST_WORKERS) }, () => new WorkerClient((words) => {
      // What the system does is not the plan's fault.
      if (words !== ENDED && !wantsMemory(words)) this.lostOverPlan += 1;
      onLost(words);
    }));
  }

  setPicture(picture: PictureForWorkers): void {
    this.picture = picture;
  }

  /** The picture of the plan's lines, and what is to be printed; null where there are none. */
  setLines(lines: PictureForWorkers | null, printed: Printed): void {
    this.lines = lines;
    this.printed = lines ? printed : 'both';
  }

  /**
   * Has the front worker check and take a plan, looked at in `state` (0 is the last). What is asked of
   * it meanwhile is answered by this plan if it is sound, and by the one before if not. Once it is found
   * sound, it is the plan of all workers.
   */
  async tryPlan(plan: Plan, state: number): Promise<Answer<'take_plan'>> {
    this.changedAt = performance.now();
    this.front.planSet = TRYING;
    this.prepare(this.front);
    let taken: Answer<'take_plan'> | null = null;
    try {
      taken = await this.front.ask('take_plan', plan, state, this.printed);
      return taken;
    } finally {
      const held = this.front.planSet === TRYING;
      if (taken && !taken.problems.some((problem) => problem.severity === 'error')) this.setPlan(plan, state, taken.same_ground);
      // With problems the worker has kept the plan before.
      if (held) this.front.planSet = this.planMark;
    }
  }

  /** The hand is at work: for a moment one core is left to what it waits for. */
  handIsAt(): void {
    this.handAt = performance.now();
  }

  /**
   * Answers to jobs of the plan before are dropped from now on. Without the `same_ground` nothing that the
   * pool is at or keeps is of use any more, so it makes way at once.
   */
  private setPlan(plan: Plan, state: number, same_ground: boolean): void {
    this.plan = plan;
    this.state = state;
    this.planMark += 1;
    this.lostOverPlan = 0;
    this.firstWanted = null;
    this.next = () => null;
    if (!same_ground) for (const link of this.pool) if (!link.idle) link.leave('the ground was changed');
  }

  /** Asks the front worker about the present plan, or the one it is trying. */
  ask<C extends Call>(call: C, ...args: Args<C>): Promise<Answer<C>> {
    return surely(() => {
      this.prepare(this.front);
      return this.front.ask(call, ...args);
    });
  }

  /** Asks it what has nothing to do with the plan that it holds. */
  plain<C extends Call>(call: C, ...args: Args<C>): Promise<Answer<C>> {
    return surely(() => this.front.ask(call, ...args));
  }

  /** Asks the worker that does the numbers about the present plan. */
  askNumbers<C extends Call>(call: C, ...args: Args<C>): Promise<Answer<C>> {
    this.prepare(this.desk);
    clearTimeout(this.deskTimer);
    this.deskFilled = true;
    return this.desk.ask(call, ...args).finally(() => {
      clearTimeout(this.deskTimer);
      this.deskTimer = window.setTimeout(() => this.emptyDesk(), memoryCounts() ? DESK_RESTS_MS : REST_AFTER_MS);
    });
  }

  /** A fresh worker for the numbers has plan and picture in a twentieth of a second when it is asked again. */
  private emptyDesk(): void {
    if (!this.desk.idle) return;
    this.desk.renew();
    this.deskFilled = false;
    this.feed();
  }

  /** Prints the whole plate once, then keeps the pool busy with what `next` offers. */
  print(width_px: number, height_px: number, first: (grey: Uint8Array) => void, next: (lane: number, lanes: number) => Job | null): void {
    const mark = this.planMark;
    this.firstWanted = {
      width_px, height_px,
      done: (grey) => {
        if (mark !== this.planMark) return;
        first(grey);
        this.next = next;
        this.feed();
      },
    };
    this.feed();
  }

  /** Workers that share the proof. Where memory is short only one of them is at work. */
  private get lanes(): number {
    return memoryShort.value ? 1 : this.pool.length;
  }

  /**
   * Nothing is left to be reckoned: workers that have reckoned whole tiles give back the memory that this took, which a
   * module never does by itself. The one that the next first pass is asked of is at hand again at once, with plan and picture.
   */
  private rest(): void {
    if (!this.resting) return;
    for (const link of this.grown) {
      link.renew();
      if (link === this.pool[0]) this.prepare(link);
    }
    this.grown.clear();
  }

  private get resting(): boolean {
    return !this.firstWanted && this.pool.every(({ idle }) => idle);
  }

  /** Memory has run short: all workers for the proof but the first are let go of. */
  spare(): void {
    for (const link of this.pool.slice(1)) link.leave('memory ran short');
  }

  /** Gives every idle worker something to do. Called again whenever there may be new work. */
  feed(): void {
    const still = (at: number): number => (this.planMark > 1 ? at + HAND_FIRST_MS - performance.now() : 0);
    // After a change one core for what the front worker reckons, and one for the page, which shows all of it.
    const [changed, moved] = [still(this.changedAt), still(this.handAt)];
    const left = changed > 0 ? 2 : moved > 0 || (this.deskFilled && memoryCounts()) ? 1 : 0;
    // The first pass is what the hand waits for, too.
    const lanes = Math.max(this.firstWanted ? 1 : 0, this.lanes - left);
    if (changed > 0 || moved > 0) {
      clearTimeout(this.handTimer);
      this.handTimer = window.setTimeout(() => this.feed(), changed > 0 ? changed : moved);
    }
    this.pool.slice(0, lanes).forEach((link, lane) => {
      if (link.idle) this.feedOne(link, lane);
    });
    if (this.grown.size === 0 || !this.resting) return;
    clearTimeout(this.restTimer);
    this.restTimer = window.setTimeout(() => this.rest(), REST_AFTER_MS);
  }

  private feedOne(link: WorkerClient, lane: number): void {
    if (this.lostOverPlan >= PATIENCE) return;
    const mark = this.planMark;
    if (this.firstWanted) {
      const { width_px, height_px, done } = this.firstWanted;
      this.firstWanted = null;
      this.prepare(link);
      link.ask('first_pass', width_px, height_px)
        .then(done)
        .catch((error: unknown) => {
          if (error instanceof WorkerLost && mark === this.planMark) this.firstWanted = { width_px, height_px, done };
          else if (!(error instanceof Refused) && !(error instanceof WorkerLost)) throw error;
        })
        .finally(() => this.feed());
      return;
    }
    const job = this.next(lane, this.lanes);
    if (!job) return;
    this.prepare(link);
    if (job.tile[2] >= TILE_WIDTH_UM) this.grown.add(link);
    link.room = this.rooms.pop() ?? new ArrayBuffer(ROOM_BYTES);
    link.ask('tile', ...job.tile)
      .then((answer) => {
        if (mark === this.planMark) job.done(answer);
        // What came has been copied by now.
        if (answer.grey.buffer.byteLength === ROOM_BYTES) this.rooms.push(answer.grey.buffer);
      })
      .catch((error: unknown) => {
        if (mark === this.planMark) (error instanceof WorkerLost ? job.lost : job.dropped)();
        if (!(error instanceof Refused) && !(error instanceof WorkerLost)) throw error;
      })
      .finally(() => this.feed());
  }

  private prepare(link: WorkerClient): void {
    // What goes wrong here comes back with the question that follows.
    const quiet = (): void => undefined;
    // Both pictures by one mark: a few thousand pictures of lines are more than a sitting sees.
    const mark = (this.picture?.mark ?? 0) + (this.lines?.mark ?? 0) / 4096;
    if (this.picture && link.pictureSet !== mark) {
      link.pictureSet = mark;
      const { picture, lines } = this;
      if (lines) link.ask('take_lines', lines.lightness, lines.width, lines.height, lines.part).catch(quiet);
      link.ask('take_lightness', picture.lightness, picture.width, picture.height, null, picture.part).catch(quiet);
    }
    if (this.plan && link.planSet !== this.planMark && link.planSet !== TRYING) {
      link.planSet = this.planMark;
      link.ask('take_plan', this.plan, this.state, this.printed).catch(quiet);
    }
  }
}
