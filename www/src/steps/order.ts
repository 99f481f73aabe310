import type { BathOrder, WordedBite } from '../engine/protocol.ts';
import type { Known } from './types.ts';
import { phrase } from './words.ts';

/** The order of work. The bites and states as planned, until it is known, or when it is that of another plan. */
export function orderOf({ plan, summary }: Known): BathOrder {
  const order = summary?.order;
  if (order && order.planned === plan.bites.length) return order;
  const line = (plan.states ?? []).map((_, i) => i + 2);
  return { planned: plan.bites.length, whites: true, spits: [], later: [], dropped: '', line, bites: asPlanned(plan.bites) };
}

/** Every bite on its own. */
export function asPlanned(bites: { bite_min: number }[]): WordedBite[] {
  return bites.map(({ bite_min }, i) => ({
    bite: { first: i + 1, last: i + 1, bite_min },
    name: phrase('bite_as_planned', { places: { number: String(i + 1) }, choices: {} }), joined: '', cover: '', uncover: '', open: '…',
  }));
}
