import type { BathOrder, WordedBite } from '../reckon/protocol';
import { or, type BenchStep, type Known } from './benchTypes';
import { length, volume, warmer, warmth, weight } from './benchUnits';
import { CAUTIONS } from './cautions';

/* Stopping out and biting, in the order that Rust gives (`plan::order`). */

export const MOVEMENT: Record<string, string> = {
  still_face_up: 'Face up, the bath left still.',
  still_face_down: 'Face down or on edge, the bath left still.',
  rocked: 'Face up; rock the tray slowly all the while.',
  feathered: 'Face up; brush the face with a feather all the while.',
  bubbled: 'Upright in the tank, air bubbling over the face.',
  sprayed: 'In the spray machine, face to the nozzles.',
};

/** Baths that throw a mist. */
const MISTS = ['bubbled', 'sprayed'];

/** At every rinse and stop-out. */
export const STOP = `${CAUTIONS.drips} ${CAUTIONS.varnish}`;

export function biteCaution(bath: Known['plan']['bath']): string {
  return MISTS.includes(String(bath['agitation'])) ? `${CAUTIONS.bite} ${CAUTIONS.mist}` : CAUTIONS.bite;
}

/** The bites as planned, until the order of work is known, or when it is that of another plan. */
export function orderOf({ plan, summary }: Known): BathOrder {
  const order = summary?.order;
  if (order && order.planned === plan.bites.length) return order;
  return {
    planned: plan.bites.length, whites: true, spits: [], later: [], dropped: '',
    bites: asPlanned(plan.bites),
  };
}

/** Every bite on its own. */
export function asPlanned(bites: { bite_min: number }[]): WordedBite[] {
  return bites.map(({ bite_min }, i) => ({
    bite: { first: i + 1, last: i + 1, bite_min }, name: `Bite ${i + 1}`, joined: '', cover: '', uncover: '', open: '…',
  }));
}

