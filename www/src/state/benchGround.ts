import { or, type BenchPart, type BenchStep, type Known } from './benchTypes';
import { warmth, weight } from './benchUnits';
import { CAUTIONS } from './cautions';
import { worded } from './settings';

/* From the bare copper to the ground with its back covered; for the first ground and for later ones. */

/** Which ground: its steps' names begin with `title`, their ids with `id`. */
export interface GroundOf {
  id: string; title: string; part: BenchPart;
  dust: Known['plan']['dust']; bake: Known['plan']['bake'];
  /** Copper bitten before: nothing is known of this fall of dust but what the plan says. */
  later: boolean;
}

export function groundSteps({ plan, summary: all, amounts: weighed, shop, units }: Known, { id, title, part, dust, bake, later }: GroundOf): BenchStep[] {
  const [summary, amounts] = later ? [null, null] : [all, weighed];
  const wait_s = Number(dust['wait_s']);
  const floor = units === 'us'
    ? `${(shop.floor_cm[0] / 2.54).toFixed(0)} × ${(shop.floor_cm[1] / 2.54).toFixed(0)} in`
    : `${shop.floor_cm[0]} × ${shop.floor_cm[1]} cm`;
  const powder = `${Number(dust['powder_g_per_m2'])} g/m² for a floor of ${floor}`;
  const hot = warmth(Number(bake['hot_plate_c']), units);
  const softens = amounts && amounts.softens_min !== null
    ? `It passes ${or(summary, (s) => warmth(s.bake.softening_c, units))}, where rosin softens, after about ${amounts.softens_min.toFixed(1)} min and ends near ${or(summary, (s) => warmth(Math.round(s.bake.plate_end_c), units))}.`
    : summary && amounts ? worded(summary.bake.sentence) : 'The copper warms more slowly than the hot plate and stays some degrees below it.';
  const step = (name: string, words: string, rest: Omit<BenchStep, 'id' | 'part' | 'name'>): BenchStep => ({ id: `${id}${name}`, part, name: `${title}${words}`, ...rest });
  const toLay = later
    ? step('degrease', 'clean and degrease', {
      seconds: null, allow_min: 20,
      todo: ['Old ink and resin out of the pits with solvent and a soft brush; when it has evaporated, whiting and water from edge to edge, rinse, dry with clean paper.'],
      look: 'The last rinse stays on the copper as one unbroken film, in the bitten places too.',
      ifNot: 'Grease or old resin in the pits: once more, or the new ground will not hold there.',
      caution: CAUTIONS.strip,
    })
    : step('degrease', 'Degrease the copper', {
      seconds: null, allow_min: 15,
      todo: [...(plan.lines ? ['The plate has etched lines: clean old ink out of them with oil and a soft brush, or nothing will hold there.'] : []), 'Take tarnish off with white vinegar and a pinch of salt; rinse. Rub the face from edge to edge with a paste of whiting and water, rinse, dry with clean paper.'],
      look: 'The last rinse stays on the copper as one unbroken film.',
      ifNot: 'Where it draws back there is grease, and neither grain nor varnish will hold: whiting once more.',
      mind: 'From now on hold the plate by its edges only.',
      caution: CAUTIONS.degrease,
    });
  return [
    ...(later ? [] : [step('plate', 'Make the plate ready', {
      seconds: null, allow_min: 30,
      todo: ['Pull the supplier’s film off the face. File the edges to a bevel of about 45°, round the corners, burnish. If a drawing is transferred, do it now: tracing on a grained plate crushes the grain.'],
      look: 'Nothing catches on a rag drawn over edges and corners.',
      ifNot: 'A burr will hold ink and cut the paper: file and burnish on.',
      caution: CAUTIONS.file,
    })]),
    toLay,
    step('box', later ? 'make the dust box ready' : 'Make the dust box ready', {
      seconds: null, allow_min: 10,
      todo: [later ? `Weigh out the rosin powder: ${powder}.` : `Weigh out ${or(amounts, (a) => weight(a.powder_g, units))} of rosin powder: ${powder}.`],
      look: 'The powder is dry and pours without lumps.',
      ifNot: 'Lumps fall as coarse specks that print white: dry it in the air and sieve it, respirator on.',
      mind: 'The hot plate stays off until the plate is out of the box and the dust has settled.',
      caution: CAUTIONS.powder,
    }),
    step('wait', `${later ? 'stir' : 'Stir'} up the dust${wait_s > 0 ? ', then wait' : ''}`, {
      seconds: wait_s > 0 ? wait_s : null, allow_min: 1,
      todo: [`Close the box and raise all of the powder at once, by hand. ${wait_s > 0 ? 'Start at the last stroke.' : 'No wait: the plate goes in at once.'}`],
      mind: 'The plate lies ready, dry and face up on its board.',
      caution: CAUTIONS.stir(summary?.dust ?? null),
    }),
    step('dusting', later ? 'plate in the box' : 'Plate in the box', {
      seconds: Number(dust['dusting_min']) * 60, allow_min: 0,
      todo: ['Slide it in level, face up, through the smallest opening; start as the box closes. At the end slide it out level and slowly, and keep the box closed until its dust has settled.'],
      look: later ? 'Grain lies on the lands and in the old pits alike.' : `At a low angle the face is evenly grey-white: about ${or(summary, (s) => `${(100 * s.dust.loose_cover).toFixed(0)} %`)} of the copper looks covered.`,
      ifNot: 'Much less: stir once more and give it part of the time again. Patchy, or closed: wipe it all off damp and begin anew; it can’t be mended later.',
      mind: 'Don’t breathe on it, knock it, or carry it through a draught before it is baked.',
      caution: CAUTIONS.box,
    }),
    step('heat', later ? 'hot plate on' : 'Let the dust settle, then hot plate on', {
      seconds: null, allow_min: 20,
      todo: [`The plate is out, the box shut, the air clear: only now switch the hot plate on at ${hot}, well away from the box, and let it warm through.`],
      caution: CAUTIONS.heat,
    }),
    step('bake', later ? 'bake' : 'Bake', {
      seconds: Number(bake['bake_min']) * 60, allow_min: 0,
      todo: [`Hot plate at ${hot}; the plate on ${bake['paper_between'] ? 'a sheet of paper on it' : 'the bare metal'}. ${softens}`],
      look: 'The white bloom clears from the edges inwards and leaves a fine steely sparkle at a low angle.',
      ifNot: 'Still white: too cool, so longer or hotter. Glossy like lacquer: the grains have run together; take it off cold with denatured alcohol and begin anew.',
      ...(summary && summary.bake.doneness !== 'good' && amounts?.softens_min !== null ? { mind: `As planned: ${worded(summary.bake.sentence)}` } : {}),
      caution: CAUTIONS.bake,
    }),
    step('cool', later ? 'hot plate off, cool' : 'Hot plate off; cool, and look with the linen tester', {
      seconds: null, allow_min: 20,
      todo: ['Switch the hot plate off. Slide the plate on to cold metal or stone until the hand can hold it.'],
      look: `${later ? '' : `${or(summary, ({ ground }) => `About ${(100 * ground.cover).toFixed(0)} % of the copper is covered, with some ${ground.domes_per_mm2.toFixed(0)} domes to the square millimetre, half of them wider than ${ground.median_footprint_um.toFixed(0)} µm.`)} `}A fingernail does not move them: try it at the margin only, for it scores and greases the ground.`,
      ifNot: 'They rub off: under-baked, back on the hot plate. They run into sheets: begin anew; the bath cannot get in.',
      caution: CAUTIONS.cool,
    }),
    step('back', later ? 'cover the back' : 'Cover the back', {
      seconds: null, allow_min: 20,
      todo: ['Hot plate cold, copper cold: cover the back with film or varnish, and let varnish dry to the touch. Face up on clean paper; nothing touches the grain.'],
      mind: 'Not before the bake: film melts and varnish fumes on the hot plate (from memory).',
      caution: CAUTIONS.varnish,
    }),
  ];
}
