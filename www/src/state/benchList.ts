import type { Plan, Summary } from '../reckon/protocol';
import type { BenchAmounts } from '../reckon/shopProtocol';
import { stateSteps } from './benchStates';
import { measure, size, thickness, volume, warmer, warmth, weight } from './benchUnits';
import type { Units } from './settings';

/*
 * The whole job as a list of steps, with one plan's own numbers: what the bench sheet prints and the
 * clock runs. The numbers come from the plan and from Rust; here they only get their words.
 */

export type BenchPart = 'ground' | 'bath' | 'print' | 'states';

export interface BenchStep {
  id: string;
  part: BenchPart;
  name: string;
  /** What to do, a sentence or two each. */
  todo: string[];
  /** What to look for, and what it means if it isn't so. */
  look?: string;
  ifNot?: string;
  /** What not to forget. */
  mind?: string;
  caution?: string;
  /** Set time, s; null where a step takes as long as it takes. */
  seconds: number | null;
  /** Minutes allowed for such a step in the sheet's clock times. Common practice, no source. */
  allow_min: number;
  /** Number of the bite, 1 for the first. */
  bite?: number;
  /** Number of the value to be stopped out. */
  stop?: number;
}

/** What the shop has: kept beside the plan, since it belongs to the room and the day. */
export interface Shop {
  /** When the work begins, minutes after midnight. */
  begin_min: number;
  /** Minutes between two bites, for rinsing, stopping out and drying. */
  between_min: number;
  /** Floor of the dust box, cm. */
  floor_cm: [number, number];
  /** Impressions the ink is mixed for. */
  impressions: number;
}

export const PARTS: Record<BenchPart, string> = { ground: 'The ground', bath: 'The bath', print: 'The print', states: 'States and edition' };

const MOVEMENT: Record<string, string> = {
  still_face_up: 'Face up, the bath left still.',
  still_face_down: 'Face down or on edge, the bath left still.',
  rocked: 'Face up; rock the tray slowly all the while.',
  feathered: 'Face up; brush the face with a feather all the while.',
  bubbled: 'Upright in the tank, air bubbling over the face.',
  sprayed: 'In the spray machine, face to the nozzles.',
};

const WIPE: Record<string, string> = {
  tarlatan: 'Dab the ink into the warm plate. Wipe with tarlatan only, in circles, and stop at an even film: this plan keeps its plate tone.',
  hand: 'Dab the ink into the warm plate. Take it off with tarlatan in circles, then with the palm of the gloved hand until the whites are clean.',
  hard: 'Dab the ink into the warm plate. Wipe hard with tarlatan, then with the palm, longer than looks needed: this plan was reckoned with over-wiping.',
};

const PRESS: Record<string, string> = {
  light: 'Press set light.', normal: 'Press set as usual.', heavy: 'Press set heavy, or run through twice.',
};

/** Goes with every caution; the sheet says it once, the clock with each. */
export const DECIDE = 'The safety sheets, local rules and the shop’s responsible person decide; nothing here says that a step is safe.';

export interface Known { plan: Plan; summary: Summary | null; amounts: BenchAmounts | null; shop: Shop; units: Units }

/** Every step, in order. Numbers that are not reckoned yet stand as “…”. */
export function benchList(known: Known): BenchStep[] {
  const print = printSteps(known);
  const later = stateSteps(known);
  const clean = later.length ? print.pop() : undefined;
  return [...groundSteps(known), ...bathSteps(known), ...print, ...later, ...(clean ? [{ ...clean, part: 'states' as const }] : [])];
}

/** A number that may still be on its way. */
function or<T>(from: T | null, words: (from: T) => string): string {
  return from === null ? '…' : words(from);
}