export function bathSteps(known: Known): BenchStep[] {
  const { plan, summary, amounts, shop, units } = known;
  const { bath } = plan;
  const order = orderOf(known);
  const copper = Number(bath['copper_g_per_l']);
  const rate = summary?.bath.rate_um_per_min[0] ?? null;
  const whites: BenchStep = {
    id: 'whites', part: 'bath', name: order.whites ? 'Stop out the whites' : 'Stop out the bevels', seconds: null, allow_min: order.whites ? 40 : 15,
    todo: [order.whites ? 'Varnish all that stays paper-white, and the bevels. Let it dry to the touch.' : 'Nothing of this picture stays paper-white: varnish the bevels alone, and let them dry to the touch.'],
    look: 'Held to the light: no pinhole, no edge left open.',
    ifNot: 'Mend it now; the bath finds every gap.',
    mind: 'The plate is the print’s mirror image: work from mirrored guides. Take a varnish that white spirit thins: a spirit (shellac) varnish dissolves rosin as it is brushed on (from memory).',
    caution: CAUTIONS.varnish,
  };
  const ready: BenchStep = {
    id: 'bath', part: 'bath', name: 'Make the bath ready', seconds: null, allow_min: 15,
    todo: [
      `${volume(Number(bath['volume_l']), units)} of ferric chloride, mixed at ${Number(bath['strength_be'])} °Bé, at ${warmth(Number(bath['temperature_c']), units)}${copper > 0 ? `, with ${copper} g/L of copper in it` : ''}; the hydrometer reads about ${or(amounts, (a) => a.hydrometer_before_be.toFixed(1))} °Bé. Beside it a tray of water for the first rinse.`,
    ],
    look: `Measure the warmth in the bath itself. It bites about ${or(rate, (r) => r.toFixed(2))} µm a minute.`,
    ifNot: `${warmer(2, units)} colder, every bite takes about ${or(amounts, (a) => `${(100 * (a.colder_times - 1)).toFixed(0)} %`)} longer: stand the bath in warm water rather than guess.`,
    mind: 'A weaker bath does not bite more slowly: ferric chloride is fastest near 28 °Bé. Thinning a strong one speeds it up.',
    caution: MISTS.includes(String(bath['agitation'])) ? `${CAUTIONS.bath} ${CAUTIONS.mist}` : CAUTIONS.bath,
  };
  const spits = order.spits.map((spit, i): BenchStep => ({
    id: `spit-${i + 1}`, part: 'bath', name: `Spit-bite: ${spit.name}`, seconds: spit.spit_min * 60, allow_min: 0,
    todo: [
      `About ${length(spit.middle_mm[0], units)} from the left and ${length(spit.middle_mm[1], units)} from the top of the print, by its mirrored guide. Start as the brush touches: etchant from the bath, kept moving all the while.`,
      spit.fade_mm > 0 ? `Draw the edge out with water from a second brush, so that it fades over ${length(spit.fade_mm, units)}.` : 'Keep to the outline: this edge is to be sharp.',
      'At the end blot it, rinse long, dry with cool air.',
    ],
    look: 'Rinsed and dry, the place is dull and pink, and fades where it should.',
    ifNot: 'Too little: brush on once more, and note the minutes. It can’t be taken back.',
    ...(i === 0 ? { mind: 'Before the whites are varnished: what is under varnish can’t be spit-bitten.' } : {}),
    caution: CAUTIONS.spit,
  }));
  // Where etchant is brushed on, the bath is needed before the varnish.
  const steps: BenchStep[] = spits.length > 0 ? [ready, ...spits, whites] : [whites, ready];
  const caution = biteCaution(bath);
  order.bites.forEach(({ bite, name, joined }, i) => {
    const ends = i + 1 === order.bites.length;
    const n = bite.last;
    steps.push({
      id: `bite-${n}`, part: 'bath', name, seconds: bite.bite_min * 60, allow_min: 0, bite: [bite.first, bite.last],
      todo: [`Plate in; start as the bath closes over it. ${MOVEMENT[String(bath['agitation'])] ?? ''}`, ...(joined ? [joined] : [])],
      look: i === 0
        ? 'A strong bath is too dark to see through: after half a minute lift the plate, drain, rinse and look. The copper between the grains is dull and pink all over.'
        : 'Lifted and drained, the grain sits firm; nothing floats off.',
      ifNot: i === 0
        ? 'Bright patches have grease or varnish on them: clean them before going on. Hold the clock while the plate is out.'
        : 'Specks float off: the ground is letting go. Take the plate out and stop at the value you have.',
      ...(ends && order.dropped ? { mind: order.dropped } : {}),
      caution,
    });
    if (!ends) {
      const before = order.bites.slice(0, i).map((one) => one.bite.last);
      const covered = [...(order.whites ? ['the whites'] : []), ...(before.length === 1 ? [`value ${before[0]}`] : before.length > 1 ? [`values ${before.slice(0, -1).join(', ')} and ${before.at(-1)}`] : [])];
      steps.push({
        id: `stop-${n}`, part: 'bath', name: `Rinse, dry, stop out value ${n}`, seconds: null, allow_min: shop.between_min, stop: n,
        todo: [`Drain over the bath, rinse in the water tray, then under the tap; dry with cool air. Varnish value ${n} by its mirrored guide and let it dry.`],
        ...(covered.length ? { mind: `Covered already: ${covered.join(' and ')}. No need to stop them out again, only mend what has chipped.` } : {}),
        caution: STOP,
      });
    }
  });
  const after = summary?.bath.copper_end_g_per_l ?? null;
  const left = amounts?.plates_left ?? null;
  return [
    ...steps,
    stripStep('strip', 'bath', 'Rinse, and clean off varnish and grain'),
    {
      id: 'bath-away', part: 'bath', name: 'Put the bath away', seconds: null, allow_min: 10,
      todo: [
        `Back into its labelled container: ${volume(Number(bath['volume_l']), units)}, now with about ${or(after, (g) => g.toFixed(1))} g/L of copper, ${or(amounts, (a) => weight(a.bath_copper_g, units))} in all${copper > 0 ? `, ${or(summary, (s) => weight(s.bath.dissolved_g, units))} of it from this plate` : ''}. Write it on the label.`,
      ],
      mind: or(amounts, (a) => `The hydrometer now reads about ${a.hydrometer_after_be.toFixed(1)} °Bé: copper makes a tired bath read stronger. Replace it near ${a.replace_g_per_l.toFixed(0)} g/L, where bites take twice as long${left === null ? '' : `: about ${left} more ${left === 1 ? 'plate' : 'plates'} like this one`}.`),
      caution: CAUTIONS.waste,
    },
  ];
}

/** Varnish and grain off again. */
export function stripStep(id: string, part: BenchStep['part'], name: string): BenchStep {
  return {
    id, part, name, seconds: null, allow_min: 20,
    todo: ['Out of the bath: drain over it, rinse long, dry. Varnish off, face and back, with its own solvent; rosin off with denatured alcohol, which evaporates cold, under extraction. Then vinegar and salt, whiting and water; rinse and dry.'],
    look: 'Bright copper with a matt grain, deepest where it is darkest; no brown resin left under the linen tester.',
    ifNot: 'Resin left in the pits takes the place of ink: alcohol and a soft brush once more.',
    caution: `${CAUTIONS.drips} ${CAUTIONS.strip}`,
  };
}
