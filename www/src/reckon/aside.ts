import { readingFor } from '../state/readings';
import type { KeptPicture } from '../state/vault';
import { bare } from './bench';
import { Link } from './link';
import type { Tones } from './pictureProtocol';
import type { Answers, Plan, Printed, Request } from './protocol';

/** Gives a worker a plan, with the picture of its lines; refuses one that can't be used. */
export async function givePlan(link: Link, plan: Plan, state = 0, printed: Printed = 'both'): Promise<void> {
  const lines = plan.lines && await (await import('../state/lines')).linesForWorkers(plan.lines);
  if (lines) await link.ask({ do: 'lines', ...bare(lines) });
  const { problems } = await link.ask({ do: 'plan', json: JSON.stringify(plan), state, ...(lines && { printed }) });
  const wrong = problems.find((problem) => problem.severity === 'error');
  if (wrong) throw new Error(wrong.message);
}

/** Gives a worker a plan's picture, as fine as the plan's crop asks for; null is the harbour. */
export async function givePicture(link: Link, picture: KeptPicture | null, { picture: { crop } }: Plan): Promise<void> {
  await giveReading(link, picture && await readingFor(picture, crop));
}

async function giveReading(link: Link, reading: Tones | null): Promise<void> {
  await (reading ? link.ask({ do: 'lightness', ...bare(reading) }) : link.ask({ do: 'harbour' }));
}

/** A worker of its own for a plan that is not the one in hand: small proofs, and plans side by side. */
export class Aside {
  private readonly link: Link;
  private holds: { plan: Plan; reading: Tones | null; state: number } | null = null;

  constructor(start: () => Worker) {
    // Its panic reaches whoever waits for the answer.
    this.link = new Link(start, () => { this.holds = null; });
  }

  /** Asks about a plan and its picture (null for the harbour), in one of its states (0 for the last). */
  async ask<R extends Request>(plan: Plan, picture: KeptPicture | null, request: R, state = 0): Promise<Answers[R['do']]> {
    const reading = picture && await readingFor(picture, plan.picture.crop);
    const another = !this.holds || this.holds.reading !== reading;
    if (another) await giveReading(this.link, reading);
    if (another || this.holds?.plan !== plan || this.holds.state !== state) {
      await givePlan(this.link, plan, state);
      this.holds = { plan, reading, state };
    }
    return this.link.ask(request);
  }

  end(): void {
    this.link.end();
  }
}