function groundSteps({ plan, summary, amounts, shop, units }: Known): BenchStep[] {
  const { dust, bake } = plan;
  const wait_s = Number(dust['wait_s']);
  const cloud = summary?.dust ?? null;
  const floor = units === 'us'
    ? `${(shop.floor_cm[0] / 2.54).toFixed(0)} × ${(shop.floor_cm[1] / 2.54).toFixed(0)} in`
    : `${shop.floor_cm[0]} × ${shop.floor_cm[1]} cm`;
  const hot = warmth(Number(bake['hot_plate_c']), units);
  const softens = amounts && amounts.softens_min !== null
    ? `It passes ${or(summary, (s) => warmth(s.bake.softening_c, units))}, where rosin softens, after about ${amounts.softens_min.toFixed(1)} min and ends near ${or(summary, (s) => warmth(Math.round(s.bake.plate_end_c), units))}.`
    : summary && amounts ? summary.bake.sentence : 'The copper warms more slowly than the hot plate and stays some degrees below it.';
  return [
    {
      id: 'degrease', part: 'ground', name: 'Degrease the copper', seconds: null, allow_min: 15,
      todo: [...(plan.lines ? ['The plate has etched lines: clean old ink out of them with oil and a soft brush, or nothing will hold there.'] : []), 'Take tarnish off with white vinegar and a pinch of salt; rinse. Rub the face from edge to edge with a paste of whiting and water, rinse, dry with clean paper.'],
      look: 'The last rinse stays on the copper as one unbroken film.',
      ifNot: 'Where it draws back there is grease, and neither grain nor varnish will hold: whiting once more.',
      mind: 'From now on hold the plate by its edges only.',
    },
    {
      id: 'box', part: 'ground', name: 'Make the dust box ready', seconds: null, allow_min: 10,
      todo: [
        `Switch the hot plate on at ${hot}, well away from the box. Weigh out ${or(amounts, (a) => weight(a.powder_g, units))} of rosin powder: ${Number(dust['powder_g_per_m2'])} g/m² for a floor of ${floor}.`,
      ],
      look: 'The powder is dry and pours without lumps.',
      ifNot: 'Lumps fall as coarse specks that print white: dry it and sieve it, mask on.',
      caution: `Rosin dust in the air can explode, and breathing it can make a person allergic for life: no flame, spark or running motor near the box, fitted respirator, extraction.${cloud ? ` This plan raises about ${cloud.cloud_start_g_per_m3.toFixed(0)} g/m³; clouds from about ${cloud.explosible_g_per_m3.toFixed(0)} g/m³ can explode, and less is no clearance.` : ''}`,
    },
    {
      id: 'wait', part: 'ground', name: wait_s > 0 ? 'Stir up the dust, then wait' : 'Stir up the dust', seconds: wait_s > 0 ? wait_s : null, allow_min: 1,
      todo: [`Close the box and raise all of the powder at once, by hand. ${wait_s > 0 ? 'Start at the last stroke.' : 'No wait: the plate goes in at once.'}`],
      mind: 'The plate lies ready, dry and face up on its board.',
    },
    {
      id: 'dusting', part: 'ground', name: 'Plate in the box', seconds: Number(dust['dusting_min']) * 60, allow_min: 0,
      todo: ['Slide it in level, face up, through the smallest opening; start as the box closes. At the end slide it out level and slowly, and keep the box closed until its dust has settled.'],
      look: `At a low angle the face is evenly grey-white: about ${or(cloud, (c) => `${(100 * c.loose_cover).toFixed(0)} %`)} of the copper looks covered.`,
      ifNot: 'Much less: stir once more and give it part of the time again. Patchy, or closed: wipe it all off and begin anew; it can’t be mended later.',
      mind: 'Don’t breathe on it, knock it, or carry it through a draught before it is baked.',
    },
    {
      id: 'bake', part: 'ground', name: 'Bake', seconds: Number(bake['bake_min']) * 60, allow_min: 0,
      todo: [`Hot plate at ${hot}; the plate on ${bake['paper_between'] ? 'a sheet of paper on it' : 'the bare metal'}. ${softens}`],
      look: 'The white bloom clears from the edges inwards and leaves a fine steely sparkle at a low angle.',
      ifNot: 'Still white: too cool, so longer or hotter. Glossy like lacquer: the grains have run together; take it off cold with denatured alcohol and begin anew.',
      ...(summary && summary.bake.doneness !== 'good' && amounts?.softens_min !== null ? { mind: `As planned: ${summary.bake.sentence}` } : {}),
      caution: `Burns: tongs or heatproof gloves, and mark the plate hot. Overheated rosin gives off a fume known to cause asthma: extraction. No solvent, rag or dust near.`,
    },
    {
      id: 'cool', part: 'ground', name: 'Cool, and look with the linen tester', seconds: null, allow_min: 10,
      todo: ['Slide the plate on to cold metal or stone until the hand can hold it.'],
      look: or(summary, ({ ground }) => `About ${(100 * ground.cover).toFixed(0)} % of the copper is covered, with some ${ground.domes_per_mm2.toFixed(0)} domes to the square millimetre, half of them wider than ${ground.median_footprint_um.toFixed(0)} µm. A fingernail does not move them.`),
      ifNot: 'They rub off: under-baked, back on the hot plate. They run into sheets: begin anew; the bath cannot get in.',
    },
  ];
}

