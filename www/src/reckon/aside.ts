import type { KeptPicture } from '../state/vault';
import { Link } from './link';
import type { Answers, Plan, Request } from './protocol';

/** A worker of its own for a plan that is not the one in hand: small proofs, and plans side by side. */
export class Aside {
  private readonly link: Link;
  private holds: { plan: Plan; picture: KeptPicture | null } | null = null;

  constructor(start: () => Worker) {
    // Its panic reaches whoever waits for the answer.
    this.link = new Link(start, () => { this.holds = null; });
  }

  /** Asks about a plan and its picture (null for the harbour). */
  async ask<R extends Request>(plan: Plan, picture: KeptPicture | null, request: R): Promise<Answers[R['do']]> {
    if (this.holds?.picture !== picture || !this.holds) {
      await (picture
        ? this.link.ask({ do: 'lightness', lightness: picture.lightness, width: picture.width, height: picture.height })
        : this.link.ask({ do: 'harbour' }));
    }
    if (this.holds?.plan !== plan || this.holds.picture !== picture) {
      const lines = plan.lines && await (await import('../state/lines')).linesForWorkers(plan.lines.picture);
      if (lines) await this.link.ask({ do: 'lines', lightness: lines.lightness, width: lines.width, height: lines.height });
      const { problems } = await this.link.ask({ do: 'plan', json: JSON.stringify(plan) });
      const wrong = problems.find((problem) => problem.severity === 'error');
      if (wrong) throw new Error(wrong.message);
      this.holds = { plan, picture };
    }
    return this.link.ask(request);
  }

  end(): void {
    this.link.end();
  }
}
