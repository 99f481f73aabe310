import { readingFor } from '../store/readings.ts';
import type { KeptPicture } from '../store/pictureStore.ts';
import { WorkerClient } from './workerClient.ts';
import type { Answer, Args, Call } from './calls.ts';
import type { Plan, Printed, Tones } from './protocol.ts';
import { explained } from '../store/settings.ts';

/** Gives a worker a plan, with the picture of its lines; refuses one that can't be used. */
export async function givePlan(link: WorkerClient, plan: Plan, state = 0, printed: Printed = 'both'): Promise<void> {
  const lines = plan.lines && await (await import('../store/linePictures.ts')).linesForWorkers(plan.lines);
  if (lines) await link.ask('take_lines', lines.lightness, lines.width, lines.height, lines.part);
  const { problems } = await link.ask('take_plan', plan, state, lines ? printed : 'both');
  const wrong = problems.find((problem) => problem.severity === 'error');
  if (wrong) throw new Error(explained(wrong));
}

/** Gives a worker a plan's picture, as fine as the plan's crop asks for; null is the harbour. */
export async function givePicture(link: WorkerClient, picture: KeptPicture | null, { picture: { crop } }: Plan): Promise<void> {
  await giveReading(link, picture && await readingFor(picture, crop));
}

async function giveReading(link: WorkerClient, reading: Tones | null): Promise<void> {
  await (reading
    ? link.ask('take_lightness', reading.lightness, reading.width, reading.height, null, reading.part)
    : link.ask('take_harbour', null));
}

/** A worker of its own for a plan that is not the one in hand: small proofs, and plans side by side. */
export class PlanWorker {
  private readonly link: WorkerClient;
  private holds: { plan: Plan; reading: Tones | null; state: number } | null = null;

  constructor() {
    // Its panic reaches whoever waits for the answer.
    this.link = new WorkerClient(() => { this.holds = null; });
  }

  /** Asks about a plan and its picture (null for the harbour), in one of its states (0 for the last). */
  async ask<C extends Call>(plan: Plan, picture: KeptPicture | null, call: C, args: Args<C>, state = 0): Promise<Answer<C>> {
    const reading = picture && await readingFor(picture, plan.picture.crop);
    const another = !this.holds || this.holds.reading !== reading;
    if (another) await giveReading(this.link, reading);
    if (another || this.holds?.plan !== plan || this.holds.state !== state) {
      await givePlan(this.link, plan, state);
      this.holds = { plan, reading, state };
    }
    return this.link.ask(call, ...args);
  }

  end(): void {
    this.link.end();
  }
}