function bathSteps({ plan, summary, amounts, shop, units }: Known): BenchStep[] {
  const { bath, bites } = plan;
  const copper = Number(bath['copper_g_per_l']);
  const rate = summary?.bath.rate_um_per_min[0] ?? null;
  const steps: BenchStep[] = [
    {
      id: 'whites', part: 'bath', name: 'Stop out the whites', seconds: null, allow_min: 40,
      todo: ['Varnish all that stays paper-white, the bevels, and the back unless it is covered. Let it dry to the touch.'],
      look: 'Held to the light: no pinhole, no edge left open.',
      ifNot: 'Mend it now; the bath finds every gap.',
      mind: 'The plate is the print’s mirror image: work from mirrored guides.',
      caution: `Varnish and its solvent burn: fresh air, gloves, no flame or hot plate near.`,
    },
    {
      id: 'bath', part: 'bath', name: 'Make the bath ready', seconds: null, allow_min: 15,
      todo: [
        `${volume(Number(bath['volume_l']), units)} of ferric chloride, mixed at ${Number(bath['strength_be'])} °Bé, at ${warmth(Number(bath['temperature_c']), units)}${copper > 0 ? `, with ${copper} g/L of copper in it` : ''}; the hydrometer reads about ${or(amounts, (a) => a.hydrometer_before_be.toFixed(1))} °Bé. Beside it a tray of water for the first rinse.`,
      ],
      look: `Measure the warmth in the tray itself. It bites about ${or(rate, (r) => r.toFixed(2))} µm a minute.`,
      ifNot: `${warmer(2, units)} colder, every bite takes about ${or(amounts, (a) => `${(100 * (a.colder_times - 1)).toFixed(0)} %`)} longer: stand the tray in warm water rather than guess.`,
      caution: `Ferric chloride burns skin and eyes and stains for good: goggles, nitrile gloves, apron, eyewash within reach, fresh air, a lid. Etchant into water, never water into etchant. Copper only: zinc and aluminium heat violently in it. No bleach, persulfate or ammonia near.`,
    },
  ];
  bites.forEach((bite, i) => {
    const n = i + 1;
    const last = n === bites.length;
    steps.push({
      id: `bite-${n}`, part: 'bath', name: `Bite ${n}`, seconds: bite.bite_min * 60, allow_min: 0, bite: n,
      todo: [`Plate in; start as the bath closes over it. ${MOVEMENT[String(bath['agitation'])] ?? ''}`],
      look: n === 1 ? 'Within seconds the copper between the grains turns dull and pink all over.' : 'The grain sits firm; nothing floats off.',
      ifNot: n === 1
        ? 'Bright patches have grease or varnish on them: out, rinse, and clean them before going on.'
        : 'Specks float off: the ground is letting go. Take the plate out and stop at the value you have.',
    });
    if (!last) {
      steps.push({
        id: `stop-${n}`, part: 'bath', name: `Rinse, dry, stop out value ${n}`, seconds: null, allow_min: shop.between_min, stop: n,
        todo: [`Drain over the tray, rinse in the water tray, then under the tap; dry with cool air. Varnish value ${n} by its mirrored guide and let it dry.`],
        mind: n === 1
          ? 'The whites are covered already: only mend what has chipped.'
          : `The whites and ${n === 2 ? 'value 1' : `values 1 to ${n - 1}`} are covered already: no need to stop them out again, only mend what has chipped.`,
      });
    }
  });
  const after = summary?.bath.copper_end_g_per_l ?? null;
  const left = amounts?.plates_left ?? null;
  steps.push(
    {
      id: 'strip', part: 'bath', name: 'Rinse, and clean off varnish and grain', seconds: null, allow_min: 20,
      todo: ['Out of the bath: drain over the tray, rinse long, dry. Varnish off with odourless solvent, rosin off with denatured alcohol, then whiting and water; rinse and dry.'],
      look: 'Bright copper with a matt grain, deepest where it is darkest; no brown resin left under the linen tester.',
      ifNot: 'Resin left in the pits takes the place of ink: alcohol and a soft brush once more.',
      caution: `Solvents and alcohol burn: no flame or hot plate, fresh air, gloves, rags into a lidded metal bin.`,
    },
    {
      id: 'bath-away', part: 'bath', name: 'Put the bath away', seconds: null, allow_min: 10,
      todo: [
        `Back into its labelled container: ${volume(Number(bath['volume_l']), units)}, now with about ${or(after, (g) => g.toFixed(1))} g/L of copper, ${or(amounts, (a) => weight(a.bath_copper_g, units))} in all${copper > 0 ? `, ${or(summary, (s) => weight(s.bath.dissolved_g, units))} of it from this plate` : ''}. Write it on the label.`,
      ],
      mind: or(amounts, (a) => `The hydrometer now reads about ${a.hydrometer_after_be.toFixed(1)} °Bé: copper makes a tired bath read stronger. Replace it near ${a.replace_g_per_l.toFixed(0)} g/L, where bites take twice as long${left === null ? '' : `: about ${left} more ${left === 1 ? 'plate' : 'plates'} like this one`}.`),
      caution: 'A spent bath is acid, carries copper and is poison to water life; so are the first rinses and the sludge. Collect them, labelled, as hazardous waste through the local authority or a licensed carrier; never down a drain or on soil. Neutralising only moves the copper into a sludge.',
    },
  );
  return steps;
}

function printSteps({ plan, summary, amounts, shop, units }: Known): BenchStep[] {
  const { ink } = plan;
  const base = Number(ink['base_parts']);
  const reducer = Number(ink['reducer_parts']);
  const part = (ml: number, g: number, name: string): string => `${measure(ml, units)} of ${name}${units === 'us' ? '' : ` (${weight(g, units)})`}`;
  const mix = or(amounts, (a) => [
    part(a.black_ml, a.black_g, 'black'),
    ...(base > 0 ? [part(a.base_ml, a.base_g, 'transparent base')] : []),
    ...(reducer > 0 ? [part(a.reducer_ml, a.reducer_g, 'reducer')] : []),
  ].join(', '));
  const grams = units === 'us' && amounts ? `, ${weight(amounts.black_g + amounts.base_g + amounts.reducer_g, units)} in all` : '';
  const darkest = summary?.values.at(-1) ?? null;
  const margin = plan.paper.margin_mm;
  return [
    {
      id: 'ink', part: 'print', name: 'Mix the ink', seconds: null, allow_min: 10,
      todo: [
        `For ${shop.impressions} ${shop.impressions === 1 ? 'impression' : 'impressions'}: ${mix}${grams}. ${base + reducer > 0 ? `By volume 100 black, ${base} base, ${reducer} reducer. ` : 'Neat black. '}Reckoned as what the pits hold (${or(amounts, (a) => a.held_um.toFixed(1))} µm on average) and a usual film that is wiped off again (common practice, no source): weigh what you use, and note it.`,
      ],
      look: 'It falls slowly off the knife.',
      ifNot: 'Stiff ink drags out of the pits with the tarlatan: warm the plate first, then a drop more reducer.',
    },
    {
      id: 'wipe', part: 'print', name: 'Ink and wipe', seconds: null, allow_min: 20,
      todo: [WIPE[String(ink['wipe'])] ?? '', 'Wipe the bevels clean.'],
      look: ink['wipe'] === 'tarlatan' ? 'An even veil over the whites, the darks full.' : 'Whites clean, darks full to the edge of each shape.',
      ifNot: 'Pale streaks in the darks: wiped too deep. Ink it again rather than print it.',
    },
    {
      id: 'press', part: 'print', name: 'Print', seconds: null, allow_min: 10,
      todo: [`Dampened paper, ${size(plan.plate.width_mm + 2 * margin, plan.plate.height_mm + 2 * margin, units)}, blotted until no wet shine is left; felts. ${PRESS[String(ink['press'])] ?? ''}`],
      look: or(darkest, (v) => `Beside the plan’s proof every value parts from the next; the darkest is near L* ${v.lightness.toFixed(0)} (density ${v.density.toFixed(2)}).`),
      ifNot: 'All values too light alike: ink or press. Only the long bites too light: the bath was slower than planned, or the ground has broken down. Note it for the next plate.',
      caution: `Hands, hair and sleeves clear of bed and rollers.`,
    },
    {
      id: 'clean', part: 'print', name: 'Clean the plate and put it away', seconds: null, allow_min: 15,
      todo: ['Ink out of the pits with odourless solvent and a soft brush, then denatured alcohol; dry it warm. A thin film of oil, clean paper round it.'],
      look: 'No ink glints in the grain under the linen tester.',
      ifNot: 'Dried ink fills the finest pits for good: clean again before it sets.',
      caution: `Rags with drying oil can catch fire by themselves: spread flat to dry, or under water in a lidded metal bin.`,
    },
  ];
}

/** What to have ready, and what to wear. */
export function benchNeeds({ plan, amounts, shop, units }: Known): { name: string; things: string[] }[] {
  const { plate, bath, ink } = plan;
  const ml = amounts ? amounts.black_ml + amounts.base_ml + amounts.reducer_ml : null;
  const parts = ['black ink', ...(Number(ink['base_parts']) > 0 ? ['transparent base'] : []), ...(Number(ink['reducer_parts']) > 0 ? ['reducer'] : [])];
  return [
    {
      name: 'Plate and ground',
      things: [
        `copper ${size(plate.width_mm, plate.height_mm, units)}, ${thickness(plate.thickness_mm, units)}, bevelled, polished, its back covered`,
        'white vinegar, salt, whiting, clean paper', `rosin powder ${or(amounts, (a) => weight(a.powder_g, units))}`, 'dust box, hot plate, linen tester',
      ],
    },
    {
      name: 'Bath',
      things: [
        `ferric chloride ${volume(Number(bath['volume_l']), units)}, ${Number(bath['strength_be'])} °Bé`, 'tray, water tray, hydrometer, thermometer, clock',
        'stop-out varnish, brushes, mirrored guides', 'odourless solvent, denatured alcohol', 'labelled container for waste',
      ],
    },
    {
      name: 'Print',
      things: [`${parts.join(', ')}: ${or(ml, (x) => measure(x, units))} in all`, 'tarlatan, brush', `damp paper for ${shop.impressions}, felts, press`],
    },
    {
      name: 'To wear',
      things: [
        'dust: fitted respirator for fine dust, goggles', 'hot plate: heatproof gloves or tongs', 'bath: goggles, nitrile gloves, apron; eyewash within reach',
        'varnish, solvents, ink: gloves that withstand them', 'all along: fresh air or extraction, lidded metal bin for rags',
      ],
    },
  ];
}

/** When each step begins and ends, s after the start of the work. */
export function benchTimes(list: BenchStep[]): { from_s: number; to_s: number }[] {
  let at = 0;
  return list.map((step) => {
    const from_s = at;
    at += step.seconds ?? step.allow_min * 60;
    return { from_s, to_s: at };
  });
}

/** A time of day, 24 hours: 14:05. */
export function ofDay(begin_min: number, after_s: number): string {
  const minutes = Math.round(begin_min + after_s / 60) % 1440;
  return `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
}
